#include "layout/edge_grid.h"

#include "base/random.h"
#include "support/check.h"

enum { GRIDS = TRIALS_OF(300), QUESTIONS = 20, RINGS = 6 };

static LatticePoint random_point(Random *random, int64_t reach)
{
    return (LatticePoint){random_below(random, (int)reach), random_below(random, (int)reach)};
}

// Any points will do: a grid knows only edges.
static LatticeRing random_ring(Random *random, Arena *keep)
{
    const int count = 2 + random_below(random, 5);
    LatticePoint *points = ARENA_ARRAY(keep, LatticePoint, count);
    LatticeRing ring = {points, count, {INT64_MAX, INT64_MAX}, {INT64_MIN, INT64_MIN}};
    for (int i = 0; i < count; i++) {
        const LatticePoint p = random_point(random, 20000);
        points[i] = p;
        ring.min.x = p.x < ring.min.x ? p.x : ring.min.x;
        ring.min.y = p.y < ring.min.y ? p.y : ring.min.y;
        ring.max.x = p.x > ring.max.x ? p.x : ring.max.x;
        ring.max.y = p.y > ring.max.y ? p.y : ring.max.y;
    }
    return ring;
}

static bool stands_near(const EdgeGrid *grid, GridEdge edge, LatticePoint from, LatticePoint to)
{
    const GridSpan rows = edge_grid_rows(grid, from, to, 0);
    for (int row = rows.first; row <= rows.last; row++) {
        const GridSpan columns = edge_grid_columns(grid, from, to, row, 0);
        for (int column = columns.first; column <= columns.last; column++) {
            const int cell = row * grid->columns + column;
            for (int i = grid->begin[cell]; i < grid->begin[cell + 1]; i++) {
                if (memcmp(&grid->edges[i], &edge, sizeof edge) == 0) {
                    return true;
                }
            }
        }
    }
    return false;
}

// Counts the edges nearer than the reach; all must be found.
static int check_question(const EdgeGrid *grid, const LatticeRing *rings, int64_t reach,
                          LatticePoint from, LatticePoint to)
{
    int near = 0;
    for (int owner = 0; owner < RINGS; owner++) {
        for (int i = 0; i < rings[owner].count; i++) {
            const LatticePoint a = rings[owner].points[i];
            const LatticePoint b = rings[owner].points[(i + 1) % rings[owner].count];
            if (lattice_edges_nearer(from, to, a, b, reach)) {
                const GridEdge edge = {(int32_t)a.x, (int32_t)a.y, (int32_t)b.x, (int32_t)b.y,
                                       owner};
                assert_true(stands_near(grid, edge, from, to));
                near++;
            }
        }
    }
    return near;
}

static void edges_within_reach_are_found(void **state)
{
    int near = 0;
    for (uint64_t seed = 1; seed <= GRIDS; seed++) {
        const ArenaMark mark = arena_mark(*state);
        Random random = random_begin(seed, 0, 0);
        Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
        LatticeRing rings[RINGS];
        for (int i = 0; i < RINGS; i++) {
            rings[i] = random_ring(&random, *state);
        }
        const int64_t reach = 1 + random_below(&random, 3000);
        const EdgeGrid grid = edge_grid_make(rings, RINGS, reach, *state, scratch);
        for (int i = 0; i < QUESTIONS; i++) {
            LatticePoint from = random_point(&random, 30000);
            from.x -= 5000; // now and then beside the grid
            from.y -= 5000;
            LatticePoint to = random_point(&random, 3000);
            to.x += from.x;
            to.y += from.y;
            near += check_question(&grid, rings, reach, from, to);
        }
        arena_destroy(scratch);
        arena_rewind(*state, mark);
    }
    assert_true(near > GRIDS);
}

static void nothing_has_a_grid_too(void **state)
{
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    const EdgeGrid grid = edge_grid_make(NULL, 0, 0, *state, scratch);
    const GridSpan rows = edge_grid_rows(&grid, (LatticePoint){-9, 0}, (LatticePoint){9, 0}, 0);
    for (int row = rows.first; row <= rows.last; row++) {
        assert_int_equal(grid.begin[row * grid.columns], 0);
    }
    assert_int_equal(grid.begin[grid.rows * grid.columns], 0);
    arena_destroy(scratch);
}

// A comb whose teeth are as long as the sheet, many times over: it would stand in tens of millions
// of places.
static void long_edges_find_room(void **state)
{
    enum { TEETH = 1000, COMBS = 60, LONG = 200000, ENTRIES_MOST = 8000000 };
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    LatticePoint *points = ARENA_ARRAY(*state, LatticePoint, 2 * TEETH);
    for (int i = 0; i < 2 * TEETH; i++) {
        points[i] = (LatticePoint){100 * i, i % 2 ? LONG : 0};
    }
    LatticeRing *rings = ARENA_ARRAY(*state, LatticeRing, COMBS);
    for (int i = 0; i < COMBS; i++) {
        rings[i] = (LatticeRing){points, 2 * TEETH, {0, 0}, {100 * (2 * TEETH - 1), LONG}};
    }
    Arena *keep = arena_create("grid", (size_t)256 << 20);
    const EdgeGrid grid = edge_grid_make(rings, COMBS, 2000, keep, scratch);
    assert_in_range(grid.begin[grid.rows * grid.columns], 2 * TEETH * COMBS, ENTRIES_MOST);
    const GridEdge last = {(int32_t)points[2 * TEETH - 2].x, 0, (int32_t)points[2 * TEETH - 1].x,
                           LONG, COMBS - 1};
    assert_true(stands_near(&grid, last, points[2 * TEETH - 1], points[2 * TEETH - 1]));
    arena_destroy(keep);
    arena_destroy(scratch);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(edges_within_reach_are_found),
        TEST_IN_ARENA(nothing_has_a_grid_too),
        TEST_IN_ARENA(long_edges_find_room),
    };
    return cmocka_run_group_tests_name("layout/edge_grid", tests, NULL, NULL);
}
