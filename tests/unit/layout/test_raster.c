#include "layout/raster.h"

#include "shapes.h"
#include "support/check.h"

// Bitmaps and rasters are held against slow, obvious ways.

static Bitmap random_map(Random *random, int columns, int rows, int one_in, Arena *keep)
{
    Bitmap map = bitmap_make(columns, rows, keep);
    for (int row = 0; row < rows; row++) {
        for (int column = 0; column < columns; column++) {
            if (random_below(random, one_in) == 0) {
                bitmap_set(map, (Run){row, column, column});
            }
        }
    }
    return map;
}

static void runs_are_set_and_found_again(void **state)
{
    for (uint64_t seed = 1; seed <= 300; seed++) {
        Random random = random_begin(seed, 0, 0);
        const int columns = 1 + random_below(&random, 200);
        const Bitmap map = random_map(&random, columns, 3, 2 + random_below(&random, 4), *state);
        const Runs runs = bitmap_runs(map, *state);
        Bitmap again = bitmap_make(columns, 3, *state);
        for (int i = 0; i < runs.count; i++) {
            bitmap_set(again, runs.items[i]);
        }
        assert_memory_equal(map.bits, again.bits, bitmap_words(map) * sizeof *map.bits);
    }
}

static void runs_are_clipped_to_the_map(void **state)
{
    Bitmap map = bitmap_make(70, 2, *state);
    bitmap_set(map, (Run){0, -50, 500});
    bitmap_set(map, (Run){-1, 0, 5});
    bitmap_set(map, (Run){2, 0, 5});
    bitmap_set(map, (Run){1, 70, 80});
    const Runs runs = bitmap_runs(map, *state);
    assert_int_equal(runs.count, 1);
    assert_int_equal(runs.items[0].from, 0);
    assert_int_equal(runs.items[0].to, 69);
    assert_true(bitmap_row(map, 0)[2] == 0); // the spare word stays 0
}

static bool cell_or_nothing(Bitmap map, int column, int row)
{
    return column >= 0 && row >= 0 && column < map.columns && row < map.rows &&
           bitmap_get(map, column, row);
}

static void shifted_maps_agree_with_single_cells(void **state)
{
    for (uint64_t seed = 1; seed <= 400; seed++) {
        Random random = random_begin(seed, 1, 0);
        const ArenaMark mark = arena_mark(*state);
        const Bitmap from = random_map(&random, 1 + random_below(&random, 150),
                                       1 + random_below(&random, 6), 3, *state);
        Bitmap to =
            bitmap_make(1 + random_below(&random, 150), 1 + random_below(&random, 6), *state);
        const int right = random_below(&random, 300) - 150;
        const int up = random_below(&random, 10) - 5;
        bitmap_or_at(to, from, right, up);
        for (int row = 0; row < to.rows; row++) {
            for (int column = 0; column < to.columns; column++) {
                assert_int_equal(bitmap_get(to, column, row),
                                 cell_or_nothing(from, column - right, row - up));
            }
        }
        arena_rewind(*state, mark);
    }
}

static bool meets(Bitmap map, Runs mask, int column, int row)
{
    for (int i = 0; i < mask.count; i++) {
        for (int k = mask.items[i].from; k <= mask.items[i].to; k++) {
            if (bitmap_get(map, column + k, row + mask.items[i].row)) {
                return true;
            }
        }
    }
    return false;
}

static void blocked_places_agree_with_trying_each(void **state)
{
    for (uint64_t seed = 1; seed <= 200; seed++) {
        Random random = random_begin(seed, 2, 0);
        const ArenaMark mark = arena_mark(*state);
        const Bitmap map = random_map(&random, 90 + random_below(&random, 100), 20,
                                      20 + random_below(&random, 400), *state);
        const Bitmap shape =
            random_map(&random, 1 + random_below(&random, 80), 1 + random_below(&random, 8),
                       1 + random_below(&random, 2), *state);
        const Runs mask = bitmap_runs(shape, *state);
        Spread spread = spread_make(map.columns, map.rows, runs_longest(mask), *state);
        spread_fill(&spread, map);
        Bitmap blocked =
            bitmap_make(map.columns - shape.columns + 1, map.rows - shape.rows + 1, *state);
        spread_block(&spread, mask, blocked);
        for (int row = 0; row < blocked.rows; row++) {
            for (int column = 0; column < blocked.columns; column++) {
                assert_int_equal(bitmap_get(blocked, column, row), meets(map, mask, column, row));
            }
        }
        arena_rewind(*state, mark);
    }
}

// Every point of the shape, and of what is nearer to it than the reach, lies in a
// marked cell; and no marked cell is farther from the shape than reach and diagonal.
static void marked_cells_hold_the_shape(void **state)
{
    const Grid grid = {.corner = {-80, -90}, .cell_mm = 3, .columns = 60, .rows = 62};
    for (uint64_t seed = 1; seed <= 200; seed++) {
        Random random = random_begin(seed, 3, 0);
        const ArenaMark mark = arena_mark(*state);
        const Ring holes[] = {star_ring((Point){0, 0}, 18, 0.4, 1, &random, *state)};
        const Polygon polygon = {star_ring((Point){0, 0}, 70, 0.5, 1, &random, *state), holes, 1};
        const double reach_mm = random_below(&random, 2) ? 0 : random_between(&random, 0, 7);
        Bitmap map = bitmap_make(grid.columns, grid.rows, *state);
        raster_area(grid, polygon, reach_mm, map, *state);
        const PolygonSet set = {&polygon, 1};
        for (int i = 0; i < 300; i++) {
            const Point p = {random_between(&random, -80, 100), random_between(&random, -90, 96)};
            const int column = (int)floor((p.x - grid.corner.x) / grid.cell_mm);
            const int row = (int)floor((p.y - grid.corner.y) / grid.cell_mm);
            const double far_mm = polygon_set_distance_mm(set, p);
            if (far_mm <= reach_mm) {
                assert_true(bitmap_get(map, column, row));
            } else if (far_mm > (reach_mm + grid.cell_mm + SAFE_MM) * sqrt(2)) {
                assert_false(bitmap_get(map, column, row));
            }
        }
        arena_rewind(*state, mark);
    }
}

static void what_is_not_outside_is_inside(void **state)
{
    const Grid grid = {.corner = {-101, -101}, .cell_mm = 2.5, .columns = 81, .rows = 81};
    for (uint64_t seed = 1; seed <= 200; seed++) {
        Random random = random_begin(seed, 4, 0);
        const ArenaMark mark = arena_mark(*state);
        const Ring ring = star_ring((Point){0, 0}, 100, 0.4, 1, &random, *state);
        Bitmap map = bitmap_make(grid.columns, grid.rows, *state);
        raster_outside(grid, ring, map, *state);
        for (int i = 0; i < 300; i++) {
            const int column = random_below(&random, grid.columns);
            const int row = random_below(&random, grid.rows);
            const Point p = {grid.corner.x + (column + random_share(&random)) * grid.cell_mm,
                             grid.corner.y + (row + random_share(&random)) * grid.cell_mm};
            if (!bitmap_get(map, column, row)) {
                assert_true(ring_contains(ring, p));
            } else if (ring_contains(ring, p)) {
                assert_true(ring_distance_mm(ring, p) <= grid.cell_mm * sqrt(2) + 2 * SAFE_MM);
            }
        }
        arena_rewind(*state, mark);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(runs_are_set_and_found_again),
        TEST_IN_ARENA(runs_are_clipped_to_the_map),
        TEST_IN_ARENA(shifted_maps_agree_with_single_cells),
        TEST_IN_ARENA(blocked_places_agree_with_trying_each),
        TEST_IN_ARENA(marked_cells_hold_the_shape),
        TEST_IN_ARENA(what_is_not_outside_is_inside),
    };
    return cmocka_run_group_tests_name("layout/raster", tests, NULL, NULL);
}
