#include "layout/model.h"

#include "shapes.h"
#include "support/check.h"

#include <limits.h>

// Bands are held against distances and against the lattice's own answers.

enum { BAND = 300, REACH = 500 };

static Outlining outlining_at(LatticePoint corner, Arena *scratch)
{
    return (Outlining){
        .grid = {corner, BAND}, .first = -INT_MAX / 4, .last = INT_MAX / 4, .scratch = scratch};
}

static Parts parts_of(LatticeRing ring, int reach, Arena *keep)
{
    Outlining outlining = outlining_at((LatticePoint){0, 0}, keep);
    outlining_add(&outlining, ring, reach);
    outlining_fill(&outlining);
    return outlining_parts(&outlining, keep);
}

static bool parts_hold(Parts parts, LatticePoint p)
{
    const int band = (int)floor((double)p.y / BAND);
    for (int i = 0; i < parts.count; i++) {
        const Part *part = &parts.items[i];
        const int at = band - part->first;
        if (at >= 0 && at < part->count && part->left[at] <= p.x && p.x <= part->right[at]) {
            return true;
        }
    }
    return false;
}

static Ring exact_ring(LatticeRing ring, Arena *keep)
{
    Point *points = ARENA_ARRAY(keep, Point, ring.count);
    for (int i = 0; i < ring.count; i++) {
        points[i] = (Point){(double)ring.points[i].x, (double)ring.points[i].y};
    }
    return (Ring){points, ring.count};
}

static void parts_hold_the_shape_and_little_more(void **state)
{
    for (uint64_t seed = 1; seed <= TRIALS_OF(200); seed++) {
        Random random = random_begin(seed, 0, 0);
        const ArenaMark mark = arena_mark(*state);
        const int reach = random_below(&random, 2) ? 0 : REACH;
        const LatticeRing ring = lattice_ring(star_ring((Point){0, 0}, 70, 0.3, 1, &random, *state),
                                              (Motion){3, -2, 0}, *state);
        const Parts parts = parts_of(ring, reach, *state);
        const Ring exact = exact_ring(ring, *state);
        for (int i = 0; i < 300; i++) {
            const LatticePoint p = {random_below(&random, 20000) - 10000,
                                    random_below(&random, 20000) - 10000};
            const Point at = {(double)p.x, (double)p.y};
            const double far = ring_contains(exact, at) ? 0 : ring_distance_mm(exact, at);
            if (far < reach || far == 0) {
                assert_true(parts_hold(parts, p));
            } else if (far > reach + BAND + 2) {
                assert_false(parts_hold(parts, p));
            }
        }
        arena_rewind(*state, mark);
    }
}

static void what_is_not_outside_is_inside(void **state)
{
    for (uint64_t seed = 1; seed <= TRIALS_OF(200); seed++) {
        Random random = random_begin(seed, 1, 0);
        const ArenaMark mark = arena_mark(*state);
        const LatticeRing ring = lattice_ring(
            star_ring((Point){0, 0}, 100, 0.3, 1, &random, *state), (Motion){0}, *state);
        Outlining outlining = outlining_at(ring.min, *state);
        outlining.first = 0;
        outlining.last = (int)((ring.max.y - ring.min.y) / BAND);
        outlining_add(&outlining, ring, 0);
        outlining_fill_outside(&outlining);
        const Parts parts = outlining_parts(&outlining, *state);
        const Ring exact = exact_ring(ring, *state);
        for (int i = 0; i < 300; i++) {
            const int wide = (int)(ring.max.x - ring.min.x);
            const int high = (int)(ring.max.y - ring.min.y);
            const LatticePoint p = {random_below(&random, wide), random_below(&random, high)};
            const Point at = {(double)(p.x + ring.min.x), (double)(p.y + ring.min.y)};
            if (!parts_hold(parts, p)) {
                assert_true(ring_contains(exact, at));
            } else if (ring_contains(exact, at)) {
                assert_true(ring_distance_mm(exact, at) <= BAND + 2);
            }
        }
        arena_rewind(*state, mark);
    }
}

static bool parts_meet(Parts still, Parts moved, int x, int bands)
{
    for (int i = 0; i < still.count; i++) {
        for (int k = 0; k < moved.count; k++) {
            const Span span = parts_overlap(&still.items[i], &moved.items[k], bands);
            if (span.low < x && x < span.high) {
                return true;
            }
        }
    }
    return false;
}

static LatticeRing shifted(LatticeRing ring, int x, int y, Arena *keep)
{
    LatticePoint *points = ARENA_ARRAY(keep, LatticePoint, ring.count);
    for (int i = 0; i < ring.count; i++) {
        points[i] = (LatticePoint){ring.points[i].x + x, ring.points[i].y + y};
    }
    return (LatticeRing){
        points, ring.count, {ring.min.x + x, ring.min.y + y}, {ring.max.x + x, ring.max.y + y}};
}

// Where parts do not meet, neither do the rings. Where they do, the rings are nearer
// than what a band at either side can hide.
static void overlaps_are_on_the_safe_side(void **state)
{
    int met = 0;
    int clear = 0;
    for (uint64_t seed = 1; seed <= TRIALS_OF(300); seed++) {
        Random random = random_begin(seed, 2, 0);
        const ArenaMark mark = arena_mark(*state);
        const LatticeRing still = lattice_ring(
            star_ring((Point){0, 0}, 70, 0.3, 1, &random, *state), (Motion){0}, *state);
        const LatticeRing moved = lattice_ring(
            star_ring((Point){0, 0}, 50, 0.3, 1, &random, *state), (Motion){0}, *state);
        const Parts of_still = parts_of(still, 0, *state);
        const Parts of_moved = parts_of(moved, 0, *state);
        for (int i = 0; i < 60; i++) {
            const int x = random_below(&random, 26000) - 13000;
            const int bands = random_below(&random, 80) - 40;
            const LatticeRing there = shifted(moved, x, bands * BAND, *state);
            if (!parts_meet(of_still, of_moved, x, bands)) {
                assert_false(lattice_interiors_meet(still, there, *state));
                clear++;
            } else {
                assert_true(lattice_interiors_meet(still, there, *state) ||
                            lattice_nearer_than(still, there, 2 * BAND + 4));
                met++;
            }
        }
        arena_rewind(*state, mark);
    }
    assert_true(met > 5 * (int)TRIALS_OF(300) && clear > 5 * (int)TRIALS_OF(300));
}

// Shapes of upright edges on whole bands: touching is told from overlapping.
static void upright_shapes_are_exact(void **state)
{
    static const Point ell[] = {{0, 0}, {30, 0}, {30, 9}, {12, 9}, {12, 21}, {0, 21}};
    const LatticeRing still = lattice_ring((Ring){ell, 6}, (Motion){0}, *state);
    const LatticeRing moved = lattice_ring(box_ring(0, 0, 17.5, 6, *state), (Motion){0}, *state);
    const Parts of_still = parts_of(still, 0, *state);
    const Parts of_moved = parts_of(moved, 0, *state);
    for (int bands = -3; bands <= 8; bands++) {
        for (int x = -1800; x <= 3100; x += 50) {
            const LatticeRing there = shifted(moved, x, bands * BAND, *state);
            assert_int_equal(parts_meet(of_still, of_moved, x, bands),
                             lattice_interiors_meet(still, there, *state));
        }
    }
    // In the inner corner, and one unit into either wall.
    assert_false(parts_meet(of_still, of_moved, 1200, 3));
    assert_true(parts_meet(of_still, of_moved, 1199, 3));
    assert_true(parts_meet(of_still, of_moved, 1200, 2));
}

static Sheet flawed_sheet(Random *random, Arena *keep)
{
    Sheet sheet = {.outline = star_ring((Point){0, 0}, 300, 0.7, 1, random, keep),
                   .gap_mm = random_below(random, 2) ? 0 : 4};
    sheet.forbidden[0] =
        one_polygon(star_ring((Point){60, 40}, 60, 0.6, 1, random, keep), NULL, 0, keep);
    return sheet;
}

// Every place that is free after some pieces are laid is accepted by the judge.
static void free_places_are_free(void **state)
{
    int seen = 0;
    for (uint64_t seed = 1; seed <= TRIALS_OF(40); seed++) {
        Random random = random_begin(seed, 3, 0);
        const ArenaMark mark = arena_mark(*state);
        const Sheet sheet = flawed_sheet(&random, *state);
        Piece pieces[2] = {plain_piece(star_ring((Point){0, 0}, 70, 0.4, 1, &random, *state), 3),
                           plain_piece(star_ring((Point){9, 5}, 40, 0.4, 1, &random, *state), 3)};
        pieces[1].gap_mm = random_below(&random, 2) ? 0 : 9;
        const LayoutTask task = {
            .sheets = &sheet, .sheet_count = 1, .pieces = pieces, .piece_count = 2};
        Model *model = ARENA_NEW(*state, Model);
        Arena *own = arena_create("model", TEST_ARENA_BYTES);
        model_make(&task, (ModelView){0}, 800, (Work){0}, own, model);
        Placement placements[3];
        int count = 0;
        for (int i = 0; i < 3; i++) {
            const int pose = i % 2;
            const Places *places = model_places(model, 0, pose);
            for (int k = 0; places && k < 4000; k++) {
                const int row = random_below(&random, places->blocked.rows);
                const int column = random_below(&random, places->blocked.columns);
                const bool inside = row >= places->first_row && row <= places->last_row &&
                                    column / BITS_IN_WORD >= places->first_word &&
                                    column / BITS_IN_WORD <= places->last_word;
                if (inside && !bitmap_get(places->blocked, column, row)) {
                    const Laid laid = {pose, 0, pose, column, row, 0};
                    placements[count] = (Placement){pose, 0, model_motion(model, laid), false};
                    assert_int_equal(layout_check(&task, placements, count + 1, *state, NULL, 0),
                                     0);
                    if (++seen % 7 == 0) {
                        model_lay(model, laid);
                        count++;
                        break;
                    }
                }
            }
        }
        arena_destroy(own);
        arena_rewind(*state, mark);
    }
    assert_true(seen > 7 * (int)TRIALS_OF(40));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(parts_hold_the_shape_and_little_more),
        TEST_IN_ARENA(what_is_not_outside_is_inside),
        TEST_IN_ARENA(overlaps_are_on_the_safe_side),
        TEST_IN_ARENA(upright_shapes_are_exact),
        TEST_IN_ARENA(free_places_are_free),
    };
    return cmocka_run_group_tests_name("layout/bands", tests, NULL, NULL);
}
