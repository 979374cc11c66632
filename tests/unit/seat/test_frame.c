#include "seat/frame.h"

#include "base/units.h"
#include "support/check.h"

#include "seats.h"

static Ring outline_of(Frame frame, Arena *arena)
{
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    Problems *problems = problems_in(arena);
    Ring outline = {NULL, 0};
    assert_true(frame_outline(&frame, "seats[0].frame", arena, scratch, &outline, problems));
    arena_destroy(scratch);
    assert_int_equal(problems->count, 0);
    assert_true(ring_area_mm2(outline) > 0);
    assert_true(ring_is_simple(outline, NULL));
    return outline;
}

// The first problem of a frame that is refused; nothing else may be touched.
static Problem refusal(Frame frame, Arena *arena)
{
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    Problems *problems = problems_in(arena);
    Ring outline = {NULL, -7};
    assert_false(frame_outline(&frame, "seats[2].frame", arena, scratch, &outline, problems));
    arena_destroy(scratch);
    assert_int_equal(outline.count, -7);
    assert_true(problems->mistakes > 0);
    return problems->items[0];
}

// F13 of the trade's formulas: (front + back) / 2 x depth; 268 in2 is 1.861 ft2.
static void a_taper_has_the_area_of_a_trapezoid(void **state)
{
    const Ring outline = outline_of(side_chair(), *state);
    CHECK_NEAR(ring_area_mm2(outline), 268 * MM_PER_IN * MM_PER_IN, 1e-6);
    CHECK_NEAR(area_from_mm2(ring_area_mm2(outline), AREA_FT2), 1.861, 5e-4);
}

static void the_front_lies_on_the_x_axis_and_its_middle_in_the_origin(void **state)
{
    const Box box = ring_box(outline_of(side_chair(), *state));
    CHECK_NEAR(box.min.x, -457.2 / 2, 1e-9);
    CHECK_NEAR(box.max.x, 457.2 / 2, 1e-9);
    CHECK_NEAR(box.min.y, 0, 1e-9);
    CHECK_NEAR(box.max.y, 406.4, 1e-9);
}

static void rounded_corners_take_their_share_of_a_rectangle(void **state)
{
    Frame frame = {.shape = FRAME_RECTANGLE, .front_mm = 450, .depth_mm = 400};
    double taken_mm2 = 0;
    for (int i = 0; i < CORNER_COUNT; i++) {
        frame.radius_mm[i] = 20 + 10 * i;
        taken_mm2 += (1 - PI / 4) * frame.radius_mm[i] * frame.radius_mm[i];
    }
    // Chords within 0.05 mm leave at most two thirds of that along each arc.
    const double arcs_mm = PI / 2 * (20 + 30 + 40 + 50);
    CHECK_NEAR(ring_area_mm2(outline_of(frame, *state)), 450 * 400 - taken_mm2,
               arcs_mm * 0.05 * 2 / 3);
}

static void roundings_may_use_up_a_side(void **state)
{
    const Frame frame = {.shape = FRAME_RECTANGLE,
                         .front_mm = 450,
                         .depth_mm = 400,
                         .radius_mm = {[CORNER_FRONT_RIGHT] = 200, [CORNER_BACK_RIGHT] = 200}};
    CHECK_NEAR(ring_area_mm2(outline_of(frame, *state)), 250.0 * 400 + PI / 2 * 200 * 200,
               PI * 200 * 0.05 * 2 / 3);
}

// Area of a circular segment, r^2 / 2 (angle - sin angle): any handbook of
// mathematics (from memory).
static void a_bow_adds_a_circular_segment(void **state)
{
    const double bow_mm = 30;
    const Frame frame = {.shape = FRAME_RECTANGLE,
                         .front_mm = 450,
                         .depth_mm = 400,
                         .bow_mm = {{[SIDE_FRONT] = bow_mm, [SIDE_BACK] = -12}}};
    double area_mm2 = 450 * 400;
    const double bows_mm[] = {bow_mm, -12};
    for (int i = 0; i < 2; i++) {
        const double rise_mm = fabs(bows_mm[i]);
        const double radius_mm = (225 * 225 + rise_mm * rise_mm) / (2 * rise_mm);
        const double angle_rad = 2 * asin(225 / radius_mm);
        area_mm2 += copysign(radius_mm * radius_mm / 2 * (angle_rad - sin(angle_rad)), bows_mm[i]);
    }
    CHECK_NEAR(ring_area_mm2(outline_of(frame, *state)), area_mm2, 2 * 470 * 0.05 * 2 / 3);
}

// Tangent arcs leave no corner: every turn is that of a chord, 2 acos(1 - 0.05 / r).
static void rounded_corners_touch_bowed_sides(void **state)
{
    Frame frame = side_chair_rounded();
    frame.bow_mm = (Sides){{40, -10, -25, 15}};
    const Ring outline = outline_of(frame, *state);
    const double chord_turn_rad = 2 * acos(1 - 0.05 / 25.4);
    for (int i = 0; i < outline.count; i++) {
        const Point in = point_minus(ring_point(outline, i + 1), ring_point(outline, i));
        const Point out = point_minus(ring_point(outline, i + 2), ring_point(outline, i + 1));
        const double turn_rad = atan2(point_cross(in, out), point_dot(in, out));
        assert_true(fabs(turn_rad) <= chord_turn_rad + 1e-6);
    }
}

static void rounds_and_ovals_have_the_area_of_an_ellipse(void **state)
{
    const Frame round = {.shape = FRAME_ROUND, .front_mm = 350};
    CHECK_NEAR(ring_area_mm2(outline_of(round, *state)), PI * 175 * 175, PI * 350 * 0.05);
    const Ring outline =
        outline_of((Frame){.shape = FRAME_OVAL, .front_mm = 500, .depth_mm = 380}, *state);
    CHECK_NEAR(ring_area_mm2(outline), PI * 250 * 190, PI * 440 * 0.05);
    CHECK_NEAR(ring_box(outline).min.y, 0, 1e-9);
    CHECK_NEAR(ring_box(outline).max.y, 380, 1e-9);
}

static void a_d_is_a_rectangle_and_half_an_ellipse(void **state)
{
    Frame frame = {.shape = FRAME_D, .front_mm = 420, .depth_mm = 430, .curve_mm = 180};
    CHECK_NEAR(ring_area_mm2(outline_of(frame, *state)), 420 * 250 + PI / 2 * 210 * 180,
               PI * 200 * 0.05);
    frame.curve_mm = 0; // half the front
    CHECK_NEAR(ring_area_mm2(outline_of(frame, *state)), 420 * 220 + PI / 2 * 210 * 210,
               PI * 210 * 0.05);
    frame.depth_mm = 210; // nothing but the round part
    CHECK_NEAR(ring_area_mm2(outline_of(frame, *state)), PI / 2 * 210 * 210, PI * 210 * 0.05);
}

static void notches_are_measured_from_where_the_sides_would_meet(void **state)
{
    Frame frame = {.shape = FRAME_RECTANGLE,
                   .front_mm = 450,
                   .depth_mm = 400,
                   .radius_mm = {0, 0, 10, 0},
                   .notch = {[CORNER_BACK_RIGHT] = {40, 50, 0}, [CORNER_BACK_LEFT] = {30, 20, 8}}};
    // A rounded inner corner leaves (1 - pi / 4) r^2 more wood.
    const double taken_mm2 = 40 * 50 + 30 * 20 - (1 - PI / 4) * 8 * 8;
    CHECK_NEAR(ring_area_mm2(outline_of(frame, *state)), 450 * 400 - taken_mm2, 0.5);
    // The sides of a taper slope outward from the back, so there is more to take:
    // 50 deep, and half of 50 x the slope.
    frame = side_chair();
    frame.notch[CORNER_BACK_RIGHT] = (Notch){40, 50, 0};
    const double slope = (457.2 - 393.7) / 2 / 406.4;
    CHECK_NEAR(ring_area_mm2(outline_of(frame, *state)),
               268 * MM_PER_IN * MM_PER_IN - 40 * 50 - 50 * 50 * slope / 2, 1e-6);
}

static void a_traced_outline_stays_where_it_is_and_runs_counter_clockwise(void **state)
{
    static const Point clockwise[] = {{3, 1}, {3, 301}, {3, 301}, {203, 301}, {203, 1}, {100, 1}};
    const Ring outline =
        outline_of((Frame){.shape = FRAME_TRACED, .traced = {clockwise, 6}}, *state);
    assert_int_equal(outline.count, 4);
    CHECK_NEAR(ring_area_mm2(outline), 200 * 300, 1e-9);
    CHECK_NEAR(ring_box(outline).min.x, 3, 0);
}

static void a_traced_outline_that_crosses_itself_is_refused_with_the_place(void **state)
{
    static const Point bow_tie[] = {{0, 0}, {254, 254}, {254, 0}, {0, 254}};
    const Problem problem = refusal((Frame){.shape = FRAME_TRACED, .traced = {bow_tie, 4}}, *state);
    assert_string_equal(problem.where, "seats[2].frame.outline");
    assert_string_equal(problem.found, "it crosses itself near x 127 mm (5 in), y 127 mm (5 in)");
}

static void a_radius_too_large_is_refused_with_the_largest_that_fits(void **state)
{
    Frame frame = {.shape = FRAME_RECTANGLE, .front_mm = 450, .depth_mm = 400};
    frame.radius_mm[CORNER_BACK_LEFT] = 401;
    const Problem problem = refusal(frame, *state);
    assert_string_equal(problem.where, "seats[2].frame.corner_radius.back_left");
    assert_string_equal(problem.found,
                        "401 mm (15 13/16 in) is too large for the sides that meet there");
    assert_string_equal(problem.allowed, "at most 400 mm (15 11/16 in)");
    frame.radius_mm[CORNER_BACK_LEFT] = 400;
    (void)outline_of(frame, *state);
}

static void two_radii_must_share_a_side(void **state)
{
    Frame frame = {.shape = FRAME_RECTANGLE, .front_mm = 450, .depth_mm = 400};
    frame.radius_mm[CORNER_FRONT_LEFT] = 200;
    frame.radius_mm[CORNER_FRONT_RIGHT] = 300;
    const Problem problem = refusal(frame, *state);
    assert_string_equal(problem.where, "seats[2].frame.corner_radius.front_right");
    assert_string_equal(problem.found, "the roundings at both ends of the front take 500 mm "
                                       "(19 11/16 in) of its 450 mm (17 11/16 in)");
}

static void a_bow_is_at_most_a_quarter_of_its_side(void **state)
{
    Frame frame = {.shape = FRAME_RECTANGLE, .front_mm = 400, .depth_mm = 400};
    frame.bow_mm.at[SIDE_RIGHT] = 100;
    (void)outline_of(frame, *state);
    frame.bow_mm.at[SIDE_RIGHT] = -100.5;
    const Problem problem = refusal(frame, *state);
    assert_string_equal(problem.where, "seats[2].frame.bow.right");
    assert_string_equal(problem.allowed, "at most 100 mm (3 7/8 in), in or out");
}

static void hollow_sides_that_cross_are_refused(void **state)
{
    Frame frame = {.shape = FRAME_RECTANGLE, .front_mm = 800, .depth_mm = 150};
    frame.bow_mm.at[SIDE_FRONT] = -100;
    frame.bow_mm.at[SIDE_BACK] = -100;
    assert_string_equal(refusal(frame, *state).where, "seats[2].frame.bow");
}

static void notches_that_meet_are_refused(void **state)
{
    Frame frame = {.shape = FRAME_RECTANGLE, .front_mm = 450, .depth_mm = 400};
    frame.notch[CORNER_BACK_LEFT] = (Notch){250, 40, 0};
    frame.notch[CORNER_BACK_RIGHT] = (Notch){200, 40, 0};
    Problem problem = refusal(frame, *state);
    assert_string_equal(problem.where, "seats[2].frame.notches.back_left.width");
    assert_string_equal(problem.found, "the notches take 450 mm (17 11/16 in) of the back, which "
                                       "is 450 mm (17 11/16 in) long");
    frame.notch[CORNER_BACK_RIGHT] = (Notch){0};
    frame.notch[CORNER_FRONT_RIGHT] = (Notch){250, 370, 0}; // they meet in the middle
    frame.notch[CORNER_BACK_LEFT].depth_mm = 100;
    problem = refusal(frame, *state);
    assert_string_equal(problem.found, "the notch cuts the frame apart");
}

static void odd_notches_are_refused(void **state)
{
    Frame frame = {.shape = FRAME_RECTANGLE, .front_mm = 450, .depth_mm = 400};
    frame.notch[CORNER_BACK_LEFT] = (Notch){30, 0, 0};
    assert_string_equal(refusal(frame, *state).where, "seats[2].frame.notches.back_left.depth");
    frame.notch[CORNER_BACK_LEFT] = (Notch){30, 40, 31};
    assert_string_equal(refusal(frame, *state).where, "seats[2].frame.notches.back_left.radius");
    frame.notch[CORNER_BACK_LEFT] = (Notch){5, 5, 0};
    frame.radius_mm[CORNER_BACK_LEFT] = 100;
    assert_string_equal(refusal(frame, *state).found, "the notch does not reach the wood");
}

static void a_d_deeper_in_its_curve_than_in_all_is_refused(void **state)
{
    Frame frame = {.shape = FRAME_D, .front_mm = 420, .depth_mm = 180};
    Problem problem = refusal(frame, *state);
    assert_string_equal(problem.where, "seats[2].frame.curve");
    assert_string_equal(problem.found, "the round part, half the front, is 210 mm (8 1/4 in) deep, "
                                       "more than the whole seat");
    frame.depth_mm = 300;
    frame.radius_mm[CORNER_BACK_LEFT] = 20;
    assert_string_equal(refusal(frame, *state).where, "seats[2].frame.corner_radius.back_left");
}

static void values_that_are_no_lengths_are_refused(void **state)
{
    const double bad[] = {0, -3, (double)NAN, (double)INFINITY};
    for (int i = 0; i < 4; i++) {
        Frame frame = side_chair();
        frame.back_mm = bad[i];
        assert_string_equal(refusal(frame, *state).where, "seats[2].frame.back");
        frame = side_chair();
        frame.radius_mm[0] = bad[i];
        if (bad[i] != 0) {
            assert_string_equal(refusal(frame, *state).where,
                                "seats[2].frame.corner_radius.front_left");
        }
        frame = (Frame){.shape = FRAME_ROUND, .front_mm = bad[i]};
        assert_string_equal(refusal(frame, *state).where, "seats[2].frame.diameter");
    }
}

static void sides_are_told_by_quarters_of_a_turn(void **state)
{
    (void)state;
    assert_int_equal(side_of_normal((Point){0.6, -0.8}), SIDE_FRONT);
    assert_int_equal(side_of_normal((Point){0.8, -0.6}), SIDE_RIGHT);
    assert_int_equal(side_of_normal((Point){-0.6, 0.8}), SIDE_BACK);
    assert_int_equal(side_of_normal((Point){-0.8, 0.6}), SIDE_LEFT);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(a_taper_has_the_area_of_a_trapezoid),
        TEST_IN_ARENA(the_front_lies_on_the_x_axis_and_its_middle_in_the_origin),
        TEST_IN_ARENA(rounded_corners_take_their_share_of_a_rectangle),
        TEST_IN_ARENA(roundings_may_use_up_a_side),
        TEST_IN_ARENA(a_bow_adds_a_circular_segment),
        TEST_IN_ARENA(rounded_corners_touch_bowed_sides),
        TEST_IN_ARENA(rounds_and_ovals_have_the_area_of_an_ellipse),
        TEST_IN_ARENA(a_d_is_a_rectangle_and_half_an_ellipse),
        TEST_IN_ARENA(notches_are_measured_from_where_the_sides_would_meet),
        TEST_IN_ARENA(a_traced_outline_stays_where_it_is_and_runs_counter_clockwise),
        TEST_IN_ARENA(a_traced_outline_that_crosses_itself_is_refused_with_the_place),
        TEST_IN_ARENA(a_radius_too_large_is_refused_with_the_largest_that_fits),
        TEST_IN_ARENA(two_radii_must_share_a_side),
        TEST_IN_ARENA(a_bow_is_at_most_a_quarter_of_its_side),
        TEST_IN_ARENA(hollow_sides_that_cross_are_refused),
        TEST_IN_ARENA(notches_that_meet_are_refused),
        TEST_IN_ARENA(odd_notches_are_refused),
        TEST_IN_ARENA(a_d_deeper_in_its_curve_than_in_all_is_refused),
        TEST_IN_ARENA(values_that_are_no_lengths_are_refused),
        cmocka_unit_test(sides_are_told_by_quarters_of_a_turn),
    };
    return cmocka_run_group_tests_name("seat/frame", tests, NULL, NULL);
}
