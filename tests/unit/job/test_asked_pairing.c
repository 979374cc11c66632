#include "job/asked_pairing.h"

#include "support/check.h"

static void a_code_and_a_name_are_read(void **state)
{
    Problems *problems = problems_in(*state);
    AskedPairing pairing = {0};
    static const char good[] = "{\"code\": \"7KQ2-M4XD\", \"name\": \"phone\"}";
    assert_true(asked_pairing_read(good, sizeof good - 1, *state, &pairing, problems));
    assert_string_equal(pairing.code, "7KQ2-M4XD");
    assert_string_equal(pairing.name, "phone");
    static const char *const wrong[] = {"",
                                        "[]",
                                        "{}",
                                        "{\"code\": \"a\"}",
                                        "{\"code\": 1, \"name\": \"b\"}",
                                        "{\"code\": \"a\", \"name\": \"b\", \"more\": 1}"};
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        AskedPairing untouched = {.code = "as before"};
        problems = problems_in(*state);
        assert_false(asked_pairing_read(wrong[i], strlen(wrong[i]), *state, &untouched, problems));
        assert_true(problems->mistakes > 0);
        assert_string_equal(untouched.code, "as before");
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {TEST_IN_ARENA(a_code_and_a_name_are_read)};
    return cmocka_run_group_tests_name("job/asked_pairing", tests, NULL, NULL);
}
