// Whatever seat is asked for: it is refused with a reason, or its cover holds together.
#include "base/random.h"
#include "plane/curve.h"
#include "support/check.h"
#include "support/trials.h"

#include "seats.h"

static double sometimes(Random *random, double share, double from, double to)
{
    return random_share(random) < share ? random_between(random, from, to) : 0;
}

static Ring random_trace(Random *random, Arena *arena)
{
    const int count = 5 + random_below(random, 12);
    Point *points = ARENA_ARRAY(arena, Point, count);
    for (int i = 0; i < count; i++) {
        const MotionMatrix turn = motion_matrix((Motion){0, 220, 6.283185 * i / count});
        points[i] = motion_apply(turn, (Point){random_between(random, 150, 280), 0});
    }
    return curve_through(points, count, random_between(random, 5, 40), arena);
}

static Frame random_frame(Random *random, Arena *arena)
{
    Frame frame = {.shape = (FrameShape)random_below(random, FRAME_SHAPE_COUNT),
                   .front_mm = random_between(random, 280, 650),
                   .back_mm = random_between(random, 250, 600),
                   .depth_mm = random_between(random, 280, 600)};
    frame.curve_mm = sometimes(random, 0.7, 20, 300);
    for (int i = 0; i < CORNER_COUNT; i++) {
        const bool round = frame.shape == FRAME_D && i >= CORNER_BACK_RIGHT;
        frame.radius_mm[i] = round ? 0 : sometimes(random, 0.6, 1, 90);
        frame.bow_mm.at[i] = sometimes(random, 0.3, -60, 60);
        if (random_share(random) < 0.2) {
            frame.notch[i] = (Notch){random_between(random, 25, 90), random_between(random, 25, 90),
                                     random_between(random, 0, 25)};
        }
    }
    const double shift_mm = random_between(random, -20, 20);
    const Point corner[CORNER_COUNT] = {{-frame.front_mm / 2, 0},
                                        {frame.front_mm / 2, 0},
                                        {frame.back_mm / 2 + shift_mm, frame.depth_mm},
                                        {shift_mm - frame.back_mm / 2, frame.depth_mm - shift_mm}};
    if (frame.shape == FRAME_MEASURED) {
        frame.right_mm = point_distance(corner[1], corner[2]);
        frame.back_mm = point_distance(corner[2], corner[3]);
        frame.left_mm = point_distance(corner[3], corner[0]);
        frame.diagonal_left_mm = point_distance(corner[0], corner[2]);
        frame.diagonal_right_mm =
            point_distance(corner[1], corner[3]) + random_between(random, -7, 7);
    }
    frame.traced = random_trace(random, arena);
    return frame;
}

static Sides random_sides(Random *random, double from, double to)
{
    const bool alike = random_share(random) < 0.5;
    Sides sides = all_sides(random_between(random, from, to));
    for (int i = 0; i < SIDE_COUNT && !alike; i++) {
        sides.at[i] = random_between(random, from, to);
    }
    return sides;
}

static BuildUp random_build_up(Random *random)
{
    BuildUp build_up = {.frame_thickness_mm = random_between(random, 6, 25),
                        .bottom_edge = (BottomEdge)random_below(random, BOTTOM_EDGE_COUNT),
                        .bottom_mm = random_between(random, 0, 8),
                        .padding_edge_mm = random_sides(random, 10, 60),
                        .crown_mm = sometimes(random, 0.8, 0, 60),
                        .profile = (DomeProfile)random_below(random, DOME_PROFILE_COUNT),
                        .edge_radius_mm = sometimes(random, 0.7, 0, 25),
                        .overhang_mm = sometimes(random, 0.5, 0, 13),
                        .layer_count = random_below(random, LAYERS_MAX + 1)};
    for (int i = 0; i < build_up.layer_count; i++) {
        build_up.layers[i] = (Layer){"layer", random_between(random, 0.1, 2),
                                     random_share(random) < 0.7, random_share(random) < 0.4};
    }
    return build_up;
}

static void check_cover(const Cover *cover, const Fixing *fixing, Arena *arena)
{
    const Ring rings[] = {cover->within[BAND_FACE], cover->within[BAND_EDGE], cover->tack_line,
                          cover->within[BAND_TURN], cover->within[BAND_GRIP], cover->cut};
    double sum_mm2 = 0;
    for (int i = 0; i < 6; i++) {
        assert_in_range(rings[i].count, 3, 1500);
        assert_true(ring_is_simple(rings[i], NULL));
        const double before_mm2 = i == 0 ? 0 : ring_area_mm2(rings[i - 1]);
        assert_true(ring_area_mm2(rings[i]) >= before_mm2 - 1e-6);
        assert_true(i == 0 || area_outside_mm2(rings[i - 1], rings[i], arena) < 1e-6);
        sum_mm2 += ring_area_mm2(rings[i]) - before_mm2;
    }
    CHECK_NEAR(sum_mm2, cover->gross_area_mm2, 1e-5);
    assert_true(cover->net_area_mm2 <= cover->gross_area_mm2 + 1e-6);
    for (int i = 0; i < SIDE_COUNT; i++) {
        const LeatherPath path = cover->path[i];
        assert_true(path.dome_mm >= path.run_mm - 1e-9 && path.run_mm > 0);
        assert_true(path.round_mm >= 0 && path.side_mm >= 0 && path.bottom_mm >= 0);
        assert_true(path.under_mm >= 0 && path.hold_mm >= 0 && path.grip_mm >= 0);
        assert_true(isfinite(path.beyond_frame_mm));
    }
    // The nearest that any cut comes to the face is its narrowest way.
    double least_mm = HUGE_VAL;
    for (int i = 0; i < SIDE_COUNT; i++) {
        least_mm = fmin(least_mm, fixing->hold_mm.at[i] + fixing->grip_mm.at[i]);
    }
    const Ring face = cover->within[BAND_FACE];
    for (int i = 0; i < face.count; i++) {
        assert_true(ring_distance_mm(cover->cut, face.points[i]) > 0.9 * least_mm);
    }
}

static void check_refused(const Problems *problems)
{
    assert_true(problems->mistakes > 0);
    for (int i = 0; i < problems->count; i++) {
        assert_true(strncmp(problems->items[i].where, "seats[0].", 9) == 0);
        assert_true(strlen(problems->items[i].found) > 0);
    }
}

// Returns whether the seat could be covered.
static bool check_seat(uint64_t trial, Arena *arena, Arena *scratch)
{
    Random random = random_begin(40, trial, 0);
    Problems *problems = problems_in(arena);
    const Frame frame = random_frame(&random, arena);
    Ring outline = {NULL, 0};
    if (!frame_outline(&frame, "seats[0].frame", arena, scratch, &outline, problems)) {
        check_refused(problems);
        return false;
    }
    assert_true(ring_is_simple(outline, NULL));
    assert_true(ring_area_mm2(outline) > 0);
    const BuildUp build_up = random_build_up(&random);
    const Fixing fixing = {random_sides(&random, 8, 40), random_sides(&random, 0, 25),
                           random_sides(&random, 0, 50)};
    const LeatherSheet leather = {random_between(&random, 0.8, 3), random_between(&random, 0, 0.2),
                                  random_between(&random, 0, 0.2), random_share(&random) < 0.3};
    const CutStyle style = (CutStyle)random_below(&random, CUT_STYLE_COUNT);
    Cover cover;
    if (!cover_make(outline, &(CoverRecipe){&build_up, &fixing, &leather, style}, "seats[0]", arena,
                    scratch, &cover, problems)) {
        check_refused(problems);
        return false;
    }
    check_cover(&cover, &fixing, arena);
    return true;
}

static void random_seats_hold_together(void **state)
{
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    const Trials trials = trials_wanted(TRIALS_OF(2000));
    uint64_t covered = 0;
    for (uint64_t trial = trials.first; trial < trials.end; trial++) {
        const ArenaMark mark = arena_mark(*state);
        covered += check_seat(trial, *state, scratch);
        assert_int_equal(arena_used_bytes(scratch), 0);
        arena_rewind(*state, mark);
    }
    arena_destroy(scratch);
    assert_in_range(covered, (trials.end - trials.first) / 2, trials.end - trials.first);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(random_seats_hold_together),
    };
    return cmocka_run_group_tests_name("seat/random seats", tests, NULL, NULL);
}
