#include "seat/cross_section.h"

#include "base/random.h"
#include "support/check.h"
#include "support/trials.h"

#include "seats.h"

// Chords make what is drawn a little shorter than what is told.
static const double DRAWN_MM = 0.06;
enum { TRIALS = TRIALS_OF(1000) };

typedef struct Seat {
    Frame frame;
    BuildUp build_up;
    Fixing fixing;
    LeatherSheet leather;
} Seat;

static bool make(const Seat *seat, Arena *arena, Cover *cover)
{
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    Problems *problems = problems_in(arena);
    Ring outline;
    const bool made =
        frame_outline(&seat->frame, "frame", arena, scratch, &outline, problems) &&
        cover_make(outline,
                   &(CoverRecipe){&seat->build_up, &seat->fixing, &seat->leather, CUT_FOLLOWING},
                   "seat", arena, scratch, cover, problems);
    arena_destroy(scratch);
    return made;
}

static double chain_length_mm(Ring chain)
{
    double length_mm = 0;
    for (int i = 0; i + 1 < chain.count; i++) {
        length_mm += point_distance(chain.points[i], chain.points[i + 1]);
    }
    return length_mm;
}

static void check_leather(const Cover *cover, Side side, const CrossSection *section)
{
    const LeatherPath *path = &cover->path[side];
    Point end = section->leather[PART_DOME].points[0];
    CHECK_NEAR(end.x, 0, 0);
    for (PathPart part = 0; part < PATH_PART_COUNT; part++) {
        const Ring chain = section->leather[part];
        assert_true(chain.count >= 2);
        CHECK_NEAR(point_distance(chain.points[0], end), 0, 1e-6);
        end = chain.points[chain.count - 1];
        const double told_mm = path_part_mm(path, part);
        const double drawn_mm = chain_length_mm(chain);
        assert_true(drawn_mm <= told_mm + 1e-6);
        CHECK_NEAR(drawn_mm, told_mm, DRAWN_MM);
    }
}

static double overlap_mm2(Ring a, Ring b, Arena *scratch)
{
    PolygonSet both;
    assert_true(polygon_overlay(POLYGON_INTERSECTION, polygon_set_of_ring(a, scratch),
                                polygon_set_of_ring(b, scratch), scratch, &both));
    return polygon_set_area_mm2(both);
}

// Wood, padding and layers lie on each other without entering each other, and none of them
// comes nearer to the leather's middle than half its thickness.
static void check_sheets(const Cover *cover, const CrossSection *section, Arena *arena)
{
    Ring rings[LAYERS_MAX + 2] = {section->board};
    int count = 1;
    if (section->padding.count > 0) {
        rings[count++] = section->padding;
    }
    for (int i = 0; i < cover->recipe.build_up->layer_count; i++) {
        rings[count++] = section->layers[i];
    }
    const double half_mm = cover->recipe.leather->thickness_mm / 2;
    for (int a = 0; a < count; a++) {
        assert_true(ring_is_simple(rings[a], NULL));
        assert_true(ring_area_mm2(rings[a]) > 0);
        for (int b = 0; b < a; b++) {
            // Chords of unlike lengths cut into each other by less than their arcs' heights.
            assert_true(overlap_mm2(rings[a], rings[b], arena) < 0.05 * ring_length_mm(rings[a]));
        }
        for (PathPart part = 0; part < PART_HOLD; part++) {
            for (int i = 0; i < section->leather[part].count; i++) {
                const Point point = section->leather[part].points[i];
                assert_true(point.x < 1 || !ring_contains(rings[a], point));
                assert_true(ring_distance_mm(rings[a], point) > half_mm * 0.9 - 0.05);
            }
        }
    }
}

// Returns whether the seat could be covered.
static bool check_all(const Seat *seat, Arena *arena)
{
    const ArenaMark mark = arena_mark(arena);
    Cover cover;
    const bool made = make(seat, arena, &cover);
    if (made) {
        for (Side side = 0; side < SIDE_COUNT; side++) {
            const CrossSection section = cover_cross_section(&cover, side, arena);
            check_leather(&cover, side, &section);
            check_sheets(&cover, &section, arena);
        }
    }
    arena_rewind(arena, mark);
    return made;
}

static void what_is_drawn_is_as_long_as_what_is_told(void **state)
{
    Seat seat = {side_chair_rounded(), full_pad(), usual_fixing(), usual_leather()};
    const double overhangs_mm[] = {0, 6, 24};
    for (BottomEdge bottom = 0; bottom < BOTTOM_EDGE_COUNT; bottom++) {
        for (DomeProfile profile = 0; profile < DOME_PROFILE_COUNT; profile++) {
            for (int i = 0; i < 3; i++) {
                seat.build_up.bottom_edge = bottom;
                seat.build_up.profile = profile;
                seat.build_up.overhang_mm = overhangs_mm[i];
                assert_true(check_all(&seat, *state));
            }
        }
    }
}

// By hand: flat pad 20 high on a square board 12 thick, leather 1.2: the leather's middle runs
// 0.6 outside of both.
static void a_flat_square_pad_by_hand(void **state)
{
    const Seat seat = {{.shape = FRAME_RECTANGLE, .front_mm = 450, .depth_mm = 400},
                       flat_pad(),
                       usual_fixing(),
                       {.thickness_mm = 1.2}};
    Cover cover;
    assert_true(make(&seat, *state, &cover));
    const CrossSection section = cover_cross_section(&cover, SIDE_RIGHT, *state);
    const Box wood = ring_box(section.board);
    CHECK_NEAR(wood.max.x, 225, 1e-9);
    CHECK_NEAR(wood.max.y, 12, 1e-9);
    const Box padding = ring_box(section.padding);
    CHECK_NEAR(padding.max.x, 225, 1e-9);
    CHECK_NEAR(padding.min.y, 12, 1e-9);
    CHECK_NEAR(padding.max.y, 32, 1e-9);
    CHECK_NEAR(section.leather[PART_DOME].points[0].y, 32.6, 1e-9);
    CHECK_NEAR(section.leather[PART_SIDE].points[0].x, 225.6, 1e-9);
    CHECK_NEAR(section.leather[PART_SIDE].points[0].y, 32, 1e-9);
    CHECK_NEAR(section.leather[PART_UNDER].points[1].x, 205, 1e-9);
    CHECK_NEAR(section.leather[PART_UNDER].points[1].y, -0.6, 1e-9);
    CHECK_NEAR(section.leather[PART_GRIP].points[1].x, 163, 1e-9);
    CHECK_NEAR(path_band_mm(&cover.path[SIDE_RIGHT], BAND_TURN), 0.6 * 1.5707963267948966 + 32,
               1e-9);
}

static void a_layer_ends_where_it_is_said_to(void **state)
{
    Seat seat = {side_chair(), full_pad(), usual_fixing(), usual_leather()};
    seat.build_up.layers[0].on_sides = false;
    Cover cover;
    assert_true(make(&seat, *state, &cover));
    const CrossSection section = cover_cross_section(&cover, SIDE_FRONT, *state);
    const double padding_mm = seat.build_up.frame_thickness_mm + 25 - 10;
    // The batting stays above the middle of the padding's round edge, as far as that leans.
    assert_true(ring_box(section.layers[0]).min.y > padding_mm - 12);
    // The muslin comes under to the tack line.
    CHECK_NEAR(ring_box(section.layers[1]).min.y, -0.3, 1e-9);
    const Ring under = section.leather[PART_UNDER];
    bool ends_there = false;
    for (int i = 0; i < section.layers[1].count; i++) {
        const Point point = section.layers[1].points[i];
        ends_there = ends_there || (fabs(point.x - under.points[1].x) < 1e-9 && point.y <= 0);
    }
    assert_true(ends_there);
}

static void a_bare_board_has_no_padding(void **state)
{
    Seat seat = {side_chair(), {.frame_thickness_mm = 15}, usual_fixing(), usual_leather()};
    Cover cover;
    assert_true(make(&seat, *state, &cover));
    const CrossSection section = cover_cross_section(&cover, SIDE_BACK, *state);
    assert_int_equal(section.padding.count, 0);
    check_leather(&cover, SIDE_BACK, &section);
}

static void random_seats_are_drawn_as_they_are_told(void **state)
{
    int covered = 0;
    for (int trial = 0; trial < TRIALS; trial++) {
        Random random = random_begin(31, (uint64_t)trial, 0);
        BuildUp pad = {.frame_thickness_mm = random_between(&random, 6, 30),
                       .bottom_edge = (BottomEdge)random_below(&random, BOTTOM_EDGE_COUNT),
                       .bottom_mm = random_between(&random, 0, 25),
                       .crown_mm = random_between(&random, 0, 40),
                       .profile = (DomeProfile)random_below(&random, DOME_PROFILE_COUNT),
                       .edge_radius_mm = random_between(&random, 0, 30),
                       .overhang_mm = random_below(&random, 2) ? random_between(&random, 0, 25) : 0,
                       .layer_count = random_below(&random, 4)};
        for (int i = 0; i < SIDE_COUNT; i++) {
            pad.padding_edge_mm.at[i] = random_between(&random, 0, 60);
        }
        for (int i = 0; i < pad.layer_count; i++) {
            pad.layers[i] = (Layer){"layer", random_between(&random, 0.05, 6),
                                    random_below(&random, 2) == 1, random_below(&random, 3) == 1};
        }
        const Seat seat = {trial % 3 == 0 ? (Frame){.shape = FRAME_ROUND, .front_mm = 350}
                                          : side_chair_rounded(),
                           pad,
                           usual_fixing(),
                           {.thickness_mm = random_between(&random, 0.8, 2.5)}};
        covered += check_all(&seat, *state);
    }
    assert_in_range(covered, TRIALS / 5, TRIALS); // the others are refused
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(what_is_drawn_is_as_long_as_what_is_told),
        TEST_IN_ARENA(a_flat_square_pad_by_hand),
        TEST_IN_ARENA(a_layer_ends_where_it_is_said_to),
        TEST_IN_ARENA(a_bare_board_has_no_padding),
        TEST_IN_ARENA(random_seats_are_drawn_as_they_are_told),
    };
    return cmocka_run_group_tests_name("seat/cross_section", tests, NULL, NULL);
}
