#include "paper/hatch.h"

#include "support/sample_matter.h"

static const double spacing_mm = 28;

static double line_length_mm(HatchLine line)
{
    double length = 0;
    for (int i = 0; i + 1 < line.count; i++) {
        length += point_distance(line.points[i], line.points[i + 1]);
    }
    return length;
}

static void lines_stay_inside_their_region(void **state)
{
    const Hide hide = sample_hide(&(SampleWish){0}, 0, *state);
    for (int r = 0; r < hide.region_count; r++) {
        const Hatching hatching = hatch_region(&hide, &hide.regions[r], spacing_mm, *state);
        assert_true(hatching.count > 0);
        for (int i = 0; i < hatching.count; i++) {
            for (int k = 0; k < hatching.lines[i].count; k++) {
                assert_true(
                    polygon_set_contains(hide.regions[r].area, hatching.lines[i].points[k]));
            }
        }
    }
}

static void lines_follow_the_firm_direction(void **state)
{
    const Hide hide = sample_hide(&(SampleWish){0}, 0, *state);
    for (int r = 0; r < hide.region_count; r++) {
        const Hatching hatching = hatch_region(&hide, &hide.regions[r], spacing_mm, *state);
        for (int i = 0; i < hatching.count; i++) {
            const HatchLine line = hatching.lines[i];
            for (int k = 0; k + 1 < line.count; k++) {
                const Point middle = point_between(line.points[k], line.points[k + 1], 0.5);
                const double firm_rad = hide_firm_direction_rad(&hide, middle);
                const Point way = point_unit(point_minus(line.points[k + 1], line.points[k]));
                const double off = fabs(point_cross(way, (Point){cos(firm_rad), sin(firm_rad)}));
                assert_true(off < sin(8 * RAD_PER_DEG));
            }
        }
    }
}

static double least_distance_mm(HatchLine a, HatchLine b)
{
    double least = HUGE_VAL;
    for (int i = 0; i < a.count; i += 7) {
        for (int k = 0; k < b.count; k++) {
            least = fmin(least, point_distance(a.points[i], b.points[k]));
        }
    }
    return least;
}

static void lines_keep_their_distance(void **state)
{
    const Hide hide = sample_hide(&(SampleWish){0}, 0, *state);
    for (int r = 0; r < hide.region_count; r++) {
        const Hatching hatching = hatch_region(&hide, &hide.regions[r], spacing_mm, *state);
        const double least_mm = 0.6 * spacing_mm * hatch_looseness[hide.regions[r].firmness];
        for (int i = 0; i < hatching.count; i++) {
            for (int j = 0; j < i; j++) {
                assert_true(least_distance_mm(hatching.lines[i], hatching.lines[j]) >=
                            least_mm - 1e-9);
            }
        }
    }
}

// Closed form: parallel lines a distance s apart on an area A have the length A / s in
// all. The panel's are all parallel.
static void a_panel_is_ruled_evenly(void **state)
{
    const Hide hide = sample_hide(&(SampleWish){.form = HIDE_PANEL}, 0, *state);
    assert_int_equal(hide.region_count, 1);
    const Hatching hatching = hatch_region(&hide, &hide.regions[0], spacing_mm, *state);
    double length_mm = 0;
    for (int i = 0; i < hatching.count; i++) {
        length_mm += line_length_mm(hatching.lines[i]);
    }
    CHECK_NEAR(length_mm / (hide.area_mm2 / spacing_mm), 1, 0.04);
    CHECK_NEAR(hatching.count, 1400 / spacing_mm, 1);
}

static void looser_leather_is_hatched_looser(void **state)
{
    Hide hide = sample_hide(&(SampleWish){.form = HIDE_PANEL}, 0, *state);
    int count = 1000;
    for (int firmness = FIRM; firmness <= LOOSE; firmness++) {
        hide.regions[0].firmness = (Firmness)firmness;
        const int now = hatch_region(&hide, &hide.regions[0], spacing_mm, *state).count;
        assert_true(now < count);
        count = now;
    }
}

static void an_empty_region_has_no_lines(void **state)
{
    const Hide hide = sample_hide(&(SampleWish){0}, 0, *state);
    const Region nothing = {.kind = REGION_BUTT};
    assert_int_equal(hatch_region(&hide, &nothing, spacing_mm, *state).count, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(lines_stay_inside_their_region),
        TEST_IN_ARENA(lines_follow_the_firm_direction),
        TEST_IN_ARENA(lines_keep_their_distance),
        TEST_IN_ARENA(a_panel_is_ruled_evenly),
        TEST_IN_ARENA(looser_leather_is_hatched_looser),
        TEST_IN_ARENA(an_empty_region_has_no_lines),
    };
    return cmocka_run_group_tests_name("paper/hatch", tests, NULL, NULL);
}
