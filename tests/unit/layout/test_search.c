#include "layout/search.h"

#include "layout/place_pairs.h"
#include "shapes.h"
#include "support/check.h"

static const double half_turn_rad = 3.141592653589793;

static SearchResult search(const LayoutTask *task, uint64_t seed, double work, Arena *keep)
{
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    Problems *problems = problems_in(keep);
    SearchResult result = {0};
    const bool good = search_run(task, (LayoutOptions){.seed = seed, .work = work}, NULL, keep,
                                 scratch, &result, problems);
    arena_destroy(scratch);
    assert_true(good);
    assert_int_equal(problems->mistakes, 0);
    assert_int_equal(result.tally.refused, 0);
    assert_int_equal(
        layout_check(task, result.layout.placements, result.layout.count, keep, NULL, 0), 0);
    return result;
}

static LayoutTask task_of(const Sheet *sheet, const Piece *piece)
{
    return (LayoutTask){.sheets = sheet, .sheet_count = 1, .pieces = piece, .piece_count = 1};
}

static void eight_rectangles_find_room(void **state)
{
    const Sheet sheet = {.outline = box_ring(0, 0, 2100, 1230, *state), .gap_mm = 3};
    const Piece piece = plain_piece(box_ring(0, 0, 500, 600, *state), 8);
    const LayoutTask task = task_of(&sheet, &piece);
    const SearchResult result = search(&task, 1, 1, *state);
    assert_int_equal(result.layout.count, 8);
    assert_int_equal(result.layout.missing[0], 0);
    CHECK_NEAR(result.layout.value, 8, 1e-12);
    CHECK_NEAR(result.layout.cost, 0, 0);
}

static void impossible_demand_is_told(void **state)
{
    const Sheet sheet = {.outline = box_ring(0, 0, 1000, 1000, *state)};
    const Piece pieces[] = {plain_piece(box_ring(0, 0, 450, 450, *state), 7),
                            plain_piece(box_ring(0, 0, 1100, 100, *state), 2)};
    const LayoutTask task = {
        .sheets = &sheet, .sheet_count = 1, .pieces = pieces, .piece_count = 2};
    const SearchResult result = search(&task, 1, 0.1, *state);
    assert_int_equal(result.layout.count, 4); // area alone would let four in, with none to spare
    assert_int_equal(result.layout.missing[0], 3);
    assert_int_equal(result.layout.missing[1], 2);
}

static void a_forbidden_stripe_is_bridged_by_the_depth_that_may(void **state)
{
    // A stripe right through the middle that only the inner outline keeps off: a piece
    // may reach over it with its margin.
    Sheet sheet = {.outline = box_ring(0, 0, 400, 600, *state)};
    sheet.forbidden[1] = one_polygon(box_ring(0, 290, 400, 20, *state), NULL, 0, *state);
    Piece piece = plain_piece(box_ring(0, 0, 180, 320, *state), 2);
    const LayoutTask task = task_of(&sheet, &piece);
    assert_int_equal(search(&task, 1, 0.2, *state).layout.count, 2); // no inner outline
    piece.depth_count = 2;
    piece.outline[1] = box_ring(20, 40, 140, 240, *state);
    assert_int_equal(search(&task, 1, 0.2, *state).layout.count, 2);
    piece.outline[1] = box_ring(1, 1, 178, 318, *state);
    assert_int_equal(search(&task, 1, 0.2, *state).layout.count, 0);
    sheet.forbidden[0] = sheet.forbidden[1];
    piece.outline[1] = box_ring(20, 40, 140, 240, *state);
    assert_int_equal(search(&task, 1, 0.2, *state).layout.count, 0);
}

static void fixed_turns_are_kept(void **state)
{
    const Sheet sheet = {.outline = box_ring(0, 0, 1000, 320, *state)};
    Piece piece = plain_piece(box_ring(0, 0, 300, 900, *state), 1);
    const LayoutTask task = task_of(&sheet, &piece);
    assert_int_equal(search(&task, 1, 0.1, *state).layout.count, 0);
    const TurnRange quarter = {half_turn_rad / 2, half_turn_rad / 2};
    piece.turns = &quarter;
    const SearchResult result = search(&task, 1, 0.1, *state);
    assert_int_equal(result.layout.count, 1);
    CHECK_NEAR(result.layout.placements[0].motion.turn_rad, half_turn_rad / 2, 1e-12);
}

// It fits at an end of its interval only.
static void turns_off_the_middle_are_tried(void **state)
{
    const Sheet sheet = {.outline = box_ring(0, 0, 1000, 320, *state)};
    Piece piece = plain_piece(box_ring(0, 0, 300, 900, *state), 1);
    const TurnRange range = {0, half_turn_rad / 2};
    piece.turns = &range;
    const LayoutTask task = task_of(&sheet, &piece);
    assert_int_equal(search(&task, 1, 0.1, *state).layout.count, 1);
    LayoutHold hold;
    assert_true(layout_what_holds(&task, &(Layout){0}, 0, 0, *state, &hold, problems_in(*state)));
    assert_true(hold.fits_bare_sheet && hold.fits_now);
}

static uint64_t hash(const Layout *layout)
{
    uint64_t result = 14695981039346656037U; // FNV-1a
    for (int i = 0; i < layout->count; i++) {
        const Motion motion = layout->placements[i].motion;
        const unsigned char *bytes = (const unsigned char *)&motion;
        for (size_t k = 0; k < sizeof motion; k++) {
            result = (result ^ bytes[k]) * 1099511628211U;
        }
    }
    return result;
}

// A crowded sheet with costs, on which different draws end in different layouts.
static LayoutTask crowded_task(Arena *keep)
{
    static float cost[20 * 20];
    for (int i = 0; i < 400; i++) {
        cost[i] = (float)(i % 20 + i / 20) / 20;
    }
    Sheet *sheet = ARENA_NEW(keep, Sheet);
    *sheet = (Sheet){.outline = box_ring(0, 0, 1000, 1000, keep), .gap_mm = 2};
    sheet->field = (CostField){{25, 25}, 50, 20, 20, cost};
    Piece *pieces = ARENA_ARRAY(keep, Piece, 3);
    TurnRange *turn = ARENA_NEW(keep, TurnRange);
    *turn = (TurnRange){-0.2, 0.2};
    Random random = random_begin(9, 9, 9);
    for (int i = 0; i < 3; i++) {
        pieces[i] = plain_piece(star_ring((Point){0, 0}, 150 + 30 * i, 0.6, 1, &random, keep), 4);
        pieces[i].turns = turn;
    }
    LayoutTask task = {.sheets = sheet, .sheet_count = 1, .pieces = pieces, .piece_count = 3};
    return task;
}

static void the_same_seed_gives_the_same_layout(void **state)
{
    const LayoutTask task = crowded_task(*state);
    const SearchResult first = search(&task, 7, 0.05, *state);
    const SearchResult again = search(&task, 7, 0.05, *state);
    assert_true(first.layout.count > 5);
    assert_true(hash(&first.layout) == hash(&again.layout));
    assert_int_equal(first.tally.layouts, again.tally.layouts);
    bool differs = false;
    for (uint64_t seed = 8; seed < 16; seed++) {
        const SearchResult other = search(&task, seed, 0.05, *state);
        differs |= hash(&other.layout) != hash(&first.layout);
    }
    assert_true(differs); // the seed is used at all
}

static SearchResult search_with(const LayoutTask *task, LayoutOptions options, Arena *keep)
{
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    SearchResult result = {0};
    assert_true(search_run(task, options, NULL, keep, scratch, &result, problems_in(keep)));
    arena_destroy(scratch);
    assert_int_equal(
        layout_check(task, result.layout.placements, result.layout.count, keep, NULL, 0), 0);
    return result;
}

// More than any search can lay, so that no stream ends early.
static LayoutTask overfull_task(Arena *keep)
{
    LayoutTask task = crowded_task(keep);
    Piece *pieces = ARENA_ARRAY(keep, Piece, task.piece_count);
    for (int i = 0; i < task.piece_count; i++) {
        pieces[i] = task.pieces[i];
        pieces[i].demand = 12;
        pieces[i].value = ring_area_mm2(pieces[i].outline[0]);
    }
    task.pieces = pieces;
    return task;
}

static void the_number_of_threads_changes_nothing(void **state)
{
    const LayoutTask task = overfull_task(*state);
    const LayoutTask easy = crowded_task(*state);
    const double work = TRIALS_OF(100) / 100.0 * 0.4 + 0.5; // enough for two streams
    for (int seed = 1; seed <= (TRIALS_OF(5) > 1 ? 2 : 1); seed++) {
        LayoutOptions options = {.seed = (uint64_t)seed, .work = work};
        const SearchResult alone = search_with(&task, options, *state);
        const SearchResult easily = search_with(&easy, options, *state);
        for (options.threads = 1; options.threads <= 3; options.threads++) {
            const SearchResult many = search_with(&task, options, *state);
            assert_true(hash(&many.layout) == hash(&alone.layout));
            assert_int_equal(many.tally.layouts, alone.tally.layouts);
            const SearchResult other = search_with(&easy, options, *state);
            assert_true(hash(&other.layout) == hash(&easily.layout));
        }
    }
}

typedef struct Screen {
    const LayoutTask *task;
    Arena *arena;
    int drawn;
    double value;
    double cost;
} Screen;

static void draw(void *context, const Layout *layout)
{
    Screen *screen = context;
    assert_int_equal(
        layout_check(screen->task, layout->placements, layout->count, screen->arena, NULL, 0), 0);
    const double slack = 1e-9 * layout->value;
    assert_true(layout->value > screen->value + slack ||
                (layout->value > screen->value - slack && layout->cost < screen->cost));
    int missing = 0;
    int wanted = 0;
    for (int i = 0; i < screen->task->piece_count; i++) {
        missing += layout->missing[i];
        wanted += screen->task->pieces[i].demand;
    }
    assert_int_equal(layout->count + missing, wanted);
    screen->value = layout->value;
    screen->cost = layout->cost;
    screen->drawn++;
}

static void better_layouts_are_told_as_they_come(void **state)
{
    const LayoutTask task = overfull_task(*state);
    for (int threads = 1; threads <= 2; threads++) {
        Screen screen = {
            .task = &task, .arena = arena_create("screen", TEST_ARENA_BYTES), .value = -1};
        const LayoutOptions options = {.seed = 5,
                                       .work = 0.6,
                                       .threads = threads,
                                       .improved = draw,
                                       .improved_context = &screen};
        const SearchResult result = search_with(&task, options, *state);
        assert_true(screen.drawn >= 2);
        assert_true(screen.value <= result.layout.value * (1 + 1e-9));
        arena_destroy(screen.arena);
    }
}

static void a_start_is_never_lost(void **state)
{
    const LayoutTask task = overfull_task(*state);
    const SearchResult good = search_with(&task, (LayoutOptions){.seed = 2, .work = 0.4}, *state);
    // With next to no work, and moved off the cells: as good as it was.
    LayoutOptions options = {.seed = 9,
                             .work = 0.0001,
                             .start = good.layout.placements,
                             .start_count = good.layout.count};
    assert_true(search_with(&task, options, *state).layout.value >= good.layout.value);
    const SearchResult little =
        search_with(&task, (LayoutOptions){.seed = 9, .work = 0.0001}, *state);
    assert_true(little.layout.value < good.layout.value);
    // A start that the judge refuses is mended: one piece lies on another.
    Placement *bad = ARENA_ARRAY(*state, Placement, good.layout.count);
    for (int i = 0; i < good.layout.count; i++) {
        bad[i] = good.layout.placements[i];
    }
    bad[1].motion.x_mm = bad[0].motion.x_mm;
    bad[1].motion.y_mm = bad[0].motion.y_mm;
    bad[2].piece = 77;
    options.start = bad;
    options.work = 0.02;
    const SearchResult mended = search_with(&task, options, *state);
    assert_true(mended.layout.value > little.layout.value);
}

static void gaps_are_those_of_sheet_and_pieces(void **state)
{
    // Two of 490 on 1000: a gap of 20 just leaves room, one of 20.01 does not.
    const Sheet sheets[] = {{.outline = box_ring(0, 0, 1000, 490, *state), .gap_mm = 20},
                            {.outline = box_ring(0, 0, 1000, 490, *state), .gap_mm = 5}};
    Piece pieces[] = {plain_piece(box_ring(0, 0, 490, 490, *state), 4),
                      plain_piece(box_ring(0, 0, 490, 490, *state), 1)};
    LayoutTask task = {.sheets = sheets, .sheet_count = 2, .pieces = pieces, .piece_count = 1};
    assert_int_equal(search(&task, 1, 0.02, *state).layout.count, 4);
    task.sheet_count = 1;
    pieces[0].gap_mm = 20;
    assert_int_equal(search(&task, 1, 0.02, *state).layout.count, 2);
    pieces[0].gap_mm = 20.01;
    assert_int_equal(search(&task, 1, 0.02, *state).layout.count, 1);
    // Of two kinds, one that asks for more is enough.
    pieces[0].gap_mm = 0;
    pieces[0].demand = 1;
    task.piece_count = 2;
    assert_int_equal(search(&task, 1, 0.02, *state).layout.count, 2);
    pieces[1].gap_mm = 20.01;
    assert_int_equal(search(&task, 1, 0.02, *state).layout.count, 1);
    const Placement side_by_side[] = {{.piece = 0}, {.piece = 1, .motion = {510, 0, 0}}};
    LayoutFault fault;
    assert_int_equal(layout_check(&task, side_by_side, 2, *state, &fault, 1), 1);
    assert_int_equal(fault.kind, LAYOUT_GAP);
    pieces[1].gap_mm = 20;
    assert_int_equal(layout_check(&task, side_by_side, 2, *state, NULL, 0), 0);
}

// Fits that use up the sheet to the last unit, of round and of odd measures.
static void exact_fits_are_found(void **state)
{
    static const double sides_mm[] = {100, 25.4, 77.77, 99.99};
    for (size_t i = 0; i < sizeof sides_mm / sizeof sides_mm[0]; i++) {
        const double side = sides_mm[i];
        const Sheet sheet = {.outline = box_ring(3, -7, 2 * side, 4 * side, *state)};
        const Piece piece = plain_piece(box_ring(0, 0, side, side, *state), 8);
        const LayoutTask task = task_of(&sheet, &piece);
        assert_int_equal(search(&task, 1, 0.05, *state).layout.count, 8);
    }
}

static void more_work_is_never_worse(void **state)
{
    const LayoutTask task = crowded_task(*state);
    const SearchResult little = search(&task, 3, 0.01, *state);
    const SearchResult much = search(&task, 3, 0.5, *state);
    assert_true(much.layout.value >= little.layout.value);
    assert_true(much.tally.work <= 0.6);
}

static void cheap_places_are_taken(void **state)
{
    static float cost[10] = {9, 9, 9, 9, 9, 9, 9, 1, 1, 1};
    Sheet sheet = {.outline = box_ring(0, 0, 1000, 300, *state)};
    sheet.field = (CostField){{50, 150}, 100, 10, 1, cost};
    const Piece piece = plain_piece(box_ring(0, 0, 250, 250, *state), 1);
    const LayoutTask task = task_of(&sheet, &piece);
    const SearchResult result = search(&task, 1, 0.1, *state);
    assert_true(result.layout.placements[0].motion.x_mm > 649);
    CHECK_NEAR(result.layout.cost, 1, 1e-6);
}

static void sheets_are_all_used_when_needed(void **state)
{
    const Sheet sheets[] = {{.outline = box_ring(0, 0, 500, 500, *state)},
                            {.outline = box_ring(0, 0, 1000, 500, *state)},
                            {.outline = box_ring(0, 0, 100, 100, *state)}};
    const Piece piece = plain_piece(box_ring(0, 0, 400, 400, *state), 5);
    const LayoutTask task = {
        .sheets = sheets, .sheet_count = 3, .pieces = &piece, .piece_count = 1};
    const SearchResult result = search(&task, 1, 0.1, *state);
    assert_int_equal(result.layout.count, 3);
    assert_int_equal(result.layout.missing[0], 2);
}

static void locked_placements_stay_and_come_first(void **state)
{
    const Sheet sheet = {.outline = box_ring(0, 0, 1000, 1000, *state), .gap_mm = 5};
    const Piece piece = plain_piece(box_ring(0, 0, 300, 300, *state), 4);
    // Right in the middle: no room for more than one row on either side.
    const Placement locked = {.motion = {350.01, 349.99, 0}};
    LayoutTask task = task_of(&sheet, &piece);
    task.locked = &locked;
    task.locked_count = 1;
    const SearchResult result = search(&task, 1, 0.1, *state);
    assert_int_equal(result.layout.count, 4);
    assert_true(result.layout.placements[0].locked);
    assert_true(result.layout.placements[0].motion.x_mm == 350.01);
    assert_false(result.layout.placements[1].locked);
}

static void refused_tasks_say_where(void **state)
{
    static const Point bow[] = {{0, 0}, {100, 100}, {100, 0}, {0, 100}};
    Sheet sheet = {.outline = box_ring(0, 0, 1000, 1000, *state)};
    Piece piece = plain_piece(box_ring(0, 0, 300, 300, *state), 4);
    const Placement locked[] = {{.motion = {0, 0, 0}}, {.motion = {299, 0, 0}}};
    LayoutTask task = task_of(&sheet, &piece);
    Layout layout = {.count = 77};
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    task.locked = locked;
    task.locked_count = 2;
    Problems *problems = problems_in(*state);
    assert_false(
        layout_search(&task, (LayoutOptions){0}, NULL, *state, scratch, &layout, problems));
    assert_string_equal(problems->items[0].where, "locked[0]");
    assert_int_equal(layout.count, 77); // outputs are untouched on failure
    task.locked_count = 0;
    piece.outline[0] = (Ring){bow, 4};
    sheet.gap_mm = (double)NAN;
    problems = problems_in(*state);
    assert_false(
        layout_search(&task, (LayoutOptions){0}, NULL, *state, scratch, &layout, problems));
    assert_int_equal(problems->mistakes, 2);
    assert_string_equal(problems->items[0].where, "sheets[0].gap");
    assert_string_equal(problems->items[1].where, "pieces[0].outlines[0]");
    assert_int_equal(problems_exit_status(problems), 2);
    arena_destroy(scratch);
}

static void refuses(const LayoutTask *task, const char *where, Arena *keep)
{
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    Problems *problems = problems_in(keep);
    Layout layout = {.count = 77};
    assert_false(
        layout_search(task, (LayoutOptions){.work = 1e-6}, NULL, keep, scratch, &layout, problems));
    assert_int_equal(layout.count, 77);
    assert_string_equal(problems->items[0].where, where);
    assert_int_equal(problems_exit_status(problems), 2);
    arena_destroy(scratch);
}

static Ring circle(int count, double size_mm, Arena *keep)
{
    Point *points = ARENA_ARRAY(keep, Point, count);
    for (int i = 0; i < count; i++) {
        const double angle = 6.283185307179586 * i / count;
        points[i] = (Point){size_mm * cos(angle), size_mm * sin(angle)};
    }
    return (Ring){points, count};
}

static void what_finds_no_room_is_refused_by_name(void **state)
{
    Sheet sheet = {.outline = box_ring(0, 0, 1000, 1000, *state)};
    Piece piece = plain_piece(box_ring(0, 0, 300, 300, *state), 4);
    LayoutTask task = task_of(&sheet, &piece);
    // An area beyond the farthest place, and one that is no number.
    sheet.forbidden[2] = one_polygon(box_ring(0, 0, 3e6, 10, *state), NULL, 0, *state);
    refuses(&task, "sheets[0].forbidden[2][0]", *state);
    sheet.forbidden[2] = one_polygon(box_ring(0, 0, (double)NAN, 10, *state), NULL, 0, *state);
    refuses(&task, "sheets[0].forbidden[2][0]", *state);
    sheet.forbidden[2] = (PolygonSet){0};
    sheet.field = (CostField){.step_mm = 1, .columns = 4000, .rows = 4000};
    refuses(&task, "cost fields", *state);
    sheet.field = (CostField){0};
    // 255,000 points.
    enum { KINDS = 51 };
    Piece pieces[KINDS];
    for (int i = 0; i < KINDS; i++) {
        pieces[i] = plain_piece(circle(5000, 50 + i, *state), 1);
    }
    task.pieces = pieces;
    task.piece_count = KINDS;
    refuses(&task, "outlines", *state);
}

// Combs of hundreds of teeth, which lock into each other in hundreds of ways: the first
// layout alone would take hours. It ends where it is.
static void a_first_layout_without_end_is_ended(void **state)
{
    enum { TEETH = 600, KINDS = 40 };
    const Sheet sheet = {.outline = box_ring(0, 0, 4000, 4000, *state), .gap_mm = 0.5};
    Piece pieces[KINDS];
    for (int i = 0; i < KINDS; i++) {
        Point *points = ARENA_ARRAY(*state, Point, 2 * TEETH + 2);
        for (int k = 0; k < 2 * TEETH; k++) {
            points[k] = (Point){200.0 + i - k / 6.0, k % 2 ? 150 : 10.0 + k % 7};
        }
        points[2 * TEETH] = (Point){0, 0};
        points[2 * TEETH + 1] = (Point){200 + i, 0};
        pieces[i] = plain_piece((Ring){points, 2 * TEETH + 2}, 25);
    }
    const LayoutTask task = {.sheets = &sheet,
                             .sheet_count = 1,
                             .pieces = pieces,
                             .piece_count = KINDS,
                             .unfinished = true};
    const SearchResult result = search(&task, 1, 1e-4, *state);
    assert_true(result.layout.count > 0 && result.layout.count < KINDS * 25);
    assert_true(result.tally.work < 20);
}

static void nothing_to_do_is_done(void **state)
{
    const Sheet sheet = {.outline = box_ring(0, 0, 1000, 1000, *state)};
    const Piece piece = plain_piece(box_ring(0, 0, 300, 300, *state), 4);
    LayoutTask task = task_of(&sheet, &piece);
    task.sheet_count = 0;
    assert_int_equal(search(&task, 1, 0.1, *state).layout.missing[0], 4);
    task.sheet_count = 1;
    task.piece_count = 0;
    assert_int_equal(search(&task, 1, 0.1, *state).layout.count, 0);
}

typedef struct Patience {
    int calls;
    int allowed;
    double last_share;
} Patience;

static bool be_patient(void *context, const char *what, double share)
{
    Patience *patience = context;
    assert_non_null(what);
    assert_true(share >= patience->last_share && share <= 1);
    patience->last_share = share;
    return ++patience->calls < patience->allowed;
}

static void a_stop_is_honoured_at_once(void **state)
{
    const LayoutTask task = crowded_task(*state);
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    Patience patience = {.allowed = 1};
    const Progress progress = {be_patient, &patience};
    Layout layout = {0};
    Problems *problems = problems_in(*state);
    const LayoutOptions options = {.seed = 1, .work = 1000};
    assert_false(layout_search(&task, options, &progress, *state, scratch, &layout, problems));
    assert_int_equal(problems->items[0].kind, PROBLEM_CANCELLED);
    assert_int_equal(problems_exit_status(problems), 130);
    assert_int_equal(patience.calls, 1);
    // Stopped later, the best so far is handed out.
    patience = (Patience){.allowed = 2};
    problems = problems_in(*state);
    assert_true(layout_search(&task, options, &progress, *state, scratch, &layout, problems));
    assert_int_equal(patience.calls, 2);
    assert_true(layout.count > 3);
    assert_int_equal(layout_check(&task, layout.placements, layout.count, *state, NULL, 0), 0);
    arena_destroy(scratch);
}

// Too many shapes to keep anything between two questions.
static void many_shapes_are_laid_too(void **state)
{
    enum { SHAPES = 300 };
    const Sheet sheet = {.outline = box_ring(0, 0, 3000, 2000, *state), .gap_mm = 1};
    Piece *pieces = ARENA_ARRAY(*state, Piece, SHAPES);
    const TurnRange turns[] = {{0, 0}, {half_turn_rad / 2, half_turn_rad / 2}};
    double wanted_mm2 = 0;
    Random random = random_begin(3, 0, 0);
    for (int i = 0; i < SHAPES; i++) {
        pieces[i] = plain_piece(star_ring((Point){0, 0}, 60, 0.7, 1, &random, *state), 1);
        pieces[i].turns = turns;
        pieces[i].turn_count = 2;
        wanted_mm2 += ring_area_mm2(pieces[i].outline[0]);
    }
    assert_true(wanted_mm2 < 0.5 * 3000 * 2000);
    const LayoutTask task = {
        .sheets = &sheet, .sheet_count = 1, .pieces = pieces, .piece_count = SHAPES};
    const SearchResult result = search(&task, 1, 0.5, *state);
    assert_int_equal(result.layout.count, SHAPES);
}

// Many shapes that may tilt, 15 degrees each way.
enum { TILTED = 30 };
static const TurnRange tilts = {-0.2617993877991494, 0.2617993877991494};

static void the_work_for_all_pairs_is_foreseen(void **state)
{
    const Sheet sheet = {.outline = box_ring(0, 0, 3000, 2000, *state)};
    Piece pieces[TILTED];
    Random random = random_begin(1, 0, 0);
    for (int i = 0; i < TILTED; i++) {
        const double size_mm = random_between(&random, 60, 300);
        pieces[i] =
            plain_piece(star_ring((Point){0}, size_mm, i % 2 ? 0.2 : 0.8, 1, &random, *state), 1);
        pieces[i].turns = &tilts;
    }
    const LayoutTask task = {
        .sheets = &sheet, .sheet_count = 1, .pieces = pieces, .piece_count = TILTED};
    Model *model = ARENA_NEW(*state, Model);
    Arena *own = arena_create("model", TEST_ARENA_BYTES);
    model_make(&task, (ModelView){0}, 1000, (Work){0}, own, model);
    const double begun = model->work.done;
    for (int i = 0; i < model->pose_count; i++) {
        for (int k = 0; k < model->pose_count; k++) {
            bool kept = false;
            (void)model_pair(model, &(Laid){.pose = i}, 0, k, &kept);
            assert_true(kept);
        }
    }
    const double done = model->work.done - begun;
    CHECK_NEAR(model_pairs_steps(model), done, 0.1 * done);
    arena_destroy(own);
}

static void little_work_finds_a_tilted_fit_all_the_same(void **state)
{
    // On a sheet that is a slanted stripe only one piece finds room, tilted; the others fit
    // its box alone, and to know all pairs would take more work than is allowed.
    const Ring upright = box_ring(-200, -20, 400, 40, *state);
    const double tilt_rad = tilts.to_rad;
    Point slanted[4];
    for (int i = 0; i < 4; i++) {
        slanted[i] = motion_apply(motion_matrix((Motion){0, 0, tilt_rad}), upright.points[i]);
    }
    const Sheet sheet = {.outline = {slanted, 4}};
    Piece pieces[TILTED];
    pieces[0] = plain_piece(box_ring(0, 0, 390, 36, *state), 1);
    for (int i = 1; i < TILTED; i++) {
        pieces[i] = plain_piece(box_ring(0, 0, 90 + i, 60, *state), 1);
    }
    for (int i = 0; i < TILTED; i++) {
        pieces[i].turns = &tilts;
    }
    const LayoutTask task = {
        .sheets = &sheet, .sheet_count = 1, .pieces = pieces, .piece_count = TILTED};
    const SearchResult result = search(&task, 1, 0.01, *state);
    assert_int_equal(result.layout.count, 1);
    assert_int_equal(result.layout.placements[0].piece, 0);
    assert_true(result.tally.layouts > 1); // all before were of untilted pieces, so empty
    assert_int_equal(search(&task, 1, 0.2, *state).tally.layouts, 1); // enough for all pairs
}

static void what_holds_a_piece_is_told(void **state)
{
    Sheet sheet = {.outline = box_ring(0, 0, 1000, 1000, *state)};
    const Piece pieces[] = {plain_piece(box_ring(0, 0, 600, 600, *state), 2),
                            plain_piece(box_ring(0, 0, 1200, 100, *state), 1)};
    const LayoutTask task = {
        .sheets = &sheet, .sheet_count = 1, .pieces = pieces, .piece_count = 2};
    Placement middle = {.motion = {200, 200, 0}};
    const Layout none = {0};
    const Layout one = {.placements = &middle, .count = 1};
    Problems *problems = problems_in(*state);
    LayoutHold hold;
    assert_true(layout_what_holds(&task, &one, 1, 0, *state, &hold, problems));
    assert_false(hold.fits_bare_sheet);
    assert_true(layout_what_holds(&task, &one, 0, 0, *state, &hold, problems));
    assert_true(hold.fits_bare_sheet && hold.fits_with_forbidden && !hold.fits_now);
    assert_true(layout_what_holds(&task, &none, 0, 0, *state, &hold, problems));
    assert_true(hold.fits_now);
    sheet.forbidden[0] = one_polygon(box_ring(450, 450, 100, 100, *state), NULL, 0, *state);
    assert_true(layout_what_holds(&task, &none, 0, 0, *state, &hold, problems));
    assert_true(hold.fits_bare_sheet && !hold.fits_with_forbidden && !hold.fits_now);
    assert_false(layout_what_holds(&task, &one, 2, 0, *state, &hold, problems));
    assert_int_equal(problems->mistakes, 1);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(eight_rectangles_find_room),
        TEST_IN_ARENA(impossible_demand_is_told),
        TEST_IN_ARENA(a_forbidden_stripe_is_bridged_by_the_depth_that_may),
        TEST_IN_ARENA(fixed_turns_are_kept),
        TEST_IN_ARENA(turns_off_the_middle_are_tried),
        TEST_IN_ARENA(the_same_seed_gives_the_same_layout),
        TEST_IN_ARENA(the_number_of_threads_changes_nothing),
        TEST_IN_ARENA(better_layouts_are_told_as_they_come),
        TEST_IN_ARENA(a_start_is_never_lost),
        TEST_IN_ARENA(gaps_are_those_of_sheet_and_pieces),
        TEST_IN_ARENA(exact_fits_are_found),
        TEST_IN_ARENA(more_work_is_never_worse),
        TEST_IN_ARENA(cheap_places_are_taken),
        TEST_IN_ARENA(sheets_are_all_used_when_needed),
        TEST_IN_ARENA(locked_placements_stay_and_come_first),
        TEST_IN_ARENA(refused_tasks_say_where),
        TEST_IN_ARENA(what_finds_no_room_is_refused_by_name),
        TEST_IN_ARENA(a_first_layout_without_end_is_ended),
        TEST_IN_ARENA(nothing_to_do_is_done),
        TEST_IN_ARENA(a_stop_is_honoured_at_once),
        TEST_IN_ARENA(many_shapes_are_laid_too),
        TEST_IN_ARENA(the_work_for_all_pairs_is_foreseen),
        TEST_IN_ARENA(little_work_finds_a_tilted_fit_all_the_same),
        TEST_IN_ARENA(what_holds_a_piece_is_told),
    };
    return cmocka_run_group_tests_name("layout/search", tests, NULL, NULL);
}
