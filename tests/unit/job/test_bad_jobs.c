// Broken jobs, each with what the reader says of it (tests/golden/bad-jobs/README.md).
#include "suite.h"

static void syntax(void **state)
{
    check_suite("bad-jobs/syntax.txt", 41, complaints_of, *state);
}

static void document(void **state)
{
    check_suite("bad-jobs/document.txt", 43, complaints_of, *state);
}

static void seats(void **state)
{
    check_suite("bad-jobs/seats.txt", 63, complaints_of, *state);
}

static void hides(void **state)
{
    check_suite("bad-jobs/hides.txt", 46, complaints_of, *state);
}

static void offers(void **state)
{
    check_suite("bad-jobs/offers.txt", 34, complaints_of, *state);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(syntax), TEST_IN_ARENA(document), TEST_IN_ARENA(seats),
        TEST_IN_ARENA(hides),  TEST_IN_ARENA(offers),
    };
    return cmocka_run_group_tests_name("job/bad_jobs", tests, NULL, NULL);
}
