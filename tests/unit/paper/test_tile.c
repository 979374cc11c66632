#include "paper/tile.h"

#include "base/random.h"
#include "plane/curve.h"
#include "support/check.h"

static double drawn_mm(const Drawing *drawing)
{
    double sum_mm = 0;
    for (int i = 0; i < drawing->count; i++) {
        const DrawItem *item = &drawing->items[i];
        for (int k = 0; k + 1 < item->point_count; k++) {
            sum_mm += point_distance(item->points[k], item->points[k + 1]);
        }
        if (item->closed) {
            sum_mm += point_distance(item->points[item->point_count - 1], item->points[0]);
        }
    }
    return sum_mm;
}

static void a_line_that_leaves_and_comes_back_is_two_stretches(void **state)
{
    Drawing *whole = drawing_create(100, 100, "", *state);
    const Point points[] = {{5, 5}, {15, 5}, {15, 8}, {5, 8}};
    draw_polyline(whole, LAYER_CUT, points, 4, false);
    Drawing *sheet = drawing_create(100, 100, "", *state);
    tile_draw_clipped(sheet, whole, (Box){{0, 0}, {10, 10}}, (Point){100, 200});
    assert_int_equal(sheet->count, 2);
    CHECK_NEAR(sheet->items[0].points[0].x, 105, 1e-12);
    CHECK_NEAR(sheet->items[0].points[1].x, 110, 1e-12);
    CHECK_NEAR(sheet->items[1].points[0].x, 110, 1e-12);
    CHECK_NEAR(sheet->items[1].points[1].y, 208, 1e-12);
}

static void a_line_that_only_touches_the_window_is_left_out(void **state)
{
    Drawing *whole = drawing_create(100, 100, "", *state);
    draw_line(whole, LAYER_CUT, (Point){5, 15}, (Point){15, 5}); // through the corner (10, 10)
    // Comes to the edge exactly, and goes on outside.
    const Point points[] = {{5, 5}, {10, 5}, {20, 5}, {20, 7}, {5, 7}};
    draw_polyline(whole, LAYER_TACK, points, 5, false);
    Drawing *sheet = drawing_create(100, 100, "", *state);
    tile_draw_clipped(sheet, whole, (Box){{0, 0}, {10, 10}}, (Point){0, 0});
    assert_int_equal(sheet->count, 2);
    assert_int_equal(sheet->items[0].point_count, 2);
    assert_int_equal(sheet->items[1].point_count, 2);
    CHECK_NEAR(drawn_mm(sheet), 10, 1e-12);
}

static void a_ring_within_the_window_stays_closed(void **state)
{
    Drawing *whole = drawing_create(100, 100, "", *state);
    const Point points[] = {{1, 1}, {9, 1}, {9, 9}};
    draw_polyline(whole, LAYER_CUT, points, 3, true);
    Drawing *sheet = drawing_create(100, 100, "", *state);
    tile_draw_clipped(sheet, whole, (Box){{0, 0}, {10, 10}}, (Point){0, 0});
    assert_int_equal(sheet->count, 1);
    assert_true(sheet->items[0].closed);
}

// Property: cells share no area and leave none out, so what is drawn in them adds up to
// the whole line, and every point drawn lies in its window.
static void the_cells_together_hold_the_whole_line(void **state)
{
    for (uint64_t seed = 1; seed <= 200; seed++) {
        Random random = random_begin(seed, 0, 0);
        const Ring ring = curve_ellipse((Point){random_between(&random, -500, 500), 77},
                                        random_between(&random, 20, 900),
                                        random_between(&random, 20, 900), 0.1, *state);
        Drawing *whole = drawing_create(100, 100, "", *state);
        draw_polyline(whole, LAYER_CUT, ring.points, ring.count, true);
        const TileGrid grid = tile_grid(ring, 4, random_between(&random, 100, 300),
                                        random_between(&random, 100, 300), *state);
        double sum_mm = 0;
        int used = 0;
        for (int row = 0; row < grid.rows; row++) {
            for (int column = 0; column < grid.columns; column++) {
                Drawing *sheet = drawing_create(100, 100, "", *state);
                tile_draw_clipped(sheet, whole, tile_cell(&grid, row, column), (Point){0, 0});
                sum_mm += drawn_mm(sheet);
                used += tile_is_used(&grid, row, column) ? 1 : 0;
                if (!tile_is_used(&grid, row, column)) {
                    assert_int_equal(sheet->count, 0);
                }
            }
        }
        CHECK_NEAR(sum_mm, ring_length_mm(ring), 1e-6);
        assert_int_equal(used, grid.used_count);
    }
}

static void neighbours_share_ten_millimetres(void **state)
{
    const Point corners[] = {{0, 0}, {500, 0}, {500, 500}, {0, 500}};
    const TileGrid grid = tile_grid((Ring){corners, 4}, 4, 194, 265, *state);
    assert_int_equal(grid.columns, 3);
    assert_int_equal(grid.rows, 2);
    const Box left = tile_window(&grid, 0, 0);
    const Box right = tile_window(&grid, 0, 1);
    const Box below = tile_window(&grid, 1, 0);
    CHECK_NEAR(left.max.x - right.min.x, 10, 1e-9);
    CHECK_NEAR(below.max.y - left.min.y, 10, 1e-9);
    CHECK_NEAR(tile_cell(&grid, 0, 0).max.x, tile_cell(&grid, 0, 1).min.x, 1e-9);
    CHECK_NEAR(tile_cell(&grid, 0, 0).min.y, tile_cell(&grid, 1, 0).max.y, 1e-9);
    assert_true(below.min.y <= -4 && left.max.y >= 504);
}

static void one_sheet_is_enough_until_it_is_not(void **state)
{
    const Point fits[] = {{0, 0}, {92, 0}, {92, 92}, {0, 92}};
    const Point too_wide[] = {{0, 0}, {92.01, 0}, {92.01, 92}, {0, 92}};
    assert_int_equal(tile_grid((Ring){fits, 4}, 4, 100, 100, *state).used_count, 1);
    assert_int_equal(tile_grid((Ring){too_wide, 4}, 4, 100, 100, *state).used_count, 2);
}

static void sheets_with_nothing_on_them_are_not_used(void **state)
{
    // An L over 2 x 2 sheets: the upper right one stays empty.
    const Point corners[] = {{0, 0}, {180, 0}, {180, 60}, {60, 60}, {60, 180}, {0, 180}};
    const TileGrid grid = tile_grid((Ring){corners, 6}, 4, 100, 100, *state);
    assert_int_equal(grid.used_count, 3);
    assert_false(tile_is_used(&grid, 0, 1));
    assert_false(tile_is_used(&grid, -1, 0));
    assert_false(tile_is_used(&grid, 0, 2));
}

static void sheets_are_named_by_row_and_column(void **state)
{
    assert_string_equal(tile_name(1, 2, *state), "B3");
    assert_string_equal(tile_name(25, 9, *state), "Z10");
    assert_string_equal(tile_name(26, 0, *state), "AA1");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(a_line_that_leaves_and_comes_back_is_two_stretches),
        TEST_IN_ARENA(a_line_that_only_touches_the_window_is_left_out),
        TEST_IN_ARENA(a_ring_within_the_window_stays_closed),
        TEST_IN_ARENA(the_cells_together_hold_the_whole_line),
        TEST_IN_ARENA(neighbours_share_ten_millimetres),
        TEST_IN_ARENA(one_sheet_is_enough_until_it_is_not),
        TEST_IN_ARENA(sheets_with_nothing_on_them_are_not_used),
        TEST_IN_ARENA(sheets_are_named_by_row_and_column),
    };
    return cmocka_run_group_tests_name("paper/tile", tests, NULL, NULL);
}
