#include "base/random.h"
#include "base/units.h"
#include "hide/hide.h"
#include "taped_hides.h"

#include "support/check.h"

enum { MEAN_POINTS = 61 };
static const double MEAN_LENGTH_MM = 2185; // mean backbone of the upholstery hides

typedef struct Made {
    bool made;
    HideOutline outline;
    Problems *problems;
} Made;

static Made make(const HideEntry *entry, LengthUnit unit, Arena *arena)
{
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    assert_non_null(scratch);
    Made made = {.problems = problems_in(arena)};
    made.made = hide_outline(entry, "hides[0]", unit, arena, scratch, &made.outline, made.problems);
    assert_int_equal(arena_used_bytes(scratch), 0);
    arena_destroy(scratch);
    assert_true(made.made == problems_none(made.problems));
    return made;
}

static HideEntry by_stations(const Station *stations, int count)
{
    return (HideEntry){.form = HIDE_WHOLE, .stations = stations, .station_count = count};
}

// Closed form: the area of an ellipse is pi a b. The ends of its long axis are the
// butt and neck ends of the backbone.
static void area_of_an_ellipse_by_stations(void **state)
{
    enum { COUNT = 41 };
    const double half_length = 1100;
    const double half_width = 600;
    Station stations[COUNT];
    for (int i = 0; i < COUNT; i++) {
        const double angle = PI * i / (COUNT - 1);
        const double out = i == 0 || i == COUNT - 1 ? 0 : half_width * sin(angle);
        stations[i] = (Station){half_length * (1 - cos(angle)), out, out, true, true};
    }
    const HideEntry entry = by_stations(stations, COUNT);
    const Made made = make(&entry, LENGTH_MM, *state);
    assert_true(made.made);
    const double wanted_mm2 = PI * half_length * half_width;
    CHECK_NEAR(ring_area_mm2(made.outline.ring), wanted_mm2, 0.0005 * wanted_mm2);
    CHECK_NEAR(made.outline.backbone_mm, 2 * half_length, 0.1);
    assert_true(ring_is_simple(made.outline.ring, NULL));
}

static HideEntry mean_hide(Point *points)
{
    for (int i = 0; i < MEAN_POINTS; i++) {
        points[i] = point_times(mean_half_outline[i], MEAN_LENGTH_MM);
        points[2 * MEAN_POINTS - 2 - i] = (Point){points[i].x, -points[i].y};
    }
    return (HideEntry){.form = HIDE_WHOLE, .points = points, .point_count = 2 * MEAN_POINTS - 2};
}

// Against the statistics of six upholstery hides (outlines of Baldacci et al. 2014):
// area / L2 1.020 +- 0.033 (standard error), area / bounding box 0.62 to 0.80.
static void mean_outline_has_the_published_proportions(void **state)
{
    Point points[2 * MEAN_POINTS - 1];
    const HideEntry entry = mean_hide(points);
    const Made made = make(&entry, LENGTH_MM, *state);
    assert_true(made.made);
    assert_int_equal(made.problems->doubts, 0);
    const double area = ring_area_mm2(made.outline.ring);
    CHECK_NEAR(area / (MEAN_LENGTH_MM * MEAN_LENGTH_MM), 1.020, 0.033);
    const Box box = ring_box(made.outline.ring);
    const double fill = area / ((box.max.x - box.min.x) * (box.max.y - box.min.y));
    assert_true(fill > 0.62 && fill < 0.80);
    CHECK_NEAR(made.outline.backbone_mm, MEAN_LENGTH_MM, 1);
}

// The area that the tape finds against that of the finely drawn outline behind it.
static void taped_area_is_near_the_outline_that_was_taped(void **state)
{
    double sum = 0;
    for (int h = 0; h < TAPED_HIDE_COUNT; h++) {
        const HideEntry entry = by_stations(taped_hides[h].stations, taped_hides[h].count);
        const Made made = make(&entry, LENGTH_MM, *state);
        assert_true(made.made);
        const double off = ring_area_mm2(made.outline.ring) / taped_hides[h].area_mm2 - 1;
        sum += off;
        print_message("# %s %.2f %%\n", taped_hides[h].name, 100 * off);
        assert_true(fabs(off) < 0.035);
    }
    print_message("# mean %.2f %%\n", 100 * sum / TAPED_HIDE_COUNT);
}

// Between two neighbouring stations the line keeps between their values.
static void smooth_line_does_not_overshoot(void **state)
{
    Random random = random_begin(11, 0, 0);
    for (int round = 0; round < 300; round++) {
        const ArenaMark mark = arena_mark(*state);
        Station stations[12];
        double most = 0;
        for (int i = 0; i < 12; i++) {
            const double out = random_between(&random, 200, 1300);
            stations[i] = (Station){i * 200 + 10, out, out, true, true};
            most = fmax(most, out);
        }
        const HideEntry entry = by_stations(stations, 12);
        const Made made = make(&entry, LENGTH_MM, *state);
        assert_true(made.made);
        for (int k = 0; k < made.outline.ring.count; k++) {
            const Point p = made.outline.ring.points[k];
            const int i = (int)floor((p.x - 10) / 200);
            if (i < 0 || i >= 11) {
                continue; // the ends run straight to the backbone
            }
            const double low = fmin(stations[i].left_mm, stations[i + 1].left_mm);
            const double high = fmax(stations[i].left_mm, stations[i + 1].left_mm);
            assert_true(fabs(p.y) <= high + 1e-6);
            assert_true(fabs(p.y) >= low - 1e-6 || p.x >= 2210 - 1e-6 || p.x <= 10 + 1e-6);
        }
        CHECK_NEAR(ring_box(made.outline.ring).max.y, most, 0.05);
        arena_rewind(*state, mark);
    }
}

// Metamorphic: two equal sides make up the whole, and a right side mirrors a left one.
static void two_sides_make_up_the_whole(void **state)
{
    enum { COUNT = 7 };
    Station both[COUNT] = {{0, 150, 150, true, true},    {-60, 420, 420, true, true},
                           {0, 620, 620, true, true},    {300, 540, 540, true, true},
                           {1100, 560, 560, true, true}, {1700, 430, 430, true, true},
                           {2000, 300, 300, true, true}};
    const HideEntry whole_entry = by_stations(both, COUNT);
    const Made whole = make(&whole_entry, LENGTH_MM, *state);
    Station left[COUNT];
    Station right[COUNT];
    for (int i = 0; i < COUNT; i++) {
        left[i] = (Station){both[i].up_mm, both[i].left_mm, 0, true, false};
        right[i] = (Station){both[i].up_mm, 0, both[i].right_mm, false, true};
    }
    const HideEntry left_entry = {.form = HIDE_SIDE, .stations = left, .station_count = COUNT};
    const HideEntry right_entry = {
        .form = HIDE_SIDE, .right_side = true, .stations = right, .station_count = COUNT};
    const Made one = make(&left_entry, LENGTH_MM, *state);
    const Made other = make(&right_entry, LENGTH_MM, *state);
    assert_true(whole.made && one.made && other.made);
    // Not the same to the last digit: a side has a place of its own at the neck end.
    const double area_mm2 = ring_area_mm2(whole.outline.ring);
    CHECK_NEAR(2 * ring_area_mm2(one.outline.ring), area_mm2, 0.0005 * area_mm2);
    CHECK_NEAR(ring_area_mm2(one.outline.ring), ring_area_mm2(other.outline.ring), 1e-6);
    CHECK_NEAR(ring_box(one.outline.ring).min.y, 0, 0);
    CHECK_NEAR(ring_box(other.outline.ring).max.y, 0, 0);
    CHECK_NEAR(one.outline.backbone_mm, 2000, 0);
    CHECK_NEAR(other.outline.backbone_mm, 2000, 0);
}

static void panel_is_a_rectangle_on_the_backbone(void **state)
{
    const HideEntry entry = {.form = HIDE_PANEL, .panel_length_mm = 900, .panel_width_mm = 600};
    const Made made = make(&entry, LENGTH_MM, *state);
    assert_true(made.made);
    CHECK_NEAR(ring_area_mm2(made.outline.ring), 540000, 0);
    const Box box = ring_box(made.outline.ring);
    CHECK_NEAR(box.min.x, 0, 0);
    CHECK_NEAR(box.min.y, -300, 0);
    CHECK_NEAR(made.outline.backbone_mm, 900, 0);
}

static void check_only(const Made made, const char *where, const char *found, const char *allowed)
{
    assert_false(made.made);
    assert_int_equal(made.problems->mistakes, 1);
    const Problem *problem = &made.problems->items[made.problems->count - 1];
    assert_int_equal(problem->kind, PROBLEM_BAD_INPUT);
    assert_string_equal(problem->where, where);
    assert_string_equal(problem->found, found);
    if (allowed) {
        assert_string_equal(problem->allowed, allowed);
    }
}

static const Station plain[] = {
    {0, 500, 500, true, true}, {1000, 600, 600, true, true}, {2000, 300, 300, true, true}};

static void impossible_stations_are_refused(void **state)
{
    Station s[4];
    HideEntry entry = by_stations(s, 3);

    memcpy(s, plain, sizeof plain);
    s[1].left_mm = -40;
    check_only(make(&entry, LENGTH_MM, *state), "hides[0].stations[1].left", "-40 mm",
               "0 to 6000 mm");
    s[1].left_mm = nan("");
    check_only(make(&entry, LENGTH_MM, *state), "hides[0].stations[1].left", "is not a number",
               "0 to 6000 mm");
    s[1].left_mm = 600;
    s[1].up_mm = 25400;
    check_only(make(&entry, LENGTH_IN, *state), "hides[0].stations[1].up", "1000 in",
               "-236 1/4 to 236 1/4 in");

    memcpy(s, plain, sizeof plain);
    s[2].has_left = s[2].has_right = false;
    check_only(make(&entry, LENGTH_MM, *state), "hides[0].stations[2]",
               "gives neither left nor right",
               "how far out the edge lies on the left, the right or both");

    memcpy(s, plain, sizeof plain);
    s[0].has_right = s[1].has_right = s[2].has_right = false;
    check_only(make(&entry, LENGTH_MM, *state), "hides[0].stations",
               "no station gives the right half", "a whole hide has places on both halves");
    entry.form = HIDE_SIDE;
    entry.right_side = true;
    check_only(make(&entry, LENGTH_MM, *state), "hides[0].half",
               "right, but 3 of the stations give the left half",
               "a side has places on its own half only");

    entry = by_stations(s, 2);
    check_only(make(&entry, LENGTH_MM, *state), "hides[0].stations", "2 stations", "3 to 200");
}

static void an_edge_that_crosses_names_the_stations(void **state)
{
    // Stations 2 and 3 in the wrong order.
    const Station s[] = {{0, 500, 500, true, true},    {500, 600, 600, true, true},
                         {1500, 500, 0, true, false},  {900, 900, 0, true, false},
                         {1600, 400, 580, true, true}, {2000, 300, 300, true, true}};
    const HideEntry entry = by_stations(s, 6);
    const Made made = make(&entry, LENGTH_MM, *state);
    assert_false(made.made);
    const Problem *problem = &made.problems->items[made.problems->count - 1];
    print_message("# %s: %s\n", problem->where, problem->found);
    assert_non_null(strstr(problem->where, "hides[0].stations["));
    assert_non_null(strstr(problem->found, "the edge crosses or touches itself"));
    assert_non_null(strstr(problem->found, "near stations["));
    assert_string_equal(problem->allowed, "an edge that meets itself nowhere");
}

static void points_that_cross_are_refused(void **state)
{
    const Point bow[] = {{0, -300}, {1000, 300}, {1000, -300}, {0, 300}};
    const HideEntry entry = {.form = HIDE_WHOLE, .points = bow, .point_count = 4};
    const Made made = make(&entry, LENGTH_MM, *state);
    check_only(made, "hides[0].points[0]",
               "the edge crosses or touches itself 500 mm up, 0 mm to the left, near points[2]",
               "an edge that meets itself nowhere");
    const Point same[] = {{5, 5}, {5, 5}, {900, 5}, {900, 5}};
    const HideEntry two = {.form = HIDE_WHOLE, .points = same, .point_count = 4};
    check_only(make(&two, LENGTH_MM, *state), "hides[0].points",
               "only 2 different places on the edge", "three or more");
}

static void a_side_on_the_wrong_half_is_refused(void **state)
{
    const Point half[] = {{0, 0}, {2000, 0}, {2000, 400}, {1000, 600}, {0, 500}};
    HideEntry entry = {.form = HIDE_SIDE, .points = half, .point_count = 5};
    assert_true(make(&entry, LENGTH_MM, *state).made);
    entry.right_side = true;
    check_only(make(&entry, LENGTH_MM, *state), "hides[0].half",
               "right, but the points lie on the left", NULL);
}

static void impossible_panels_are_refused(void **state)
{
    HideEntry entry = {.form = HIDE_PANEL, .panel_length_mm = 0, .panel_width_mm = 600};
    check_only(make(&entry, LENGTH_MM, *state), "hides[0].length", "0 mm",
               "more than 0, up to 6000 mm");
    entry.panel_length_mm = 700;
    entry.panel_width_mm = 6001;
    check_only(make(&entry, LENGTH_MM, *state), "hides[0].width", "6001 mm",
               "more than 0, up to 6000 mm");
    entry.panel_width_mm = 6000;
    assert_true(make(&entry, LENGTH_MM, *state).made);
}

static const Station blunt[] = {{-15, 0, 0, true, true},      {0, 500, 520, true, true},
                                {600, 700, 690, true, true},  {1400, 600, 610, true, true},
                                {2000, 300, 310, true, true}, {2050, 0, 0, true, true}};

static void a_first_station_on_the_backbone_is_the_butt_end(void **state)
{
    const HideEntry entry = by_stations(blunt, 6);
    const Made made = make(&entry, LENGTH_MM, *state);
    assert_true(made.made);
    CHECK_NEAR(ring_box(made.outline.ring).min.x, -15, 0.05); // tidied to 0.05 mm
    assert_true(ring_contains(made.outline.ring, (Point){-5, 0}));
    // One half may give it for both.
    Station half_given[6];
    memcpy(half_given, blunt, sizeof blunt);
    half_given[0].has_right = false;
    const HideEntry one = by_stations(half_given, 6);
    const Made same = make(&one, LENGTH_MM, *state);
    assert_true(same.made);
    CHECK_NEAR(ring_area_mm2(same.outline.ring), ring_area_mm2(made.outline.ring), 1e-6);
}

static void without_one_the_tapes_zero_is_the_butt_end(void **state)
{
    const HideEntry entry = by_stations(blunt + 1, 5);
    const Made made = make(&entry, LENGTH_MM, *state);
    assert_true(made.made);
    CHECK_NEAR(ring_distance_mm(made.outline.ring, (Point){0, 0}), 0, 0.06);
}

static void a_tape_that_begins_elsewhere_is_doubted(void **state)
{
    const Point shifted[] = {{400, -500}, {2400, -500}, {2400, 500}, {400, 500}};
    const HideEntry entry = {.form = HIDE_WHOLE, .points = shifted, .point_count = 4};
    const Made made = make(&entry, LENGTH_MM, *state);
    assert_true(made.made);
    assert_int_equal(made.problems->doubts, 1);
    assert_string_equal(made.problems->items[0].found,
                        "on the backbone the outline begins 400 mm up instead of at 0");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(area_of_an_ellipse_by_stations),
        TEST_IN_ARENA(mean_outline_has_the_published_proportions),
        TEST_IN_ARENA(taped_area_is_near_the_outline_that_was_taped),
        TEST_IN_ARENA(smooth_line_does_not_overshoot),
        TEST_IN_ARENA(two_sides_make_up_the_whole),
        TEST_IN_ARENA(panel_is_a_rectangle_on_the_backbone),
        TEST_IN_ARENA(impossible_stations_are_refused),
        TEST_IN_ARENA(an_edge_that_crosses_names_the_stations),
        TEST_IN_ARENA(points_that_cross_are_refused),
        TEST_IN_ARENA(a_side_on_the_wrong_half_is_refused),
        TEST_IN_ARENA(impossible_panels_are_refused),
        TEST_IN_ARENA(a_first_station_on_the_backbone_is_the_butt_end),
        TEST_IN_ARENA(without_one_the_tapes_zero_is_the_butt_end),
        TEST_IN_ARENA(a_tape_that_begins_elsewhere_is_doubted),
    };
    return cmocka_run_group_tests_name("hide/outline", tests, NULL, NULL);
}
