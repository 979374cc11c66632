#include "layout/layout.h"

#include "random_task.h"
#include "support/check.h"

enum { TASKS = TRIALS_OF(60) };

// Squares of 100 mm, and sheets with room for so many of them side by side.
typedef struct Shop {
    Sheet sheets[6];
    Piece pieces[2];
    LayoutTask task;
} Shop;

static Sheet row_of(int squares, double price, Arena *keep)
{
    return (Sheet){.outline = box_ring(0, 0, 102.0 * squares + 4, 106, keep), .price = price};
}

static Shop *make_shop(const int *rooms, const double *prices, int sheets, int squares, Arena *keep)
{
    Shop *shop = ARENA_NEW(keep, Shop);
    for (int i = 0; i < sheets; i++) {
        shop->sheets[i] = row_of(rooms[i], prices[i], keep);
    }
    shop->pieces[0] = plain_piece(box_ring(0, 0, 100, 100, keep), squares);
    shop->task = (LayoutTask){.sheets = shop->sheets,
                              .sheet_count = sheets,
                              .pieces = shop->pieces,
                              .piece_count = 1,
                              .aim = LAYOUT_FEWEST_SHEETS};
    return shop;
}

static Layout lay(const LayoutTask *task, LayoutOptions options, Arena *keep)
{
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    Problems *problems = problems_in(keep);
    Layout layout = {0};
    assert_true(layout_search(task, options, NULL, keep, scratch, &layout, problems));
    assert_true(problems_none(problems));
    assert_int_equal(layout_check(task, layout.placements, layout.count, scratch, NULL, 0), 0);
    arena_destroy(scratch);
    return layout;
}

static const LayoutOptions some_work = {.seed = 1, .work = 0.2};

static bool lies_on(const Layout *layout, int sheet)
{
    for (int i = 0; i < layout->count; i++) {
        if (layout->placements[i].sheet == sheet) {
            return true;
        }
    }
    return false;
}

static void no_more_sheets_than_needed(void **state)
{
    const int rooms[] = {2, 4, 2, 4, 2};
    const double prices[] = {0, 0, 0, 0, 0}; // 1 each
    const Shop *shop = make_shop(rooms, prices, 5, 8, *state);
    const Layout layout = lay(&shop->task, some_work, *state);
    assert_int_equal(layout.count, 8);
    assert_int_equal(layout.missing[0], 0);
    CHECK_NEAR(layout.price, 2, 0);
    assert_true(lies_on(&layout, 1) && lies_on(&layout, 3));
}

static void two_cheap_sheets_before_a_dear_one(void **state)
{
    const int rooms[] = {4, 2, 2};
    const double dear[] = {5, 1, 1};
    const Shop *shop = make_shop(rooms, dear, 3, 4, *state);
    CHECK_NEAR(lay(&shop->task, some_work, *state).price, 2, 0);
    const double cheap[] = {1.5, 1, 1};
    const Shop *other = make_shop(rooms, cheap, 3, 4, *state);
    CHECK_NEAR(lay(&other->task, some_work, *state).price, 1.5, 0);
}

// In order of room for the price the two small sheets come first, for 2.8.
static void the_best_for_its_size_is_not_always_the_cheapest(void **state)
{
    const int rooms[] = {2, 2, 3};
    const double prices[] = {1.4, 1.4, 2.5};
    const Shop *shop = make_shop(rooms, prices, 3, 3, *state);
    const Layout layout = lay(&shop->task, some_work, *state);
    assert_int_equal(layout.count, 3);
    CHECK_NEAR(layout.price, 2.5, 0);
}

static void without_room_for_all_the_most_value(void **state)
{
    const int rooms[] = {2, 1};
    const double prices[] = {1, 1};
    Shop *shop = make_shop(rooms, prices, 2, 3, *state);
    shop->pieces[1] = plain_piece(box_ring(0, 0, 99, 100, *state), 2);
    shop->pieces[1].value = 10;
    shop->task.piece_count = 2;
    const Layout layout = lay(&shop->task, some_work, *state);
    assert_int_equal(layout.count, 3);
    assert_int_equal(layout.missing[0], 2);
    assert_int_equal(layout.missing[1], 0);
    CHECK_NEAR(layout.value, 21, 1e-9);
}

static void a_sheet_with_a_locked_piece_is_used_anyway(void **state)
{
    const int rooms[] = {2, 2, 2};
    const double prices[] = {1, 1, 9};
    Shop *shop = make_shop(rooms, prices, 3, 4, *state);
    const Placement locked = {.sheet = 2, .motion = {3, 3, 0}};
    shop->task.locked = &locked;
    shop->task.locked_count = 1;
    const Layout layout = lay(&shop->task, some_work, *state);
    assert_int_equal(layout.count, 4);
    CHECK_NEAR(layout.price, 10, 0); // its second place is taken too
    assert_true(layout.placements[0].locked);
    CHECK_NEAR(layout.placements[0].motion.x_mm, 3, 0);
    assert_int_equal(layout.placements[0].sheet, 2);
}

static void nothing_wanted_costs_nothing(void **state)
{
    const int rooms[] = {2};
    const double prices[] = {3};
    Shop *shop = make_shop(rooms, prices, 1, 1, *state);
    shop->task.piece_count = 0;
    CHECK_NEAR(lay(&shop->task, some_work, *state).price, 0, 0);
    shop->task.piece_count = 1;
    shop->task.sheet_count = 0;
    const Layout layout = lay(&shop->task, some_work, *state);
    assert_int_equal(layout.count, 0);
    assert_int_equal(layout.missing[0], 1);
}

static void a_bad_price_is_refused(void **state)
{
    const int rooms[] = {2};
    const double prices[] = {-1};
    const Shop *shop = make_shop(rooms, prices, 1, 1, *state);
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    Problems *problems = problems_in(*state);
    Layout layout = {0};
    assert_false(layout_search(&shop->task, some_work, NULL, *state, scratch, &layout, problems));
    assert_string_equal(problems->items[0].where, "sheets[0].price");
    arena_destroy(scratch);
}

// Reports so far, and when to stop.
typedef struct Watch {
    int reports;
    int stop_at; // 0: never
    double share;
} Watch;

static bool watch(void *context, const char *what, double share)
{
    Watch *watch = context;
    assert_non_null(what);
    assert_true(share >= watch->share - 1e-9 && share <= 1);
    watch->share = share;
    return ++watch->reports != watch->stop_at;
}

static void a_stop_is_heard_and_leaves_what_was_found(void **state)
{
    const int rooms[] = {3, 3, 3, 3};
    const double prices[] = {1, 1, 1, 1};
    const Shop *shop = make_shop(rooms, prices, 4, 7, *state);
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    Watch all = {0};
    Progress progress = {watch, &all};
    Layout layout = {0};
    Problems *problems = problems_in(*state);
    assert_true(
        layout_search(&shop->task, some_work, &progress, *state, scratch, &layout, problems));
    assert_true(all.reports > 3 && all.share > 0);
    for (int stop_at = 1; stop_at <= all.reports; stop_at++) {
        Watch some = {.stop_at = stop_at};
        progress.context = &some;
        Layout found = {0};
        problems = problems_in(*state);
        if (layout_search(&shop->task, some_work, &progress, *state, scratch, &found, problems)) {
            assert_true(found.count > 0 && problems_none(problems));
        } else {
            assert_int_equal(problems_exit_status(problems), 130);
            assert_true(stop_at < 4);
        }
        assert_int_equal(some.reports, stop_at); // none after the stop
    }
    arena_destroy(scratch);
}

static void same_seed_same_layout(void **state)
{
    Random random = random_begin(5, 0, 0);
    LayoutTask task = random_task(&random, *state);
    task.aim = LAYOUT_FEWEST_SHEETS;
    const LayoutOptions options = {.seed = 7, .work = 0.05};
    const Layout first = lay(&task, options, *state);
    const Layout second = lay(&task, options, *state);
    assert_int_equal(first.count, second.count);
    assert_true(first.count > 0);
    for (int i = 0; i < first.count; i++) {
        assert_int_equal(first.placements[i].piece, second.placements[i].piece);
        assert_int_equal(first.placements[i].sheet, second.placements[i].sheet);
        CHECK_NEAR(first.placements[i].motion.x_mm, second.placements[i].motion.x_mm, 0);
        CHECK_NEAR(first.placements[i].motion.y_mm, second.placements[i].motion.y_mm, 0);
        CHECK_NEAR(first.placements[i].motion.turn_rad, second.placements[i].motion.turn_rad, 0);
    }
}

// Many pieces for four sheets.
static LayoutTask random_stock(Random *random, Arena *keep)
{
    LayoutTask task = random_task(random, keep);
    Sheet *sheets = ARENA_ARRAY(keep, Sheet, 4);
    for (int i = 0; i < 4; i++) {
        sheets[i] = random_sheet(random, keep);
        sheets[i].price = random_below(random, 3) ? random_between(random, 0.5, 3) : 0;
    }
    task.sheets = sheets;
    task.sheet_count = 4;
    Piece *pieces = ARENA_ARRAY(keep, Piece, task.piece_count);
    for (int i = 0; i < task.piece_count; i++) {
        pieces[i] = task.pieces[i];
        pieces[i].demand *= 6;
    }
    task.pieces = pieces;
    task.aim = LAYOUT_FEWEST_SHEETS;
    return task;
}

static void what_lies_there_is_where_it_begins(void **state)
{
    const int rooms[] = {3, 3, 3};
    const double prices[] = {2, 1, 1};
    const Shop *shop = make_shop(rooms, prices, 3, 6, *state);
    // Two squares on the dear sheet, one of them across the other; one nowhere at all.
    const Placement start[] = {
        {.sheet = 0, .motion = {2, 3, 0}}, {.sheet = 0, .motion = {50, 3, 0}},
        {.sheet = 1, .motion = {2, 3, 0}}, {.sheet = 1, .motion = {-50, 3, 0}},
        {.sheet = 7, .motion = {2, 3, 0}}, {.sheet = 1, .piece = 5}};
    LayoutOptions options = {.seed = 1, .work = 1e-6, .start = start, .start_count = 6};
    const Layout begun = lay(&shop->task, options, *state);
    assert_int_equal(begun.count, 6);
    CHECK_NEAR(begun.price, 3, 0); // the sheets that are begun are filled up, and no third one
    options.work = 0.2;
    CHECK_NEAR(lay(&shop->task, options, *state).price, 2, 0); // with work enough, a cheaper stock
}

static void a_start_is_never_made_worse(void **state)
{
    for (uint64_t seed = 1; seed <= TASKS / 6; seed++) {
        const ArenaMark mark = arena_mark(*state);
        Random random = random_begin(seed, 4, 0);
        LayoutTask task = random_stock(&random, *state);
        const Layout first = lay(&task, (LayoutOptions){.seed = seed, .work = 0.02}, *state);
        const LayoutOptions again = {
            .seed = seed + 1, .work = 1e-6, .start = first.placements, .start_count = first.count};
        const Layout second = lay(&task, again, *state);
        assert_true(second.value >= first.value * (1 - 1e-12));
        assert_true(second.value > first.value || second.price <= first.price * (1 + 1e-12));
        arena_rewind(*state, mark);
    }
}

typedef struct Told {
    const LayoutTask *task;
    int times;
    int most;
} Told;

static void note(void *context, const Layout *layout)
{
    Told *told = context;
    int missing = 0;
    for (int i = 0; i < told->task->piece_count; i++) {
        missing += layout->missing[i];
    }
    assert_int_equal(layout->count + missing, 8);
    told->times++;
    told->most = layout->count > told->most ? layout->count : told->most;
}

static void it_is_told_as_it_grows(void **state)
{
    const int rooms[] = {2, 4, 2, 4, 2};
    const double prices[] = {0, 0, 0, 0, 0};
    const Shop *shop = make_shop(rooms, prices, 5, 8, *state);
    Told told = {&shop->task, 0, 0};
    const LayoutOptions options = {
        .seed = 1, .work = 0.2, .improved = note, .improved_context = &told};
    (void)lay(&shop->task, options, *state);
    assert_true(told.times > 1);
    assert_int_equal(told.most, 8);
}

// Property: the judge accepts every result (in lay()), no copy is lost or doubled, and the
// price is that of the sheets in use.
static void random_stocks(void **state)
{
    int several = 0;
    for (uint64_t seed = 1; seed <= TASKS; seed++) {
        const ArenaMark mark = arena_mark(*state);
        Random random = random_begin(seed, 3, 0);
        const LayoutTask task = random_stock(&random, *state);
        const Sheet *sheets = task.sheets;
        const Layout layout = lay(&task, (LayoutOptions){.seed = seed, .work = 0.02}, *state);
        int placed = 0;
        for (int i = 0; i < task.piece_count; i++) {
            assert_true(layout.missing[i] >= 0);
            placed += task.pieces[i].demand - layout.missing[i];
        }
        assert_int_equal(placed, layout.count);
        double price = 0;
        int used = 0;
        for (int i = 0; i < 4; i++) {
            price += lies_on(&layout, i) ? (sheets[i].price > 0 ? sheets[i].price : 1) : 0;
            used += lies_on(&layout, i);
        }
        CHECK_NEAR(layout.price, price, 1e-12);
        several += used > 1;
        arena_rewind(*state, mark);
    }
    assert_true(several > TASKS / 10);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(no_more_sheets_than_needed),
        TEST_IN_ARENA(two_cheap_sheets_before_a_dear_one),
        TEST_IN_ARENA(the_best_for_its_size_is_not_always_the_cheapest),
        TEST_IN_ARENA(without_room_for_all_the_most_value),
        TEST_IN_ARENA(a_sheet_with_a_locked_piece_is_used_anyway),
        TEST_IN_ARENA(nothing_wanted_costs_nothing),
        TEST_IN_ARENA(a_bad_price_is_refused),
        TEST_IN_ARENA(a_stop_is_heard_and_leaves_what_was_found),
        TEST_IN_ARENA(same_seed_same_layout),
        TEST_IN_ARENA(what_lies_there_is_where_it_begins),
        TEST_IN_ARENA(a_start_is_never_made_worse),
        TEST_IN_ARENA(it_is_told_as_it_grows),
        TEST_IN_ARENA(random_stocks),
    };
    return cmocka_run_group_tests_name("layout/fewest", tests, NULL, NULL);
}
