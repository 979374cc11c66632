// Rules of thumb against the worked figures that go with them.
#include "buying/thumb.h"
#include "support/check.h"

static const double foot2_mm2 = 92903.04;

static CoverDemand blanks(double width_in, double depth_in, int count, Arena *keep)
{
    Cover *cover = ARENA_NEW(keep, Cover);
    Point *points = ARENA_ARRAY(keep, Point, 4);
    points[1] = (Point){25.4 * width_in, 0};
    points[2] = (Point){25.4 * width_in, 25.4 * depth_in};
    points[3] = (Point){0, 25.4 * depth_in};
    cover->cut = (Ring){points, 4};
    cover->gross_area_mm2 = 645.16 * width_in * depth_in;
    return (CoverDemand){.cover = cover, .name = "A", .seat = "chair", .count = count};
}

// 54 in goods, blanks of 26 x 26 in: two across, six seats on 78 in. General how-to pages, and
// arithmetic; to the next quarter yard that is 2 1/4.
static void six_blanks_take_two_yards_and_a_quarter(void **state)
{
    const CoverDemand six = blanks(26, 26, 6, *state);
    CHECK_NEAR(thumb_cloth_mm(&six, 1, 54 * 25.4) / 914.4, 2.25, 1e-9);
    const CoverDemand on_muslin = blanks(26, 26, 1, *state);
    CHECK_NEAR(thumb_cloth_mm(&on_muslin, 1, 36 * 25.4) / 914.4, 0.75, 1e-9);
}

static void what_is_wider_than_the_cloth_is_turned_or_says_nothing(void **state)
{
    const CoverDemand bench = blanks(60, 20, 1, *state);
    CHECK_NEAR(thumb_cloth_mm(&bench, 1, 54 * 25.4) / 914.4, 1.75, 1e-9);
    const CoverDemand too_large = blanks(60, 60, 1, *state);
    CHECK_NEAR(thumb_cloth_mm(&too_large, 1, 54 * 25.4), 0, 0);
    Thumb thumbs[THUMBS_MAX];
    assert_int_equal(thumb_rules(&too_large, 1, *state, thumbs), 6);
}

// Six pads of 24 x 24 in, net 24 ft²: 54 ft² of leather by half a yard each at 18 ft² (sellers'
// pages); 30 by a quarter more, 32 by a third more (arithmetic).
static void six_pads_by_each_rule(void **state)
{
    const CoverDemand six = blanks(24, 24, 6, *state);
    Thumb thumbs[THUMBS_MAX];
    const int count = thumb_rules(&six, 1, *state, thumbs);
    assert_int_equal(count, 10);
    const double known[] = {36, 34, 40, 31.2, 30, 32, 24 / 0.7, 24 / 0.55, 54, 30};
    for (int i = 0; i < count; i++) {
        CHECK_NEAR(thumbs[i].area_mm2 / foot2_mm2, known[i], 1e-9);
    }
    assert_string_equal(thumbs[0].reckon, "2 yd of cloth 54 in wide");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(six_blanks_take_two_yards_and_a_quarter),
        TEST_IN_ARENA(what_is_wider_than_the_cloth_is_turned_or_says_nothing),
        TEST_IN_ARENA(six_pads_by_each_rule),
    };
    return cmocka_run_group_tests_name("buying/thumb", tests, NULL, NULL);
}
