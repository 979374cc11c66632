#include "paper/marks.h"

#include "base/number.h"
#include "plane/curve.h"
#include "support/sample_matter.h"

#define EIGHTH_MM (25.4 / 8)

/// A placed cover's mark must be where its readings say, to half of what a tape shows.
static void readings_tell_where_the_marks_are(void **state)
{
    for (int metric = 0; metric < 2; metric++) {
        const PackMatter *matter = sample_matter((SampleWish){.metric = metric == 1}, *state);
        const LengthUnit unit = matter->job->units.length;
        const double half_mm = unit == LENGTH_IN ? EIGHTH_MM / 2 : 0.5;
        for (int i = 0; i < matter->plan->cover_count; i++) {
            const PlacedCover *cover = &matter->plan->covers[i];
            const Marks marks = marks_of(cover->cut, cover->motion.turn_rad, unit);
            for (int k = 0; k < marks.count; k++) {
                CHECK_NEAR(marks.items[k].up_mm, marks.items[k].place.x, half_mm + 1e-9);
                CHECK_NEAR(marks.items[k].out_mm, marks.items[k].place.y, half_mm + 1e-9);
                CHECK_NEAR(ring_distance_mm(cover->cut, marks.items[k].place), 0, 1e-6);
            }
        }
    }
}

/// The number at the beginning of a reading, in mm, by the reader of the base module.
static double read_back_mm(const char *text, LengthUnit unit)
{
    char digits[32];
    size_t length = strspn(text, "0123456789 /-");
    assert_true(length < sizeof digits);
    memcpy(digits, text, length);
    while (length > 0 && digits[length - 1] == ' ') {
        length--;
    }
    digits[length] = '\0';
    Number number = {0};
    assert_null(number_read(digits, &number));
    return length_to_mm(number.value, unit);
}

/// What is printed, read again and put back into the seat's frame of reference, lies on
/// the cover that it was made from.
static void printed_readings_give_the_placement_back(void **state)
{
    const PackMatter *matter = sample_matter((SampleWish){0}, *state);
    for (int i = 0; i < matter->plan->cover_count; i++) {
        const PlacedCover *placed = &matter->plan->covers[i];
        const Cover *cover = matter->demands[placed->demand].cover;
        const Marks marks = marks_of(placed->cut, placed->motion.turn_rad, LENGTH_IN);
        for (int k = 0; k < marks.count; k++) {
            const char *up = marks_up_text(marks.items[k].up_mm, LENGTH_IN, *state);
            const char *out = marks_out_text(marks.items[k].out_mm, LENGTH_IN, *state);
            Point read = {read_back_mm(up, LENGTH_IN), read_back_mm(out, LENGTH_IN)};
            read.x = strstr(up, "behind") ? -read.x : read.x;
            read.y = strstr(out, "right") ? -read.y : read.y;
            const Point on_cover = motion_undo(motion_matrix(placed->motion), read);
            // Both readings off by half an eighth at most.
            assert_true(ring_distance_mm(cover->cut, on_cover) <= EIGHTH_MM / 2 * sqrt(2) + 1e-6);
        }
    }
}

static void straight_cuts_are_marked_at_all_corners(void **state)
{
    (void)state;
    // As it lies on the hide with its front to the butt (a quarter turn to the right):
    // the seat's front left is at the butt, to the left.
    const Point corners[] = {{900, 200}, {300, 250}, {300, -250}, {900, -200}};
    const Marks marks = marks_of((Ring){corners, 4}, -90 * RAD_PER_DEG, LENGTH_MM);
    assert_int_equal(marks.count, 4);
    CHECK_NEAR(marks.items[0].up_mm, 300, 0);
    CHECK_NEAR(marks.items[0].out_mm, 250, 0);
    CHECK_NEAR(marks.items[1].out_mm, -250, 0);
    CHECK_NEAR(marks.items[2].up_mm, 900, 0);
    assert_int_equal(marks.diagonal_count, 2);
    for (int i = 0; i < 2; i++) {
        assert_int_equal(marks.diagonal[i][1] - marks.diagonal[i][0], 2);
    }
}

static void a_triangle_has_no_diagonals(void **state)
{
    (void)state;
    const Point corners[] = {{0, 0}, {500, 0}, {0, 400}};
    const Marks marks = marks_of((Ring){corners, 3}, 0, LENGTH_MM);
    assert_int_equal(marks.count, 3);
    assert_int_equal(marks.diagonal_count, 0);
}

// Closed form: eight places on a circle of radius R stand 2 R sin(22.5 deg) apart, and
// opposite ones 2 R.
static void a_round_cover_has_eight_even_marks(void **state)
{
    const double radius_mm = 320;
    const Ring ring = curve_ellipse((Point){700, -100}, radius_mm, radius_mm, 0.01, *state);
    const Marks marks = marks_of(ring, -80 * RAD_PER_DEG, LENGTH_MM);
    assert_int_equal(marks.count, 8);
    for (int i = 0; i < 8; i++) {
        const double chord_mm =
            point_distance(marks.items[i].place, marks.items[(i + 1) % 8].place);
        // The ring's own steps are about a degree: marks are picked among its points.
        CHECK_NEAR(chord_mm, 2 * radius_mm * sin(22.5 * RAD_PER_DEG), 8);
    }
    for (int i = 0; i < 2; i++) {
        CHECK_NEAR(point_distance(marks.items[marks.diagonal[i][0]].place,
                                  marks.items[marks.diagonal[i][1]].place),
                   2 * radius_mm, 1);
    }
}

static void readings_are_words_of_the_tape(void **state)
{
    assert_string_equal(marks_up_text(34.25 * 25.4, LENGTH_IN, *state), "34 1/4");
    assert_string_equal(marks_up_text(-2.5 * 25.4, LENGTH_IN, *state), "2 1/2 behind");
    assert_string_equal(marks_out_text(12.375 * 25.4, LENGTH_IN, *state), "12 3/8 left");
    assert_string_equal(marks_out_text(-4 * 25.4, LENGTH_IN, *state), "4 right");
    assert_string_equal(marks_out_text(0, LENGTH_MM, *state), "0");
    CHECK_NEAR(marks_rounded_mm(100, LENGTH_IN), 31.5 * EIGHTH_MM, EIGHTH_MM / 2);
    CHECK_NEAR(marks_rounded_mm(3.6, LENGTH_MM), 4, 0);
}

static void copies_have_names_of_their_own(void **state)
{
    const CoverDemand demands[] = {
        {.name = "A", .count = 6}, {.name = "B2", .count = 2}, {.name = "C", .count = 1}};
    const PackMatter matter = {.demands = demands, .demand_count = 3};
    const PlacedCover first = {.demand = 0, .copy = 2};
    const PlacedCover second = {.demand = 1, .copy = 0};
    const PlacedCover third = {.demand = 2, .copy = 0};
    assert_string_equal(cover_name(matter.demands, &first, *state), "A3");
    assert_string_equal(cover_name(matter.demands, &second, *state), "B2-1");
    assert_string_equal(cover_name(matter.demands, &third, *state), "C");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(readings_tell_where_the_marks_are),
        TEST_IN_ARENA(printed_readings_give_the_placement_back),
        cmocka_unit_test(straight_cuts_are_marked_at_all_corners),
        cmocka_unit_test(a_triangle_has_no_diagonals),
        TEST_IN_ARENA(a_round_cover_has_eight_even_marks),
        TEST_IN_ARENA(readings_are_words_of_the_tape),
        TEST_IN_ARENA(copies_have_names_of_their_own),
    };
    return cmocka_run_group_tests_name("paper/marks", tests, NULL, NULL);
}
