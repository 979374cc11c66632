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

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(a_list_counts_more_than_it_keeps),
        TEST_IN_ARENA(doubts_change_no_exit_status),
    };
    return cmocka_run_group_tests_name("base/problem", tests, NULL, NULL);
}
