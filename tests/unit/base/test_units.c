#include "base/units.h"

#include "support/check.h"

// Source: the inch of 25.4 mm is exact by the international agreement of 1959 (NIST
// SP 811, appendix B); the square foot follows. 1/64 in to the leather ounce: several
// trade texts agree.
static void conversions_are_exact(void **state)
{
    (void)state;
    CHECK_NEAR(length_to_mm(1, LENGTH_IN), 25.4, 0);
    CHECK_NEAR(area_to_mm2(1, AREA_FT2), 92903.04, 0);
    CHECK_NEAR(area_from_mm2(1e6, AREA_FT2), 10.7639104, 1e-7);
    CHECK_NEAR(area_to_mm2(50, AREA_FT2) / 1e6, 4.645152, 1e-12);
    CHECK_NEAR(area_to_mm2(0.25, AREA_FT2) / 1e4, 2.322576, 1e-12);
    CHECK_NEAR(leather_to_mm(1, LEATHER_OZ), 0.396875, 0);
    CHECK_NEAR(leather_to_mm(3.5, LEATHER_OZ), 1.389, 5e-4);
    CHECK_NEAR(leather_from_mm(1.2, LEATHER_OZ), 3.02, 5e-3);
}

static void there_and_back_is_the_same(void **state)
{
    (void)state;
    for (int i = -1000; i < 1000; i++) {
        const double value = i / 16.0;
        CHECK_NEAR(length_from_mm(length_to_mm(value, LENGTH_IN), LENGTH_IN), value, 1e-13);
        CHECK_NEAR(area_from_mm2(area_to_mm2(value, AREA_FT2), AREA_FT2), value, 1e-12);
    }
}

static void lengths_read_like_a_tape(void **state)
{
    static const struct {
        double inches;
        const char *text;
    } rows[] = {{18.5, "18 1/2"}, {18, "18"},           {0.1875, "3/16"}, {-2.25, "-2 1/4"},
                {0, "0"},         {17.99, "18"},        {-0.01, "0"},     {0.5 + 1.0 / 32, "9/16"},
                {-0.5, "-1/2"},   {47.9375, "47 15/16"}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        assert_string_equal(length_digits(rows[i].inches * 25.4, LENGTH_IN, *state), rows[i].text);
    }
    assert_string_equal(length_text(469.6, LENGTH_MM, *state), "470 mm");
    assert_string_equal(length_text(-0.4, LENGTH_MM, *state), "0 mm");
    assert_string_equal(length_text(457.2, LENGTH_IN, *state), "18 in");
    assert_string_equal(area_text(4645152, AREA_FT2, *state), "50.00 ft²");
    assert_string_equal(area_text(4645152, AREA_M2, *state), "4.65 m²");
    assert_string_equal(leather_text(1.1, LEATHER_OZ, *state), "2 3/4 oz (1.1 mm)");
    assert_string_equal(leather_text(1.1, LEATHER_MM, *state), "1.1 mm");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(conversions_are_exact),
        cmocka_unit_test(there_and_back_is_the_same),
        TEST_IN_ARENA(lengths_read_like_a_tape),
    };
    return cmocka_run_group_tests_name("base/units", tests, NULL, NULL);
}
