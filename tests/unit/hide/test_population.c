#include "hide/population_parts.h"

#include "base/workers.h"
#include "support/check.h"
#include "support/trials.h"

static const double WHOLE_MM2 = 4.8e6;
static const double SIDE_MM2 = 2.4e6;
static const HideGrade *const sound = &hide_grades[GRADE_AVERAGE];

static DrawnHide draw(const HideGrade *grade, HideForm form, double area_mm2, uint64_t trial,
                      Arena *keep)
{
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    assert_non_null(scratch);
    const HideAsk ask = {.form = form, .area_mm2 = area_mm2};
    const DrawnHide drawn = hide_draw(grade, ask, (HideTrial){7, trial}, keep, scratch);
    assert_int_equal(arena_used_bytes(scratch), 0);
    arena_destroy(scratch);
    return drawn;
}

static void check_same_ring(Ring a, Ring b, double factor, double tolerance_mm)
{
    assert_int_equal(a.count, b.count);
    for (int i = 0; i < a.count; i++) {
        CHECK_NEAR(a.points[i].x * factor, b.points[i].x, tolerance_mm);
        CHECK_NEAR(a.points[i].y * factor, b.points[i].y, tolerance_mm);
    }
}

static void check_same_hide(const Hide *a, const Hide *b)
{
    check_same_ring(a->outline, b->outline, 1, 0);
    CHECK_NEAR(a->area_mm2, b->area_mm2, 0);
    assert_int_equal(a->flaw_count, b->flaw_count);
    for (int i = 0; i < a->flaw_count; i++) {
        assert_int_equal(a->flaws[i].kind, b->flaws[i].kind);
        check_same_ring(a->flaws[i].area.items[0].outer, b->flaws[i].area.items[0].outer, 1, 0);
    }
    assert_int_equal(a->region_count, b->region_count);
    for (int i = 0; i < a->region_count; i++) {
        assert_int_equal(a->regions[i].firmness, b->regions[i].firmness);
        CHECK_NEAR(polygon_set_area_mm2(a->regions[i].area),
                   polygon_set_area_mm2(b->regions[i].area), 0);
    }
}

static void a_trial_is_the_same_in_any_order(void **state)
{
    enum { HIDES = 40 };
    DrawnHide forward[HIDES];
    for (int i = 0; i < HIDES; i++) {
        forward[i] = draw(sound, (HideForm)(i % 2), WHOLE_MM2, (uint64_t)i, *state);
    }
    for (int i = HIDES - 1; i >= 0; i--) {
        const DrawnHide back = draw(sound, (HideForm)(i % 2), WHOLE_MM2, (uint64_t)i, *state);
        check_same_hide(&forward[i].hide, &back.hide);
        assert_true(forward[i].right_side == back.right_side);
    }
    assert_true(fabs(forward[0].hide.backbone_mm - forward[2].hide.backbone_mm) > 1);
}

enum { ON_THREADS = 24 };

typedef struct Threaded {
    Arena *keep[ON_THREADS];
    Arena *scratch[ON_THREADS];
    DrawnHide drawn[ON_THREADS];
} Threaded;

static void draw_on_a_thread(void *context, int index)
{
    Threaded *threaded = context;
    const HideAsk ask = {.form = (HideForm)(index % 2), .area_mm2 = WHOLE_MM2};
    threaded->drawn[index] = hide_draw(sound, ask, (HideTrial){7, (uint64_t)index},
                                       threaded->keep[index], threaded->scratch[index]);
}

static void a_trial_is_the_same_on_any_thread(void **state)
{
    Threaded *threaded = ARENA_NEW(*state, Threaded);
    for (int i = 0; i < ON_THREADS; i++) {
        threaded->keep[i] = arena_create("thread", TEST_ARENA_BYTES);
        threaded->scratch[i] = arena_create("scratch", TEST_ARENA_BYTES);
        assert_true(threaded->keep[i] && threaded->scratch[i]);
    }
    workers_run(ON_THREADS, 4, draw_on_a_thread, threaded);
    for (int i = 0; i < ON_THREADS; i++) {
        const DrawnHide alone = draw(sound, (HideForm)(i % 2), WHOLE_MM2, (uint64_t)i, *state);
        check_same_hide(&threaded->drawn[i].hide, &alone.hide);
        arena_destroy(threaded->scratch[i]);
        arena_destroy(threaded->keep[i]);
    }
}

static void check_rings(const DrawnHide *drawn)
{
    const Hide *hide = &drawn->hide;
    Point crossing;
    assert_true(ring_is_simple(hide->outline, &crossing));
    assert_true(ring_area_mm2(hide->outline) > 0);
    for (int i = 0; i < hide->flaw_count; i++) {
        assert_int_equal(hide->flaws[i].area.count, 1);
        const Ring ring = hide->flaws[i].area.items[0].outer;
        assert_true(ring_is_simple(ring, &crossing));
        assert_true(ring_area_mm2(ring) > 0);
        assert_true(drawn->drawn[i].quality >= 0 && drawn->drawn[i].quality < FLAW_CLASSES);
    }
    for (int i = 0; i < hide->region_count; i++) {
        const PolygonSet area = hide->regions[i].area;
        for (int k = 0; k < area.count; k++) {
            assert_true(ring_is_simple(area.items[k].outer, &crossing));
            assert_true(ring_area_mm2(area.items[k].outer) > 0);
        }
    }
}

// Every grade, whole hides and sides, from a small one to the largest.
static void rings_are_simple_and_the_area_is_as_asked(void **state)
{
    const Trials trials = trials_wanted(TRIALS_OF(400));
    const double areas_mm2[] = {0.4e6, 2.2e6, 4.8e6, 8e6};
    for (uint64_t trial = trials.first; trial < trials.end; trial++) {
        const ArenaMark mark = arena_mark(*state);
        const HideGrade *grade = &hide_grades[trial % HIDE_GRADES];
        const HideForm form = trial % 8 < 5 ? HIDE_WHOLE : HIDE_SIDE;
        const double asked_mm2 = areas_mm2[trial / 8 % 4];
        const DrawnHide drawn = draw(grade, form, asked_mm2, trial, *state);
        check_rings(&drawn);
        const Hide *hide = &drawn.hide;
        CHECK_NEAR(hide->stamped_mm2, asked_mm2, 1e-6);
        CHECK_NEAR(hide->area_mm2, asked_mm2, 1e-6 + 2.51 * grade->stamp_sd * asked_mm2);
        CHECK_NEAR(ring_area_mm2(hide->outline), hide->area_mm2, 1e-9 * asked_mm2);
        arena_rewind(*state, mark);
    }
}

// The part that draws says what its area is to be; the passes that bring a side to size meet it.
static void sides_have_their_area(void **state)
{
    HideGrade exact = *sound;
    exact.stamp_sd = 0;
    for (uint64_t trial = 0; trial < 100; trial++) {
        const DrawnHide drawn = draw(&exact, HIDE_SIDE, SIDE_MM2, trial, *state);
        CHECK_NEAR(drawn.hide.area_mm2 / SIDE_MM2, 1, 1e-6);
        const Box box = ring_box(drawn.hide.outline);
        assert_true(drawn.right_side ? box.max.y <= 15 : box.min.y >= -15);
        assert_true(drawn.right_side ? box.min.y < -800 : box.max.y > 800);
    }
}

// Regions are boxes: over the outline none shares anything with another, and together they
// cover it all. Those beyond the belly lines hold the share drawn.
static void regions_cover_the_hide_once(void **state)
{
    HideGrade steady = *sound;
    steady.belly_sd = 0;
    for (uint64_t trial = 0; trial < 12; trial++) {
        const HideForm form = trial % 3 ? HIDE_WHOLE : HIDE_SIDE;
        const DrawnHide drawn = draw(&steady, form, WHOLE_MM2, trial, *state);
        const Hide *hide = &drawn.hide;
        const PolygonSet outline = polygon_set_of_ring(hide->outline, *state);
        double all_mm2 = 0;
        double bellies_mm2 = 0;
        for (int i = 0; i < hide->region_count; i++) {
            PolygonSet on_hide;
            assert_true(polygon_overlay(POLYGON_INTERSECTION, hide->regions[i].area, outline,
                                        *state, &on_hide));
            const double mm2 = polygon_set_area_mm2(on_hide);
            all_mm2 += mm2;
            bellies_mm2 += hide->regions[i].kind >= REGION_BELLY ? mm2 : 0;
            for (int k = 0; k < i; k++) {
                PolygonSet common;
                assert_true(polygon_overlay(POLYGON_INTERSECTION, hide->regions[i].area,
                                            hide->regions[k].area, *state, &common));
                CHECK_NEAR(polygon_set_area_mm2(common), 0, 1e-3);
            }
        }
        CHECK_NEAR(all_mm2, hide->area_mm2, 1e-6 * hide->area_mm2);
        CHECK_NEAR(bellies_mm2 / hide->area_mm2, steady.belly_share, 1e-5);
    }
}

// The outline grows with the root of the area; places of flaws too, their sizes not.
static void a_larger_area_is_the_same_hide_larger(void **state)
{
    for (uint64_t trial = 0; trial < 30; trial++) {
        const DrawnHide small = draw(sound, HIDE_WHOLE, WHOLE_MM2, trial, *state);
        const DrawnHide large = draw(sound, HIDE_WHOLE, 1.44 * WHOLE_MM2, trial, *state);
        check_same_ring(small.hide.outline, large.hide.outline, 1.2, 1e-6);
        assert_int_equal(small.hide.flaw_count, large.hide.flaw_count);
        for (int i = 0; i < small.hide.flaw_count; i++) {
            assert_int_equal(small.hide.flaws[i].kind, large.hide.flaws[i].kind);
            if (small.drawn[i].kind == DRAWN_BRAND || small.drawn[i].kind == DRAWN_NECK_ZONE) {
                const Point there = point_times(small.hide.flaws[i].middle, 1.2);
                assert_true(point_distance(there, large.hide.flaws[i].middle) < 30);
                CHECK_NEAR(polygon_set_area_mm2(small.hide.flaws[i].area),
                           polygon_set_area_mm2(large.hide.flaws[i].area), 1e-3);
            }
        }
    }
}

// Whether each flaw of one hide is, point by point, one of another.
static bool has_all_flaws_of(const Hide *many, const Hide *few)
{
    for (int i = 0; i < few->flaw_count; i++) {
        bool found = false;
        const Ring wanted = few->flaws[i].area.items[0].outer;
        for (int k = 0; k < many->flaw_count && !found; k++) {
            const Ring ring = many->flaws[k].area.items[0].outer;
            found =
                ring.count == wanted.count && point_distance(ring.points[0], wanted.points[0]) == 0;
        }
        if (!found) {
            return false;
        }
    }
    return true;
}

// Common luck: more of one kind of flaw leaves outline and all other flaws as they are.
static void a_worse_grade_has_the_same_flaws_and_more(void **state)
{
    HideGrade worse = *sound;
    worse.spots = 3;
    worse.edge_cuts = 1.5;
    worse.branded = 0.9;
    worse.neck_zones = 0.9;
    worse.armpits = 0.9;
    int more = 0;
    for (uint64_t trial = 0; trial < 60; trial++) {
        const DrawnHide few = draw(sound, HIDE_WHOLE, WHOLE_MM2, trial, *state);
        const DrawnHide many = draw(&worse, HIDE_WHOLE, WHOLE_MM2, trial, *state);
        check_same_ring(few.hide.outline, many.hide.outline, 1, 0);
        assert_true(has_all_flaws_of(&many.hide, &few.hide));
        more += many.hide.flaw_count - few.hide.flaw_count;
    }
    assert_true(more > 60 * 10);
}

// The edge's places and the way along it lead back and forth.
static void edge_places_lead_back(void **state)
{
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    assert_non_null(scratch);
    int refused = 0;
    const HideEdge edge = edge_draw((HideTrial){1, 2}, *state, scratch, &refused);
    for (int i = 0; i <= 40; i++) {
        const double t = 0.1 * i;
        CHECK_NEAR(edge_t_of(edge_place_of(false, t)), t, 1e-12);
        CHECK_NEAR(edge_t_of(edge_place_of(true, t)), t, 1e-12);
    }
    for (int i = 1; i < edge.count; i++) {
        assert_true(edge.place[i] >= edge.place[i - 1]);
        const EdgeSpot spot = edge_spot(&edge, edge.along[i]);
        CHECK_NEAR(point_distance(spot.at, edge.at[i]), 0, 1e-12);
        CHECK_NEAR(point_length(spot.inward), 1, 1e-12);
    }
    // The left half lies above the backbone, and its shank is far out.
    const EdgeSpot shank = edge_spot(&edge, edge_along_at(&edge, edge_place_of(true, 1)));
    assert_true(shank.at.y > 0.4);
    const EdgeSpot other = edge_spot(&edge, edge_along_at(&edge, edge_place_of(false, 1)));
    assert_true(other.at.y < -0.4);
    arena_destroy(scratch);
}

// Nearest point of the edge, by its index.
static int nearest_edge(const HideEdge *edge, Point at)
{
    int nearest = 0;
    for (int i = 1; i < edge->count; i++) {
        if (point_distance(edge->at[i], at) < point_distance(edge->at[nearest], at)) {
            nearest = i;
        }
    }
    return nearest;
}

// Cuts of the edge lie along it as often as on the hides measured (flaws.json of the
// statistics: relative rate for each length by sixteenths of either half). A cut is counted
// where its middle is nearest, so some slip into the next sixteenth.
static void cuts_lie_where_they_were_found(void **state)
{
    const double rates[16] = {0.763, 0.305, 0.686, 0.992, 1.22,  1.34,  1.64, 1.22,
                              0.817, 1.27,  1.36,  1.09,  0.311, 0.467, 0,    1.25};
    double found[16] = {0};
    double wanted[16] = {0};
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    assert_non_null(scratch);
    for (uint64_t trial = 0; trial < 250; trial++) {
        const ArenaMark mark = arena_mark(*state);
        const DrawnHide drawn = draw(sound, HIDE_WHOLE, WHOLE_MM2, trial, *state);
        int refused = 0;
        const HideEdge edge = edge_draw((HideTrial){7, trial}, *state, scratch, &refused);
        assert_int_equal(refused, drawn.refused);
        double weights[16] = {0};
        double weight = 0;
        for (int i = 0; i < edge.count; i++) {
            const int bin = (int)fmin(15, 4 * edge_t_of(edge.place[i]));
            weights[bin] += rates[bin] * (edge.along[i + 1] - edge.along[i]);
            weight += rates[bin] * (edge.along[i + 1] - edge.along[i]);
        }
        int cuts = 0;
        for (int i = 0; i < drawn.hide.flaw_count; i++) {
            if (drawn.drawn[i].kind == DRAWN_EDGE_CUT) {
                const Point unit =
                    point_times(drawn.hide.flaws[i].middle, 1 / drawn.hide.backbone_mm);
                const double place = edge.place[nearest_edge(&edge, unit)];
                found[(int)fmin(15, 4 * edge_t_of(place))]++;
                cuts++;
            }
        }
        for (int bin = 0; bin < 16; bin++) {
            wanted[bin] += cuts * weights[bin] / weight;
        }
        arena_rewind(*state, mark);
    }
    for (int bin = 0; bin < 16; bin++) {
        CHECK_NEAR(found[bin], wanted[bin], 0.15 * wanted[bin] + 6 * sqrt(wanted[bin]) + 20);
    }
    arena_destroy(scratch);
}

// Against the plain test of every pair, on outlines a sixth of which cross themselves.
static void crossings_are_found(void **state)
{
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    assert_non_null(scratch);
    int crossed = 0;
    for (uint64_t trial = 0; trial < TRIALS_OF(300); trial++) {
        const HideEdge edge = edge_attempt((HideTrial){3, trial}, 0, *state, scratch);
        Point crossing;
        const bool simple = ring_is_simple((Ring){edge.at, edge.count}, &crossing);
        assert_true(edges_keep_apart(edge.at, edge.count, scratch) == simple);
        crossed += !simple;
    }
    print_message("# %d crossed themselves\n", crossed);
    assert_true(crossed > 0 && crossed < TRIALS_OF(300) / 3);
    const Point fold[] = {{0, 0}, {10, 0}, {5, 0}, {5, 5}};
    assert_false(edges_keep_apart(fold, 4, scratch));
    const Point square[] = {{0, 0}, {10, 0}, {10, 10}, {0, 10}};
    assert_true(edges_keep_apart(square, 4, scratch));
    arena_destroy(scratch);
}

static void hulls_agree_with_the_library(void **state)
{
    Random random = random_begin(11, 0, 0);
    for (int trial = 0; trial < 200; trial++) {
        Point points[40];
        const int count = 3 + random_below(&random, 38);
        for (int i = 0; i < count; i++) {
            points[i].x = random_below(&random, 12);
            points[i].y = random_between(&random, 0, 10);
        }
        const double wanted_mm2 = ring_area_mm2(ring_convex_hull(points, count, *state));
        Point hull[41];
        const int hull_count = hull_of(points, count, hull);
        CHECK_NEAR(ring_area_mm2((Ring){hull, hull_count}), wanted_mm2, 1e-9);
    }
}

static void grades_are_in_order(void **state)
{
    (void)state;
    for (int i = 0; i < HIDE_GRADES; i++) {
        const HideGrade *grade = &hide_grades[i];
        assert_ptr_equal(hide_grade_named(grade->name), grade);
        assert_true(strlen(grade->lets_through) > 0);
        if (i > 0) {
            const HideGrade *better = &hide_grades[i - 1];
            assert_true(better->edge_cuts < grade->edge_cuts && better->spots < grade->spots);
            assert_true(better->branded < grade->branded && better->sizes < grade->sizes);
            assert_true(better->neck_zones < grade->neck_zones);
        }
    }
    assert_null(hide_grade_named("spotless"));
    assert_string_equal(sound->name, "sound");
}

// The most that a grade may ask for stays within what a hide can hold.
static void the_worst_grade_is_bounded(void **state)
{
    HideGrade worst = hide_grades[HIDE_GRADES - 1];
    worst.edge_cuts = 5;
    worst.spots = 10;
    worst.shank_patches = 10;
    worst.sizes = 3;
    for (uint64_t trial = 0; trial < 40; trial++) {
        const ArenaMark mark = arena_mark(*state);
        const DrawnHide drawn = draw(&worst, HIDE_WHOLE, 1e6, trial, *state);
        assert_true(drawn.hide.flaw_count <= FLAWS_MAX);
        check_rings(&drawn);
        arena_rewind(*state, mark);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(a_trial_is_the_same_in_any_order),
        TEST_IN_ARENA(a_trial_is_the_same_on_any_thread),
        TEST_IN_ARENA(rings_are_simple_and_the_area_is_as_asked),
        TEST_IN_ARENA(sides_have_their_area),
        TEST_IN_ARENA(regions_cover_the_hide_once),
        TEST_IN_ARENA(a_larger_area_is_the_same_hide_larger),
        TEST_IN_ARENA(a_worse_grade_has_the_same_flaws_and_more),
        TEST_IN_ARENA(edge_places_lead_back),
        TEST_IN_ARENA(cuts_lie_where_they_were_found),
        TEST_IN_ARENA(crossings_are_found),
        TEST_IN_ARENA(hulls_agree_with_the_library),
        TEST_IN_ARENA(grades_are_in_order),
        TEST_IN_ARENA(the_worst_grade_is_bounded),
    };
    return cmocka_run_group_tests_name("hide/population", tests, NULL, NULL);
}
