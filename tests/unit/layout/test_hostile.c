#include "support/hostile_task.h"
#include "support/slow_judge.h"
#include "support/trials.h"

#include "support/check.h"

// Property: whatever the task, the search ends with a layout that the judge accepts, and
// the slow one too, or with problems that say where and what. SEATWRIGHT_TRIALS asks for
// more (docs/testing.md).

enum { TASKS = 300, SLOW_POINTS_MAX = 250, RERUN = 20 };
static const size_t ARENA_BYTES = (size_t)1 << 30; // as the program's

typedef struct Tally {
    int laid;
    int refused;
    int stopped;
    int pieces;
    int missing;
    int slow;
    int locked;
} Tally;

/// Stops the search when it has reported so often.
typedef struct Watch {
    int reports_left; // below 0: never
    double share;
    bool odd; // a share out of range, or less than the one before
    bool stopped;
} Watch;

static bool watch(void *context, const char *what, double share)
{
    Watch *watched = context;
    watched->odd |= !what || !(share >= watched->share && share <= 1 + 1e-9);
    watched->share = share;
    watched->stopped |= watched->reports_left == 0;
    watched->reports_left--;
    return !watched->stopped;
}

static int task_points(const LayoutTask *task)
{
    int points = 0;
    for (int i = 0; i < task->piece_count; i++) {
        for (int depth = 0; depth < task->pieces[i].depth_count; depth++) {
            points += task->pieces[i].outline[depth].count * task->pieces[i].demand;
        }
    }
    for (int i = 0; i < task->sheet_count; i++) {
        points += task->sheets[i].outline.count;
    }
    return points;
}

static bool check_with_slow_judge(const LayoutTask *task, const Layout *layout, Arena *keep)
{
    if (task_points(task) > SLOW_POINTS_MAX) {
        return false;
    }
    const SlowVerdict slow = slow_judge(task, layout->placements, layout->count, keep);
    if (!slow.out_of_reach) {
        for (int i = 0; i < slow.count; i++) {
            print_error("kind %d, placement %d, other %d, depth %d\n", (int)slow.faults[i].kind,
                        slow.faults[i].placement, slow.faults[i].other, slow.faults[i].depth);
        }
        assert_int_equal(slow.count, 0);
    }
    return !slow.out_of_reach;
}

static void check_sums(const LayoutTask *task, const Layout *layout)
{
    double value = 0;
    double price = 0;
    double length_mm = 0;
    bool used[LAYOUT_SHEETS_MAX] = {false};
    int placed[LAYOUT_PIECES_MAX] = {0};
    for (int i = 0; i < layout->count; i++) {
        const Placement *placement = &layout->placements[i];
        const Sheet *sheet = &task->sheets[placement->sheet];
        const Piece *piece = &task->pieces[placement->piece];
        placed[placement->piece]++;
        value += piece->value;
        price += used[placement->sheet] ? 0 : sheet->price > 0 ? sheet->price : 1;
        used[placement->sheet] = true;
        const MotionMatrix matrix = motion_matrix(placement->motion);
        for (int k = 0; k < piece->outline[0].count; k++) {
            length_mm = fmax(length_mm, motion_apply(matrix, piece->outline[0].points[k]).x);
        }
    }
    for (int i = 0; i < task->piece_count; i++) {
        assert_int_equal(placed[i] + layout->missing[i], task->pieces[i].demand);
    }
    CHECK_NEAR(layout->value, value, 1e-9 * value);
    CHECK_NEAR(layout->price, price, 1e-9 * price);
    CHECK_NEAR(layout->length_mm, task->aim == LAYOUT_SHORTEST_STRIP ? length_mm : 0, 0.011);
    assert_true(layout->cost >= 0 && isfinite(layout->cost));
}

static bool same_motion(Motion a, Motion b)
{
    return a.x_mm == b.x_mm && a.y_mm == b.y_mm && a.turn_rad == b.turn_rad;
}

static void check_locked_stay(const LayoutTask *task, const Layout *layout)
{
    for (int i = 0; i < task->locked_count; i++) {
        bool there = false;
        for (int k = 0; k < layout->count; k++) {
            const Placement *placement = &layout->placements[k];
            there |= placement->locked && placement->piece == task->locked[i].piece &&
                     placement->sheet == task->locked[i].sheet &&
                     same_motion(placement->motion, task->locked[i].motion);
        }
        assert_true(there);
    }
}

static void check_refusal(const Problems *problems, bool stopped)
{
    assert_true(problems->mistakes > 0);
    for (int i = 0; i < problems->count; i++) {
        const Problem *problem = &problems->items[i];
        assert_true(problem->where && problem->where[0] && problem->found && problem->found[0]);
        assert_true(problem->kind == PROBLEM_BAD_INPUT ||
                    (problem->kind == PROBLEM_CANCELLED && stopped));
    }
}

static void check_same_again(const LayoutTask *task, LayoutOptions options, const Layout *layout,
                             Arena *keep, Arena *scratch)
{
    Layout again = {0};
    options.threads = 3 - options.threads;
    assert_true(layout_search(task, options, NULL, keep, scratch, &again, problems_in(keep)));
    assert_int_equal(again.count, layout->count);
    for (int i = 0; i < again.count; i++) {
        assert_int_equal(again.placements[i].piece, layout->placements[i].piece);
        assert_int_equal(again.placements[i].sheet, layout->placements[i].sheet);
        assert_true(same_motion(again.placements[i].motion, layout->placements[i].motion));
    }
}

static void print_problems(const Problems *problems)
{
    for (int i = 0; i < problems->count; i++) {
        const Problem *problem = &problems->items[i];
        print_error("%s: %s; allowed: %s\n", problem->where, problem->found,
                    problem->allowed ? problem->allowed : "(nothing said)");
    }
}

// True when there is a layout.
static bool search_and_check(const LayoutTask *task, LayoutOptions options, int stop_after,
                             Tally *tally, Arena *keep, Arena *scratch, Layout *layout)
{
    Watch watched = {.reports_left = stop_after};
    const Progress progress = {watch, &watched};
    Problems *problems = problems_in(keep);
    const size_t before = arena_used_bytes(scratch);
    const bool found = layout_search(task, options, &progress, keep, scratch, layout, problems);
    assert_int_equal(arena_used_bytes(scratch), before);
    assert_false(watched.odd);
    tally->stopped += watched.stopped;
    if (!found) {
        if (trials_number("SEATWRIGHT_VERBOSE", 0)) {
            print_problems(problems);
        }
        tally->refused += !watched.stopped;
        check_refusal(problems, watched.stopped);
        return false;
    }
    assert_int_equal(layout_check(task, layout->placements, layout->count, scratch, NULL, 0), 0);
    check_sums(task, layout);
    check_locked_stay(task, layout);
    tally->slow += check_with_slow_judge(task, layout, keep);
    tally->laid++;
    tally->pieces += layout->count;
    for (int i = 0; i < task->piece_count; i++) {
        tally->missing += layout->missing[i];
    }
    return true;
}

// Placements to begin with, some of them nonsense.
static const Placement *spoiled(const Layout *layout, Random *random, Arena *keep)
{
    Placement *start = ARENA_ARRAY(keep, Placement, layout->count + 1);
    for (int i = 0; i < layout->count; i++) {
        start[i] = layout->placements[i];
        switch (random_below(random, 8)) {
        case 0:
            start[i].motion.x_mm += random_between(random, -30, 30);
            break;
        case 1:
            start[i].motion.turn_rad = random_below(random, 2) ? (double)NAN : 1e9;
            break;
        case 2:
            start[i].piece = random_below(random, 2) ? -1 : 2147483647;
            break;
        case 3:
            start[i].sheet = random_below(random, 2) ? -1 : 2147483647;
            break;
        default:
            break;
        }
    }
    return start;
}

static void check_task(uint64_t trial, Tally *tally, Arena *keep, Arena *scratch)
{
    static const double works[] = {1e-7, 1e-5, 1e-4, 1e-3};
    Random random = random_begin(1771, trial, 0);
    LayoutTask task = hostile_task(&random, keep);
    LayoutOptions options = {.seed = trial, .work = works[random_below(&random, 4)]};
    options.threads = 1 + random_below(&random, 2);
    const int stop_after = random_below(&random, 5) ? -1 : random_below(&random, 6);
    Layout layout = {0};
    if (!search_and_check(&task, options, stop_after, tally, keep, scratch, &layout)) {
        return;
    }
    if (stop_after < 0 && random_below(&random, RERUN) == 0) {
        check_same_again(&task, options, &layout, keep, scratch);
    }
    if (task.aim == LAYOUT_SHORTEST_STRIP || random_below(&random, 3)) {
        return;
    }
    // Once more, with some of it locked and the rest to begin with.
    task.locked = layout.placements;
    task.locked_count = random_below(&random, layout.count + 1);
    options.start = spoiled(&layout, &random, keep);
    options.start_count = task.aim == LAYOUT_PLACE_ALL ? layout.count : 0;
    tally->locked += task.locked_count;
    Layout again = {0};
    const bool found = search_and_check(&task, options, -1, tally, keep, scratch, &again);
    if (!found) {
        print_error("trial %llu, with %d locked and %d to begin with, was refused\n",
                    (unsigned long long)trial, task.locked_count, options.start_count);
    }
    assert_true(found);
}

static void every_task_ends_well(void **state)
{
    (void)state;
    Arena *keep = arena_create("results", ARENA_BYTES);
    Arena *scratch = arena_create("scratch", ARENA_BYTES);
    const Trials trials = trials_wanted(TRIALS_OF(TASKS));
    Tally tally = {0};
    for (uint64_t trial = trials.first; trial < trials.end; trial++) {
        if (trials_number("SEATWRIGHT_VERBOSE", 0)) {
            print_message("# trial %llu\n", (unsigned long long)trial);
        }
        const ArenaMark mark = arena_mark(keep);
        check_task(trial, &tally, keep, scratch);
        arena_rewind(keep, mark);
    }
    arena_destroy(scratch);
    arena_destroy(keep);
    print_message("# %d layouts of %d pieces, %d missing, %d locked; %d refused, %d stopped; "
                  "%d judged by the slow judge as well\n",
                  tally.laid, tally.pieces, tally.missing, tally.locked, tally.refused,
                  tally.stopped, tally.slow);
    const uint64_t tenth = (trials.end - trials.first) / 10;
    if (tenth < TASKS / 20) {
        return; // a few that are looked at alone
    }
    assert_true((uint64_t)tally.laid > 4 * tenth && (uint64_t)tally.slow > tenth);
    assert_true((uint64_t)tally.pieces > tenth && (uint64_t)tally.missing > tenth);
    assert_true((uint64_t)tally.refused > tenth / 2);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_task_ends_well),
    };
    return cmocka_run_group_tests_name("layout/hostile", tests, NULL, NULL);
}
