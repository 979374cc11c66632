#include "base/problem.h"

#include "support/check.h"

static void a_list_counts_more_than_it_keeps(void **state)
{
    Problems *problems = problems_in(*state);
    for (int i = 0; i < PROBLEMS_MAX + 5; i++) {
        assert_false(problems_say(problems, PROBLEM_BAD_INPUT, "here", "number %d", i));
    }
    assert_int_equal(problems->count, PROBLEMS_MAX);
    assert_int_equal(problems->mistakes, PROBLEMS_MAX + 5);
    assert_string_equal(problems->items[3].found, "number 3");
}

static void doubts_change_no_exit_status(void **state)
{
    Problems *problems = problems_in(*state);
    problems_say(problems, PROBLEM_DOUBT, "here", "odd");
    assert_true(problems_none(problems));
    assert_int_equal(problems_exit_status(problems), 0);
    problems_say(problems, PROBLEM_NOT_FOUND, "club.json", "could not open it");
    assert_int_equal(problems_exit_status(problems), 3);
}

// Stops and doubts stay behind; the first mistake goes on with all that it says.
static void the_first_mistake_is_passed_on(void **state)
{
    Problems *own = problems_in(*state);
    Problems *problems = problems_in(*state);
    assert_true(problems_pass_on(own, "trial 3", problems));
    problems_say(own, PROBLEM_DOUBT, "here", "odd");
    problems_say(own, PROBLEM_CANCELLED, "there", "stopped");
    assert_true(problems_pass_on(own, "trial 3", problems));
    assert_int_equal(problems->count, 0);
    problems_add(own, (Problem){PROBLEM_SYSTEM, "disk", "full", NULL, "make room"});
    problems_say(own, PROBLEM_SYSTEM, "disk", "gone");
    assert_false(problems_pass_on(own, "trial 3", problems));
    assert_int_equal(problems->mistakes, 1);
    const Problem *told = &problems->items[0];
    assert_int_equal(told->kind, PROBLEM_SYSTEM);
    assert_string_equal(told->where, "disk");
    assert_string_equal(told->found, "full (trial 3)");
    assert_null(told->allowed);
    assert_string_equal(told->remedy, "make room");
    assert_false(problems_pass_on(own, NULL, problems));
    assert_string_equal(problems->items[1].found, "full");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(a_list_counts_more_than_it_keeps),
        TEST_IN_ARENA(doubts_change_no_exit_status),
        TEST_IN_ARENA(the_first_mistake_is_passed_on),
    };
    return cmocka_run_group_tests_name("base/problem", tests, NULL, NULL);
}
