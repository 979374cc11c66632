#include "layout/measure.h"

#include "layout/left.h"
#include "measured.h"
#include "random_task.h"
#include "support/check.h"

static const double pi = 3.141592653589793;

static void check_box(Box box, double left, double low, double right, double top)
{
    CHECK_NEAR(box.min.x, left, 1e-9);
    CHECK_NEAR(box.min.y, low, 1e-9);
    CHECK_NEAR(box.max.x, right, 1e-9);
    CHECK_NEAR(box.max.y, top, 1e-9);
}

// What a disc that sweeps a corner leaves of it.
static double corner_mm2(double width_mm)
{
    return (1 - pi / 4) * (width_mm / 2) * (width_mm / 2);
}

static void what_is_left_of_a_rectangle_is_measured_exactly(void **state)
{
    const Sheet sheet = {.outline = box_ring(0, 0, 1000, 600, *state)};
    const Piece piece = plain_piece(box_ring(0, 0, 300, 200, *state), 1);
    const LayoutTask task = {
        .sheets = &sheet, .sheet_count = 1, .pieces = &piece, .piece_count = 1, .useful_mm = 40};
    const Placement in_corner = {0, 0, {0, 0, 0}, false};
    const LayoutMeasures measures = measure(&task, &in_corner, 1, *state);
    check_box(measures.remnants[0].rectangle, 300, 0, 1000, 600);
    // An L with five outside corners; rounded ones are polygons, a little short.
    CHECK_NEAR(measures.remnants[0].area_mm2, 540e3 - 5 * corner_mm2(40), 10);
    assert_int_equal(measures.remnants[0].parts, 1);
    // In the middle it leaves two strips of equal width and two others.
    const Placement in_the_middle = {0, 0, {350, 180, 0}, false};
    const Remnant remnant = measure(&task, &in_the_middle, 1, *state).remnants[0];
    check_box(remnant.rectangle, 0, 380, 1000, 600);
}

static void a_narrow_neck_parts_what_is_left(void **state)
{
    const Sheet sheet = {.outline = box_ring(0, 0, 1000, 600, *state)};
    const Piece piece = plain_piece(box_ring(0, 0, 100, 570, *state), 1);
    LayoutTask task = {
        .sheets = &sheet, .sheet_count = 1, .pieces = &piece, .piece_count = 1, .useful_mm = 40};
    const Placement wall = {0, 0, {600, 0, 0}, false};
    const Remnant parted = measure(&task, &wall, 1, *state).remnants[0];
    assert_int_equal(parted.parts, 2);
    // Three corners, and a little at the fourth, where the disc looks into the neck.
    CHECK_NEAR(parted.area_mm2, 600 * 600 - 3.5 * corner_mm2(40), 0.5 * corner_mm2(40));
    task.useful_mm = 29;
    assert_int_equal(measure(&task, &wall, 1, *state).remnants[0].parts, 1);
    task.useful_mm = 700; // wider than the sheet
    const Remnant none = measure(&task, &wall, 1, *state).remnants[0];
    assert_int_equal(none.parts, 0);
    CHECK_NEAR(none.area_mm2, 0, 0);
}

static void areas_to_keep_off_spoil_it_at_the_first_two_depths(void **state)
{
    Sheet sheet = {.outline = box_ring(0, 0, 1000, 600, *state)};
    const Ring hole = box_ring(0, 500, 1000, 50, *state);
    const Piece piece = plain_piece(box_ring(0, 0, 10, 10, *state), 1);
    const LayoutTask task = {
        .sheets = &sheet, .sheet_count = 1, .pieces = &piece, .piece_count = 1, .useful_mm = 20};
    const double tops[] = {500, 500, 600, 600};
    for (int depth = 0; depth < LAYOUT_DEPTHS; depth++) {
        const PolygonSet bare = {0};
        sheet.forbidden[depth] = one_polygon(hole, NULL, 0, *state);
        check_box(measure(&task, NULL, 0, *state).remnants[0].rectangle, 0, 0, 1000, tops[depth]);
        sheet.forbidden[depth] = bare;
    }
    sheet.holes = &hole;
    sheet.hole_count = 1;
    check_box(measure(&task, NULL, 0, *state).remnants[0].rectangle, 0, 0, 1000, 500);
}

// A thistle of thousands of points, too many to be grown by the useful width: what is left
// beside it is counted in cells, a cell or two too small at each edge. And a needle of a
// sheet, whose cells would be millions.
static void what_cannot_be_joined_is_counted_in_cells(void **state)
{
    enum { POINTS = 4000 };
    Random random = random_begin(8, 0, 0);
    Point *points = ARENA_ARRAY(*state, Point, POINTS);
    for (int i = 0; i < POINTS; i++) {
        const double angle = 2 * pi * i / POINTS;
        const double far = i % 2 ? 100 : random_between(&random, 40, 100);
        points[i] = (Point){500 + far * cos(angle), 300 + far * sin(angle)};
    }
    Sheet sheet = {.outline = box_ring(0, 0, 1000, 600, *state)};
    const Piece piece = plain_piece(box_ring(0, 0, 10, 10, *state), 1);
    const LayoutTask task = {
        .sheets = &sheet, .sheet_count = 1, .pieces = &piece, .piece_count = 1, .useful_mm = 100};
    sheet.forbidden[0] = one_polygon((Ring){points, POINTS}, NULL, 0, *state);
    const Remnant cells = measure(&task, NULL, 0, *state).remnants[0];
    assert_int_equal(cells.parts, 1);
    CHECK_NEAR(cells.rectangle.max.x - cells.rectangle.min.x, 400, 0.001);
    CHECK_NEAR(cells.rectangle.max.y - cells.rectangle.min.y, 600, 1e-9);
    // All around the disc that the thistle fills, less what a square cannot reach.
    const double most_mm2 = 600e3 - pi * 100 * 100;
    assert_true(cells.area_mm2 < most_mm2 && cells.area_mm2 > 0.95 * most_mm2);

    sheet.forbidden[0] = (PolygonSet){0};
    sheet.outline = box_ring(0, 0, 1000, 1e-7, *state);
    assert_int_equal(measure(&task, NULL, 0, *state).remnants[0].parts, 0);
}

static void turns_off_the_middle_know_symmetry(void **state)
{
    (void)state;
    const TurnRange turns[] = {{-0.2, 0.4}, {2, 2}};
    Piece piece = {.turns = turns, .turn_count = 2, .turn_symmetry = 1};
    CHECK_NEAR(measure_off_middle_rad(&piece, 0.1), 0, 1e-12);
    CHECK_NEAR(measure_off_middle_rad(&piece, -0.2), 0.3, 1e-12);
    CHECK_NEAR(measure_off_middle_rad(&piece, 0.4 + 2 * pi), 0.3, 1e-12);
    CHECK_NEAR(measure_off_middle_rad(&piece, 2), 0, 1e-12);
    piece.turn_symmetry = 2;
    CHECK_NEAR(measure_off_middle_rad(&piece, 2 - pi), 0, 1e-12);
    piece.turn_symmetry = 0;
    CHECK_NEAR(measure_off_middle_rad(&piece, 1), 0, 0);
}

static void partners_are_joined_each_to_the_next(void **state)
{
    const Sheet sheets[] = {{.outline = box_ring(0, 0, 3000, 4000, *state)},
                            {.outline = box_ring(0, 0, 30, 40, *state)}};
    Piece pieces[] = {plain_piece(box_ring(-50, -50, 100, 100, *state), 9),
                      plain_piece(box_ring(-50, -50, 100, 100, *state), 9),
                      plain_piece(box_ring(-50, -50, 100, 100, *state), 9)};
    pieces[0].partners = 1;
    pieces[1].partners = 1;
    pieces[2].partners = 2;
    const LayoutTask task = {
        .sheets = sheets, .sheet_count = 2, .pieces = pieces, .piece_count = 3};
    // A chain of three in any order, one of them turned; a stranger between; a set of one.
    const Placement chain[] = {{0, 0, {400, 100, 0}, false},
                               {1, 0, {100, 100, 0}, false},
                               {0, 0, {200, 100, pi / 2}, false},
                               {2, 0, {300, 100, 0}, false}};
    const LayoutMeasures measures = measure(&task, chain, 4, *state);
    CHECK_NEAR(measures.partner_distance_mm, (100 + 200) / 2.0, 1e-9);
    CHECK_NEAR(measures.partner_turn_rad, pi / 2, 1e-9);
    CHECK_NEAR(measure_wish(&task, &measures, LAYOUT_WISH_PARTNERS), 150 + 50, 1e-9);
    // Two sheets are farther apart than any two places of one.
    const Placement far[] = {{0, 0, {400, 100, 0}, false}, {1, 1, {0, 0, 0}, false}};
    CHECK_NEAR(measure(&task, far, 2, *state).partner_distance_mm, 10000, 1e-9);
    pieces[0].turn_symmetry = 0;
    CHECK_NEAR(measure(&task, chain, 4, *state).partner_turn_rad, 0, 1e-9);
}

static Bitmap random_map(Random *random, Arena *keep)
{
    Bitmap map = bitmap_make(1 + random_below(random, 150), 1 + random_below(random, 30), keep);
    const int count = random_below(random, 60);
    for (int i = 0; i < count; i++) {
        const int from = random_below(random, map.columns);
        bitmap_set(map, (Run){random_below(random, map.rows), from,
                              from + random_below(random, 1 + random_below(random, 80))});
    }
    return map;
}

static bool square_is_clear(Bitmap map, int column, int row, int width)
{
    if (column + width > map.columns || row + width > map.rows) {
        return false;
    }
    for (int i = 0; i < width * width; i++) {
        if (bitmap_get(map, column + i % width, row + i / width)) {
            return false;
        }
    }
    return true;
}

// For each pair of columns, the longest run of rows that are clear between them.
static int largest_slowly(Bitmap map)
{
    int most = 0;
    for (int from = 0; from < map.columns; from++) {
        for (int to = from; to < map.columns; to++) {
            int height = 0;
            for (int row = 0; row < map.rows; row++) {
                bool clear = true;
                for (int column = from; clear && column <= to; column++) {
                    clear = !bitmap_get(map, column, row);
                }
                height = clear ? height + 1 : 0;
                const int cells = height * (to - from + 1);
                most = cells > most ? cells : most;
            }
        }
    }
    return most;
}

static void the_largest_rectangle_agrees_with_trying_all(void **state)
{
    for (uint64_t seed = 1; seed <= TRIALS_OF(60); seed++) {
        const ArenaMark mark = arena_mark(*state);
        Random random = random_begin(seed, 0, 0);
        Bitmap map = random_map(&random, *state);
        const CellBox box = left_rectangle(map, *state);
        for (int row = 0; row < box.rows; row++) {
            for (int column = 0; column < box.columns; column++) {
                assert_false(bitmap_get(map, box.column + column, box.row + row));
            }
        }
        assert_int_equal(box.columns * box.rows, largest_slowly(map));
        arena_rewind(*state, mark);
    }
}

// Floods the places of a square one by one.
static int flood(Bitmap map, Bitmap seen, int column, int row, int width)
{
    if (column < 0 || row < 0 || column >= map.columns || row >= map.rows ||
        bitmap_get(seen, column, row) || !square_is_clear(map, column, row, width)) {
        return 0;
    }
    bitmap_set(seen, (Run){row, column, column});
    return 1 + flood(map, seen, column + 1, row, width) + flood(map, seen, column - 1, row, width) +
           flood(map, seen, column, row + 1, width) + flood(map, seen, column, row - 1, width);
}

static void parts_agree_with_flooding(void **state)
{
    int several = 0;
    for (uint64_t seed = 1; seed <= TRIALS_OF(300); seed++) {
        const ArenaMark mark = arena_mark(*state);
        Random random = random_begin(seed, 1, 0);
        Bitmap map = random_map(&random, *state);
        const int width = 1 + random_below(&random, 5);
        const LeftParts parts = left_parts(map, width, *state);
        Bitmap seen = bitmap_make(map.columns, map.rows, *state);
        int count = 0;
        int most = 0;
        for (int i = 0; i < map.columns * map.rows; i++) {
            const int places = flood(map, seen, i % map.columns, i / map.columns, width);
            count += places > 0;
            most = places > most ? places : most;
        }
        assert_int_equal(parts.count, count);
        assert_true(width > 1 || parts.largest_cells == most);
        assert_true(parts.largest_cells >= most);
        assert_true(count == 0 || parts.largest_cells >= width * width);
        several += count > 1;
        arena_rewind(*state, mark);
    }
    assert_true(several > TRIALS_OF(30));
}

static double area_mm2(Box box)
{
    return (box.max.x - box.min.x) * (box.max.y - box.min.y);
}

// Property: no piece, hole or area reaches into the rectangle, and a hair more on any side
// meets something.
static void the_rectangle_is_clear_and_cannot_grow(void **state)
{
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    int some = 0;
    for (uint64_t seed = 1; seed <= TRIALS_OF(150); seed++) {
        const ArenaMark mark = arena_mark(*state);
        Random random = random_begin(seed, 0, 0);
        LayoutTask task = random_task(&random, *state);
        Problems *problems = problems_in(*state);
        Layout layout;
        task.unfinished = true;
        assert_true(layout_search(&task, (LayoutOptions){.seed = seed, .work = 0.001}, NULL, *state,
                                  scratch, &layout, problems));
        const LayoutMeasures measures = measure(&task, layout.placements, layout.count, *state);
        for (int s = 0; s < task.sheet_count; s++) {
            const Box box = measures.remnants[s].rectangle;
            some += area_mm2(box) > 100;
            // As a piece of its own it lies soundly; grown to any side, it does not.
            for (int side = 0; side < 5 && area_mm2(box) > 100; side++) {
                Sheet sheet = task.sheets[s];
                sheet.gap_mm = 0;
                const double more = 1; // a steep edge at a corner is met late
                const Box grown = {
                    {box.min.x - (side == 0) * more, box.min.y - (side == 1) * more},
                    {box.max.x + (side == 2) * more, box.max.y + (side == 3) * more}};
                Piece *pieces = ARENA_ARRAY(*state, Piece, task.piece_count + 1);
                Placement *placements = ARENA_ARRAY(*state, Placement, layout.count + 1);
                int count = 0;
                for (int i = 0; i < task.piece_count; i++) {
                    pieces[i] = task.pieces[i];
                    pieces[i].depth_count = 1;
                    pieces[i].gap_mm = 0;
                }
                for (int i = 0; i < layout.count; i++) {
                    if (layout.placements[i].sheet == s) {
                        placements[count] = layout.placements[i];
                        placements[count++].sheet = 0;
                    }
                }
                // Shrunk by what rounding to the lattice may add.
                const double in = side == 4 ? 0.01 : 0;
                pieces[task.piece_count] = plain_piece(
                    box_ring(grown.min.x + in, grown.min.y + in, grown.max.x - grown.min.x - 2 * in,
                             grown.max.y - grown.min.y - 2 * in, *state),
                    1);
                pieces[task.piece_count].depth_count = 2;
                pieces[task.piece_count].outline[1] = pieces[task.piece_count].outline[0];
                placements[count++] = (Placement){task.piece_count, 0, {0, 0, 0}, false};
                const LayoutTask one = {.sheets = &sheet,
                                        .sheet_count = 1,
                                        .pieces = pieces,
                                        .piece_count = task.piece_count + 1};
                const int faults = layout_check(&one, placements, count, *state, NULL, 0);
                assert_true(side == 4 ? faults == 0 : faults > 0);
            }
        }
        arena_rewind(*state, mark);
    }
    arena_destroy(scratch);
    assert_true(some > TRIALS_OF(100));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(what_is_left_of_a_rectangle_is_measured_exactly),
        TEST_IN_ARENA(a_narrow_neck_parts_what_is_left),
        TEST_IN_ARENA(areas_to_keep_off_spoil_it_at_the_first_two_depths),
        TEST_IN_ARENA(what_cannot_be_joined_is_counted_in_cells),
        TEST_IN_ARENA(turns_off_the_middle_know_symmetry),
        TEST_IN_ARENA(partners_are_joined_each_to_the_next),
        TEST_IN_ARENA(the_largest_rectangle_agrees_with_trying_all),
        TEST_IN_ARENA(parts_agree_with_flooding),
        TEST_IN_ARENA(the_rectangle_is_clear_and_cannot_grow),
    };
    return cmocka_run_group_tests_name("layout/measure", tests, NULL, NULL);
}
