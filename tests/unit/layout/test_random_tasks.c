#include "layout/bound.h"
#include "layout/search.h"

#include "random_task.h"
#include "support/check.h"
#include "support/trials.h"

// Property: whatever the task, the judge accepts what the search hands out, and the
// search never believed in a placement that the judge refuses; and no layout beats the
// bound.

static void check_result(const LayoutTask *task, const SearchResult *result, Arena *scratch)
{
    const Layout *layout = &result->layout;
    assert_int_equal(result->tally.refused, 0);
    assert_int_equal(layout_check(task, layout->placements, layout->count, scratch, NULL, 0), 0);
    int placed = 0;
    for (int i = 0; i < task->piece_count; i++) {
        assert_true(layout->missing[i] >= 0 && layout->missing[i] <= task->pieces[i].demand);
        placed += task->pieces[i].demand - layout->missing[i];
    }
    assert_int_equal(placed, layout->count);
}

static void check_bound(const LayoutTask *task, const Layout *layout, Arena *keep, Arena *scratch)
{
    Problems *problems = problems_in(keep);
    LayoutBound bound;
    assert_true(layout_bound(task, NULL, keep, scratch, &bound, problems));
    assert_true(layout->count <= bound.most);
    assert_true(layout->value <= bound.value + 1e-9);
    for (int i = 0; i < layout->count; i++) {
        assert_false(bound.nowhere[layout->placements[i].piece]);
    }
}

static void the_judge_accepts_every_result(void **state)
{
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    int laid = 0;
    int missing = 0;
    const Trials trials = trials_wanted(TRIALS_OF(1200));
    const int tasks = (int)(trials.end - trials.first);
    for (uint64_t seed = trials.first + 1; seed <= trials.end; seed++) {
        const ArenaMark mark = arena_mark(*state);
        Random random = random_begin(seed, 0, 0);
        LayoutTask task = random_task(&random, *state);
        Problems *problems = problems_in(*state);
        // Now and then enough work for finer cells.
        const LayoutOptions options = {.seed = seed, .work = seed % 20 ? 0.001 : 0.05};
        SearchResult result = {0};
        assert_true(search_run(&task, options, NULL, *state, scratch, &result, problems));
        check_result(&task, &result, scratch);
        check_bound(&task, &result.layout, *state, scratch);
        laid += result.layout.count;
        for (int i = 0; i < task.piece_count; i++) {
            missing += result.layout.missing[i];
        }
        // Some of it locked where it lies, the rest laid anew.
        task.locked = result.layout.placements;
        task.locked_count = result.layout.count / 2;
        SearchResult again = {0};
        assert_true(search_run(&task, options, NULL, *state, scratch, &again, problems));
        check_result(&task, &again, scratch);
        assert_true(again.layout.count >= task.locked_count);
        arena_rewind(*state, mark);
    }
    arena_destroy(scratch);
    // The tasks are neither trivial nor hopeless.
    assert_true(laid > tasks && missing > tasks / 6);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(the_judge_accepts_every_result),
    };
    return cmocka_run_group_tests_name("layout/random_tasks", tests, NULL, NULL);
}
