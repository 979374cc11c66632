#include "seat/cover.h"

#include "base/units.h"
#include "support/check.h"

#include "seats.h"

// What a cover is made of; tests change one thing at a time.
typedef struct Seat {
    Frame frame;
    BuildUp build_up;
    Fixing fixing;
    LeatherSheet leather;
    CutStyle style;
} Seat;

static Seat flat_seat(Frame frame)
{
    return (Seat){frame, flat_pad(), usual_fixing(), {.thickness_mm = 1.2}, CUT_FOLLOWING};
}

static Seat full_seat(Frame frame)
{
    return (Seat){frame, full_pad(), usual_fixing(), usual_leather(), CUT_FOLLOWING};
}

static bool make(Seat seat, Arena *arena, Cover *cover, Problems **problems)
{
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    *problems = problems_in(arena);
    Ring outline;
    assert_true(frame_outline(&seat.frame, "seats[1].frame", arena, scratch, &outline, *problems));
    const bool made =
        cover_make(outline, &(CoverRecipe){&seat.build_up, &seat.fixing, &seat.leather, seat.style},
                   "seats[1]", arena, scratch, cover, *problems);
    assert_int_equal(arena_used_bytes(scratch), 0);
    arena_destroy(scratch);
    return made;
}

static Cover cover_of(Seat seat, Arena *arena)
{
    Cover cover;
    Problems *problems;
    assert_true(make(seat, arena, &cover, &problems));
    assert_int_equal(problems->count, 0);
    return cover;
}

static Problem refusal(Seat seat, Arena *arena)
{
    Cover cover = {.turn_symmetry = -7};
    Problems *problems;
    assert_false(make(seat, arena, &cover, &problems));
    assert_int_equal(cover.turn_symmetry, -7);
    return problems->items[0];
}

static Frame rectangle(double front_mm, double depth_mm)
{
    return (Frame){.shape = FRAME_RECTANGLE, .front_mm = front_mm, .depth_mm = depth_mm};
}

static double path_mm(LeatherPath path)
{
    return path.dome_mm + path.round_mm + path.side_mm + path.bottom_mm + path.under_mm +
           path.hold_mm + path.grip_mm;
}

// Every part of the way worked out by hand: square flat pad 20 high, board 12 thick,
// leather 1.2 thick, so two quarter circles of radius 0.6.
static void a_flat_square_pad_by_hand(void **state)
{
    const Cover cover = cover_of(flat_seat(rectangle(450, 400)), *state);
    const LeatherPath right = cover.path[SIDE_RIGHT];
    CHECK_NEAR(right.run_mm, 225, 1e-9);
    CHECK_NEAR(right.dome_mm, 225, 1e-9);
    CHECK_NEAR(right.round_mm, PI / 2 * 0.6, 1e-9);
    CHECK_NEAR(right.side_mm, 32, 1e-9);
    CHECK_NEAR(right.bottom_mm, PI / 2 * 0.6, 1e-9);
    CHECK_NEAR(right.under_mm, 20, 1e-9);
    CHECK_NEAR(right.hold_mm, 12, 0);
    CHECK_NEAR(right.grip_mm, 30, 0);
    CHECK_NEAR(right.beyond_frame_mm, PI * 0.6 + 94, 1e-9);
    CHECK_NEAR(cover.gross_area_mm2,
               (450 + 2 * right.beyond_frame_mm) * (400 + 2 * right.beyond_frame_mm), 1e-6);
    CHECK_NEAR(cover.net_area_mm2,
               (390 + 2 * right.beyond_frame_mm) * (340 + 2 * right.beyond_frame_mm), 1e-6);
}

// J. Steiner (1840): a convex shape grown by w gains perimeter w + pi w^2; where corners
// are run on to a right angle instead of rounded, 4 w^2 for pi w^2. See L. A. Santalo,
// Integral Geometry and Geometric Probability, 1976, section I.1.2 (from memory).
static void flat_growth_follows_steiner(void **state)
{
    const Frame round = {.shape = FRAME_ROUND, .front_mm = 360};
    Cover cover = cover_of(flat_seat(round), *state);
    double wide_mm = path_mm(cover.path[SIDE_BACK]) - cover.path[SIDE_BACK].run_mm;
    double area_mm2 =
        ring_area_mm2(cover.frame) + ring_length_mm(cover.frame) * wide_mm + PI * wide_mm * wide_mm;
    CHECK_NEAR(cover.gross_area_mm2, area_mm2, 2e-4 * area_mm2);
    cover = cover_of(flat_seat(rectangle(450, 400)), *state);
    wide_mm = path_mm(cover.path[SIDE_BACK]) - cover.path[SIDE_BACK].run_mm;
    area_mm2 =
        ring_area_mm2(cover.frame) + ring_length_mm(cover.frame) * wide_mm + 4 * wide_mm * wide_mm;
    CHECK_NEAR(cover.gross_area_mm2, area_mm2, 1e-6);
}

// Blank rule of the trade (F3): a seat of 20 in with 3 in all round makes 26 in.
static void a_way_of_three_inches_makes_the_26_inch_blank(void **state)
{
    Seat seat = flat_seat(rectangle(508, 508));
    seat.fixing.grip_mm = all_sides(0);
    const double grip_mm = 76.2 - cover_of(seat, *state).path[SIDE_FRONT].beyond_frame_mm;
    assert_true(grip_mm > 0);
    seat.fixing.grip_mm = all_sides(grip_mm);
    const Cover cover = cover_of(seat, *state);
    const Box box = ring_box(cover.cut);
    CHECK_NEAR(box.max.x - box.min.x, 26 * MM_PER_IN, 1e-6);
    CHECK_NEAR(box.max.y - box.min.y, 26 * MM_PER_IN, 1e-6);
    CHECK_NEAR(area_from_mm2(cover.gross_area_mm2, AREA_FT2), 4.694, 5e-4);
    for (int i = 0; i < SIDE_COUNT; i++) {
        CHECK_NEAR(cover_against_rule(&cover, flat_rules[0].allowance_mm).at[i], 25.4, 1e-6);
        CHECK_NEAR(cover_against_rule(&cover, flat_rules[1].allowance_mm).at[i], 0, 1e-6);
    }
}

// Adds the points of an arc, angles from the horizontal, clockwise from the top.
static int add_arc(Point *points, int count, Point centre, double radius_mm, double from_rad,
                   double to_rad)
{
    const int chords = 4000;
    for (int i = 0; i <= chords; i++) {
        const double angle_rad = from_rad + (to_rad - from_rad) * i / chords;
        points[count++] =
            point_plus(centre, (Point){radius_mm * cos(angle_rad), radius_mm * sin(angle_rad)});
    }
    return count;
}

// Tight leather lies on the convex hull of what is below it. The section is drawn as
// points (dome, whole circles at both edges), its hull taken and measured: no tangents
// and no angles are reckoned here.
static double hull_way_mm(const Seat *seat, const LeatherPath *path, double rounding_mm,
                          double lower_mm, double lip_mm, Arena *arena)
{
    const BuildUp *pad = &seat->build_up;
    const double slope_rad = dome_end_slope_rad(pad->profile, path->run_mm, pad->crown_mm);
    const Point upper = {path->run_mm - rounding_mm * sin(slope_rad), 0};
    const double up_mm =
        pad->frame_thickness_mm - pad->bottom_mm + pad->padding_edge_mm.at[0] - pad->edge_radius_mm;
    const Point lower = {upper.x + rounding_mm - lip_mm - lower_mm, -up_mm};
    Point *points = ARENA_ARRAY(arena, Point, 13000);
    int count = add_arc(points, 0, upper, rounding_mm, PI / 2, -PI / 2);
    count = add_arc(points, count, lower, lower_mm, PI / 2, -PI / 2);
    for (int i = 0; i <= 4000; i++) {
        const double share = i / 4000.0;
        const double base_mm = rounding_mm * cos(slope_rad);
        points[count++] =
            (Point){path->run_mm * share, base_mm + pad->crown_mm * (1 - share * share)};
    }
    points[count++] = (Point){0, lower.y - lower_mm}; // the underside's plane
    const Ring hull = ring_convex_hull(points, count, arena);
    double length_mm = 0;
    for (int i = 0; i < hull.count; i++) {
        const Point a = hull.points[i];
        const Point b = ring_point(hull, i + 1);
        const bool on_axis = a.x == 0 && b.x == 0;
        const bool underneath = a.y == b.y;
        length_mm += on_axis || underneath ? 0 : point_distance(a, b);
    }
    return length_mm;
}

static void tight_leather_lies_on_the_hull_of_its_section(void **state)
{
    Seat seat = full_seat(rectangle(450, 400));
    const double layers_mm = 1.3;
    const double leather_mm = 1.1;
    const double overhangs_mm[] = {0, 6, 13};
    for (int i = 0; i < 3; i++) {
        seat.build_up.overhang_mm = overhangs_mm[i];
        const LeatherPath path = cover_of(seat, *state).path[SIDE_FRONT];
        const double way_mm = path.dome_mm + path.round_mm + path.side_mm + path.bottom_mm;
        const double hull_mm =
            hull_way_mm(&seat, &path, 10 + layers_mm + leather_mm / 2,
                        6.35 + layers_mm + leather_mm / 2, overhangs_mm[i], *state);
        CHECK_NEAR(way_mm, hull_mm, 1e-3);
    }
}

// With so great an overhang the leather passes over the bevel's outer corner. The hull of the
// three circles' points, one at the padding's edge and one at each corner of the bevel.
static void leather_that_leans_more_than_the_bevel_passes_over_it(void **state)
{
    Seat seat = flat_seat(rectangle(450, 400));
    seat.build_up.bottom_edge = BOTTOM_BEVELLED;
    seat.build_up.bottom_mm = 8;
    for (int overhang_mm = 1; overhang_mm <= 30; overhang_mm++) {
        seat.build_up.overhang_mm = overhang_mm;
        const LeatherPath path = cover_of(seat, *state).path[SIDE_FRONT];
        Point *points = ARENA_ARRAY(*state, Point, 13000);
        int count = add_arc(points, 0, (Point){overhang_mm, 32}, 0.6, PI / 2, -PI / 2);
        count = add_arc(points, count, (Point){0, 8}, 0.6, PI / 2, -PI / 2);
        count = add_arc(points, count, (Point){-8, 0}, 0.6, PI / 2, -PI / 2);
        points[count++] = (Point){-100, 32.6};
        points[count++] = (Point){-100, -0.6};
        const Ring hull = ring_convex_hull(points, count, *state);
        const double around_mm = ring_length_mm(hull) - 33.2 - (100 + overhang_mm) - (100 - 8);
        CHECK_NEAR(path.round_mm + path.side_mm + path.bottom_mm, around_mm, 1e-3);
    }
}

// A convex section inside another has the shorter way round.
static void more_padding_never_needs_less_leather(void **state)
{
    Seat seat = full_seat(side_chair());
    for (DomeProfile profile = 0; profile < DOME_PROFILE_COUNT; profile++) {
        seat.build_up.profile = profile;
        double before_mm = 0;
        for (int i = 0; i <= 12; i++) {
            seat.build_up.crown_mm = 5 * i;
            const double needed_mm = cover_of(seat, *state).path[SIDE_LEFT].beyond_frame_mm;
            assert_true(needed_mm > before_mm);
            before_mm = needed_mm;
        }
    }
}

static void a_bevel_is_shorter_than_the_square_edge_it_takes_off(void **state)
{
    Seat seat = flat_seat(rectangle(450, 400));
    seat.build_up.bottom_edge = BOTTOM_BEVELLED;
    seat.build_up.bottom_mm = 10;
    const LeatherPath path = cover_of(seat, *state).path[SIDE_FRONT];
    CHECK_NEAR(path.bottom_mm, PI / 2 * 0.6 + 10 * sqrt(2), 1e-9);
    CHECK_NEAR(path.side_mm, 22, 1e-9);
    CHECK_NEAR(path.under_mm, 10, 1e-9);
}

static void check_nested(const Cover *cover, Arena *arena)
{
    const Ring rings[] = {cover->within[BAND_FACE], cover->within[BAND_EDGE], cover->tack_line,
                          cover->within[BAND_TURN], cover->within[BAND_GRIP], cover->cut};
    for (int i = 0; i < 6; i++) {
        assert_true(ring_is_simple(rings[i], NULL));
        assert_true(ring_area_mm2(rings[i]) > 0);
        assert_true(i == 0 || area_outside_mm2(rings[i - 1], rings[i], arena) < 1e-6);
    }
}

static void bands_are_nested(void **state)
{
    Seat seat = full_seat(side_chair_rounded());
    seat.frame.notch[CORNER_BACK_LEFT] = (Notch){40, 45, 10};
    seat.frame.notch[CORNER_BACK_RIGHT] = (Notch){35, 45, 0};
    seat.frame.bow_mm = (Sides){{25, 0, -20, 0}};
    seat.fixing.grip_mm.at[SIDE_BACK] = 0;
    for (CutStyle style = 0; style < CUT_STYLE_COUNT; style++) {
        seat.style = style;
        const Cover cover = cover_of(seat, *state);
        check_nested(&cover, *state);
        assert_true(cover.gross_area_mm2 >= ring_area_mm2(cover.within[BAND_GRIP]) - 1e-6);
    }
}

static void a_side_of_its_own_moves_only_its_own_cut(void **state)
{
    Seat seat = flat_seat(rectangle(450, 400));
    const Box even = ring_box(cover_of(seat, *state).cut);
    seat.build_up.padding_edge_mm.at[SIDE_BACK] += 15;
    seat.fixing.grip_mm.at[SIDE_RIGHT] += 7;
    seat.fixing.tack_inset_mm.at[SIDE_LEFT] -= 4;
    const Cover cover = cover_of(seat, *state);
    const Box uneven = ring_box(cover.cut);
    CHECK_NEAR(uneven.max.y - even.max.y, 15, 1e-9);
    CHECK_NEAR(uneven.max.x - even.max.x, 7, 1e-9);
    CHECK_NEAR(uneven.min.x - even.min.x, 4, 1e-9);
    CHECK_NEAR(uneven.min.y - even.min.y, 0, 1e-9);
    CHECK_NEAR(cover.gross_area_mm2, (uneven.max.x - uneven.min.x) * (uneven.max.y - uneven.min.y),
               1e-6);
}

// A step would turn the shears by a right angle.
static void rounded_corners_lead_from_one_width_to_the_next_without_a_step(void **state)
{
    Seat seat = flat_seat(rectangle(450, 400));
    for (int i = 0; i < CORNER_COUNT; i++) {
        seat.frame.radius_mm[i] = 60;
    }
    seat.build_up.padding_edge_mm.at[SIDE_FRONT] += 25;
    const Ring cut = cover_of(seat, *state).cut;
    for (int i = 0; i < cut.count; i++) {
        const Point in = point_minus(ring_point(cut, i + 1), ring_point(cut, i));
        const Point out = point_minus(ring_point(cut, i + 2), ring_point(cut, i + 1));
        assert_true(fabs(atan2(point_cross(in, out), point_dot(in, out))) < 0.6);
    }
    const Box box = ring_box(cut);
    CHECK_NEAR(-box.min.y - 25, box.max.y - 400, 1e-6);
}

static void symmetry_is_seen(void **state)
{
    Seat seat = full_seat(side_chair_rounded());
    Cover cover = cover_of(seat, *state);
    assert_true(cover.mirror);
    assert_int_equal(cover.turn_symmetry, 1);
    seat.fixing.grip_mm.at[SIDE_LEFT] += 1;
    assert_false(cover_of(seat, *state).mirror);
    seat = full_seat(rectangle(450, 400));
    assert_int_equal(cover_of(seat, *state).turn_symmetry, 2);
    seat.build_up.padding_edge_mm.at[SIDE_FRONT] += 1;
    cover = cover_of(seat, *state);
    assert_int_equal(cover.turn_symmetry, 1);
    assert_true(cover.mirror);
    seat = full_seat((Frame){.shape = FRAME_ROUND, .front_mm = 350});
    cover = cover_of(seat, *state);
    assert_int_equal(cover.turn_symmetry, 0);
    assert_true(cover.mirror);
    seat.style = CUT_STRAIGHT; // the corners of its cuts are not round
    assert_int_not_equal(cover_of(seat, *state).turn_symmetry, 0);
}

// Whatever its size: points lie at other places left and right, and cuts must not lean for it.
static void a_symmetric_seat_has_a_symmetric_cover(void **state)
{
    for (int size = 0; size < 80; size++) {
        const ArenaMark mark = arena_mark(*state);
        Seat seat = full_seat(side_chair_rounded());
        seat.frame.front_mm = 420 + 1.5875 * size;
        seat.frame.bow_mm.at[SIDE_FRONT] = 9.525;
        seat.fixing.grip_mm.at[SIDE_FRONT] += 6;
        assert_true(cover_of(seat, *state).mirror);
        seat.style = CUT_STRAIGHT;
        const Cover cover = cover_of(seat, *state);
        assert_true(cover.mirror);
        for (int i = 0; i < cover.cut.count; i++) {
            double nearest_mm = 1e9;
            for (int k = 0; k < cover.cut.count; k++) {
                const Point image = {-cover.cut.points[k].x, cover.cut.points[k].y};
                nearest_mm = fmin(nearest_mm, point_distance(cover.cut.points[i], image));
            }
            assert_true(nearest_mm < 1);
        }
        arena_rewind(*state, mark);
    }
}

static void stretch_waits_in_the_hands_or_shrinks_the_cut(void **state)
{
    Seat seat = full_seat(rectangle(450, 400));
    const Cover plain = cover_of(seat, *state);
    const Box tacks = ring_box(plain.tack_line);
    CHECK_NEAR(plain.stretch_along_mm, 0.02 * (tacks.max.y - tacks.min.y), 1e-9);
    CHECK_NEAR(plain.stretch_across_mm, 0.05 * (tacks.max.x - tacks.min.x), 1e-9);
    seat.leather.use_stretch = true;
    const Cover pulled = cover_of(seat, *state);
    CHECK_NEAR(pulled.gross_area_mm2 * 1.02 * 1.05, plain.gross_area_mm2, 1e-6);
    CHECK_NEAR(pulled.stretch_along_mm, 0, 0);
    const Box less = ring_box(pulled.cut);
    const Box more = ring_box(plain.cut);
    CHECK_NEAR((less.max.y - less.min.y) * 1.02, more.max.y - more.min.y, 1e-9);
    check_nested(&pulled, *state);
}

static void values_that_leave_no_cover_are_refused(void **state)
{
    Seat seat = full_seat(side_chair());
    seat.build_up.edge_radius_mm = 26;
    Problem problem = refusal(seat, *state);
    assert_string_equal(problem.where, "seats[1].padding.edge_radius");
    assert_string_equal(problem.allowed, "at most 25 mm (15/16 in)");
    seat = full_seat(side_chair());
    seat.build_up.bottom_mm = 13;
    assert_string_equal(refusal(seat, *state).where, "seats[1].board.bottom_size");
    seat = full_seat(side_chair());
    seat.fixing.tack_inset_mm.at[SIDE_BACK] = 6;
    problem = refusal(seat, *state);
    assert_string_equal(problem.where, "seats[1].fixing.tack_inset.back");
    assert_string_equal(problem.allowed, "at least 7 mm (1/4 in)");
    seat.fixing.tack_inset_mm.at[SIDE_BACK] = 210;
    problem = refusal(seat, *state);
    assert_string_equal(problem.where, "seats[1].fixing.tack_inset.back");
    assert_string_equal(problem.found, "210 mm (8 1/4 in) reaches past the middle of the frame");
    seat = full_seat(side_chair());
    seat.build_up.edge_radius_mm = 20;
    seat.build_up.frame_thickness_mm = 7;
    seat.build_up.overhang_mm = 9;
    assert_string_equal(refusal(seat, *state).where, "seats[1].padding.overhang");
    seat = full_seat(rectangle(60, 400));
    seat.build_up.overhang_mm = 0;
    seat.build_up.padding_edge_mm = all_sides(40);
    seat.build_up.edge_radius_mm = 40;
    assert_string_equal(refusal(seat, *state).where, "seats[1].padding.edge_radius");
    seat = full_seat(rectangle(200, 400));
    seat.build_up.profile = DOME_CIRCLE;
    seat.build_up.crown_mm = 110;
    assert_string_equal(refusal(seat, *state).where, "seats[1].padding.crown");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(a_flat_square_pad_by_hand),
        TEST_IN_ARENA(flat_growth_follows_steiner),
        TEST_IN_ARENA(a_way_of_three_inches_makes_the_26_inch_blank),
        TEST_IN_ARENA(tight_leather_lies_on_the_hull_of_its_section),
        TEST_IN_ARENA(leather_that_leans_more_than_the_bevel_passes_over_it),
        TEST_IN_ARENA(more_padding_never_needs_less_leather),
        TEST_IN_ARENA(a_bevel_is_shorter_than_the_square_edge_it_takes_off),
        TEST_IN_ARENA(bands_are_nested),
        TEST_IN_ARENA(a_side_of_its_own_moves_only_its_own_cut),
        TEST_IN_ARENA(rounded_corners_lead_from_one_width_to_the_next_without_a_step),
        TEST_IN_ARENA(symmetry_is_seen),
        TEST_IN_ARENA(a_symmetric_seat_has_a_symmetric_cover),
        TEST_IN_ARENA(stretch_waits_in_the_hands_or_shrinks_the_cut),
        TEST_IN_ARENA(values_that_leave_no_cover_are_refused),
    };
    return cmocka_run_group_tests_name("seat/cover", tests, NULL, NULL);
}
