#include "base/number.h"
#include "hide/hide.h"

#include "support/check.h"

// Quarter notation of the trade: 52.3 is 52 3/4 ft2. Tolerances: common practice.
static void verdict_by_stamp(void **state)
{
    (void)state;
    const struct {
        const char *stamp;
        double measured_ft2;
        AreaVerdict verdict;
    } rows[] = {
        {"52.3", 52.75, AREA_AGREES},   {"50", 51.0, AREA_AGREES},     {"50", 49.0, AREA_AGREES},
        {"50", 51.01, AREA_DOUBTED},    {"50", 48.99, AREA_DOUBTED},   {"50", 51.5, AREA_DOUBTED},
        {"50", 48.5, AREA_DOUBTED},     {"50", 51.51, AREA_DISPUTED},  {"50", 48.49, AREA_DISPUTED},
        {"52.3", 51.695, AREA_AGREES},  {"52.3", 51.69, AREA_DOUBTED}, {"52.3", 52.3, AREA_AGREES},
        {"52.3", 51.16, AREA_DISPUTED}, {"25.1", 25.25, AREA_AGREES},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        double stamped_ft2;
        assert_null(stamp_read(rows[i].stamp, &stamped_ft2));
        double difference_mm2;
        const AreaVerdict verdict = hide_area_verdict(rows[i].measured_ft2 * MM2_PER_FT2,
                                                      stamped_ft2 * MM2_PER_FT2, &difference_mm2);
        assert_int_equal(verdict, rows[i].verdict);
        CHECK_NEAR(difference_mm2 / MM2_PER_FT2, rows[i].measured_ft2 - stamped_ft2, 1e-9);
    }
}

static void no_stamp_no_verdict(void **state)
{
    (void)state;
    double difference_mm2 = 7;
    assert_int_equal(hide_area_verdict(4.8e6, 0, &difference_mm2), AREA_NOT_STAMPED);
    CHECK_NEAR(difference_mm2, 0, 0);
    assert_int_equal(hide_area_verdict(4.8e6, 4.8e6, NULL), AREA_AGREES);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(verdict_by_stamp),
        cmocka_unit_test(no_stamp_no_verdict),
    };
    return cmocka_run_group_tests_name("hide/area", tests, NULL, NULL);
}
