#include "seat/frame.h"

#include "base/random.h"
#include "support/check.h"

static Frame measures_of(const Point corner[CORNER_COUNT])
{
    return (Frame){.shape = FRAME_MEASURED,
                   .front_mm = point_distance(corner[0], corner[1]),
                   .right_mm = point_distance(corner[1], corner[2]),
                   .back_mm = point_distance(corner[2], corner[3]),
                   .left_mm = point_distance(corner[3], corner[0]),
                   .diagonal_left_mm = point_distance(corner[0], corner[2]),
                   .diagonal_right_mm = point_distance(corner[1], corner[3])};
}

static bool outline_of(Frame frame, Arena *arena, Ring *outline, Problems **problems)
{
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    *problems = problems_in(arena);
    const bool made = frame_outline(&frame, "seats[0].frame", arena, scratch, outline, *problems);
    arena_destroy(scratch);
    return made;
}

// Front on the x axis, its middle in the origin.
static void random_frame(Random *random, Point corner[CORNER_COUNT])
{
    const double half_mm = random_between(random, 150, 400);
    corner[CORNER_FRONT_LEFT] = (Point){-half_mm, 0};
    corner[CORNER_FRONT_RIGHT] = (Point){half_mm, 0};
    corner[CORNER_BACK_RIGHT] =
        (Point){random_between(random, 100, 450), random_between(random, 250, 600)};
    corner[CORNER_BACK_LEFT] =
        (Point){random_between(random, -450, -100), random_between(random, 250, 600)};
}

static bool turns_left(const Point corner[CORNER_COUNT])
{
    for (int i = 0; i < CORNER_COUNT; i++) {
        const Point in = point_minus(corner[i], corner[(i + 3) % 4]);
        const Point out = point_minus(corner[(i + 1) % 4], corner[i]);
        if (point_cross(in, out) <= 1000) {
            return false;
        }
    }
    return true;
}

static void true_frames_are_recovered(void **state)
{
    for (uint64_t trial = 0; trial < 1000; trial++) {
        Random random = random_begin(20, trial, 0);
        Point corner[CORNER_COUNT];
        random_frame(&random, corner);
        if (!turns_left(corner)) {
            continue;
        }
        const ArenaMark mark = arena_mark(*state);
        Ring outline;
        Problems *problems;
        assert_true(outline_of(measures_of(corner), *state, &outline, &problems));
        assert_int_equal(problems->count, 0);
        assert_int_equal(outline.count, 4);
        for (int i = 0; i < CORNER_COUNT; i++) {
            CHECK_NEAR(ring_distance_mm(outline, corner[i]), 0, 1e-6);
        }
        arena_rewind(*state, mark);
    }
}

// A slip of the tape in one measure goes into all six, so the fit lies nearer to the
// true frame than the slip is long; and the sum of squares is at its least there.
static double sum_of_squares(const Point corner[CORNER_COUNT], Frame wanted)
{
    const Frame found = measures_of(corner);
    const double off[] = {found.front_mm - wanted.front_mm,
                          found.right_mm - wanted.right_mm,
                          found.back_mm - wanted.back_mm,
                          found.left_mm - wanted.left_mm,
                          found.diagonal_left_mm - wanted.diagonal_left_mm,
                          found.diagonal_right_mm - wanted.diagonal_right_mm};
    double sum = 0;
    for (int i = 0; i < 6; i++) {
        sum += off[i] * off[i];
    }
    return sum;
}

static void slips_are_shared_in_the_least_squares_sense(void **state)
{
    Random random = random_begin(21, 0, 0);
    Frame frame = {.shape = FRAME_MEASURED,
                   .front_mm = 457,
                   .right_mm = 405,
                   .back_mm = 394,
                   .left_mm = 409,
                   .diagonal_left_mm = 588.4,
                   .diagonal_right_mm = 588};
    Ring outline;
    Problems *problems;
    assert_true(outline_of(frame, *state, &outline, &problems));
    Point corner[CORNER_COUNT];
    memcpy(corner, outline.points, sizeof corner);
    // Begin with the front left corner, as the measures do.
    while (corner[0].x > 0 || corner[0].y > 1) {
        const Point first = corner[0];
        memmove(corner, corner + 1, 3 * sizeof corner[0]);
        corner[3] = first;
    }
    const double least = sum_of_squares(corner, frame);
    assert_true(least > 1e-3);
    for (int i = 0; i < 200; i++) {
        Point near[CORNER_COUNT];
        for (int k = 0; k < CORNER_COUNT; k++) {
            near[k] = point_plus(corner[k], (Point){random_between(&random, -0.01, 0.01),
                                                    random_between(&random, -0.01, 0.01)});
        }
        assert_true(sum_of_squares(near, frame) > least - 1e-9);
    }
}

static Frame square_frame(void)
{
    return (Frame){.shape = FRAME_MEASURED,
                   .front_mm = 400,
                   .right_mm = 300,
                   .back_mm = 400,
                   .left_mm = 300,
                   .diagonal_left_mm = 500,
                   .diagonal_right_mm = 500};
}

static void a_measure_too_long_for_its_triangle_is_named(void **state)
{
    Frame frame = square_frame();
    frame.diagonal_left_mm = 700;
    Ring outline;
    Problems *problems;
    assert_false(outline_of(frame, *state, &outline, &problems));
    assert_string_equal(problems->items[0].where, "seats[0].frame.diagonal_left");
    assert_string_equal(problems->items[0].found,
                        "700 mm (27 9/16 in) is as long as the front and the right side together, "
                        "or longer; they are 400 mm (15 3/4 in) and 300 mm (11 13/16 in)");
    assert_string_equal(problems->items[0].allowed, "less than 700 mm (27 9/16 in)");
}

static void a_quarter_inch_is_the_limit_and_a_sixteenth_a_doubt(void **state)
{
    Frame frame = square_frame();
    Ring outline;
    Problems *problems;
    frame.diagonal_right_mm = 501.5;
    assert_true(outline_of(frame, *state, &outline, &problems));
    assert_int_equal(problems->count, 0);
    frame.diagonal_right_mm = 506.3;
    assert_true(outline_of(frame, *state, &outline, &problems));
    assert_int_equal(problems->doubts, 1);
    frame.diagonal_right_mm = 507;
    assert_false(outline_of(frame, *state, &outline, &problems));
    const Problem problem = problems->items[0];
    assert_string_equal(problem.where, "seats[0].frame.diagonal_right");
    assert_string_equal(problem.found, "507 mm (19 15/16 in) does not fit the four sides and the "
                                       "left diagonal, by 7.0 mm (0.28 in)");
    assert_string_equal(problem.allowed, "500 mm (19 11/16 in), within 1/4 in (6.4 mm)");
    assert_string_equal(problem.remedy,
                        "measure both diagonals again; if the sides are right, either the right "
                        "diagonal is 500 mm (19 11/16 in) or the left one 493 mm (19 3/8 in)");
}

static void a_corner_that_bends_in_is_refused(void **state)
{
    // The back right corner pushed in past the other diagonal.
    const Point corner[CORNER_COUNT] = {{-200, 0}, {200, 0}, {-20, 150}, {-200, 400}};
    Ring outline;
    Problems *problems;
    assert_false(outline_of(measures_of(corner), *state, &outline, &problems));
    assert_true(problems->mistakes > 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(true_frames_are_recovered),
        TEST_IN_ARENA(slips_are_shared_in_the_least_squares_sense),
        TEST_IN_ARENA(a_measure_too_long_for_its_triangle_is_named),
        TEST_IN_ARENA(a_quarter_inch_is_the_limit_and_a_sixteenth_a_doubt),
        TEST_IN_ARENA(a_corner_that_bends_in_is_refused),
    };
    return cmocka_run_group_tests_name("seat/measured", tests, NULL, NULL);
}
