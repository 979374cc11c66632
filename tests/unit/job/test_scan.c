#include "job/scan.h"

#include "files.h"

static bool deep(const char *text, int depth_max, TextPlace *place)
{
    return !scan_depth(text, strlen(text), depth_max, place);
}

static void depth_counts_open_brackets_only(void **state)
{
    (void)state;
    TextPlace place;
    assert_false(deep("[[]]", 2, &place));
    assert_true(deep("[[]]", 1, &place));
    assert_int_equal(place.column, 2);
    assert_false(deep("[[], [], {}, [\"[[[[\", \"\\\"[[[\"]]", 2, &place));
    assert_true(deep("{\n \"é\": {\"a\": [", 2, &place));
    assert_int_equal(place.line, 2);
    assert_int_equal(place.column, 13); // é is one column
}

static void depth_bears_any_text(void **state)
{
    (void)state;
    TextPlace place;
    assert_false(deep("]]]]]]", 1, &place));
    assert_false(deep("\"no end [[[[", 1, &place));
    assert_false(deep("\"\\", 1, &place));
    assert_false(deep("", 1, &place));
}

static const char *repeats(const char *text, Arena *keep)
{
    Problems *problems = problems_in(keep);
    const int found = scan_repeated_keys(text, strlen(text), 4, problems);
    assert_int_equal(found, problems->count);
    return problems_text(problems, keep);
}

static void repeated_keys_are_found_where_they_stand(void **state)
{
    assert_string_equal(repeats("{\"a\": 1, \"b\": \"a\", \"c\": [\"a\", \"a\"]}", *state), "");
    assert_string_equal(repeats("{\"a\": {\"a\": 1}, \"b\": {\"a\": 1}}", *state), "");
    assert_string_equal(
        repeats("{\"a\": 1, \"b\": [{}, {\"c\": 1,\n \"c\" : 2}],\n\"a\": 3}", *state),
        "b[1].c: stands again on line 2; each key may stand once\n"
        "a: stands again on line 3; each key may stand once\n");
    assert_string_equal(repeats("{\"a\\\"\": 1, \"a\\\"\": 1}", *state),
                        "a\\\": stands again on line 1; each key may stand once\n");
    // A long key is cut behind a whole letter: the next one has bytes 40 and 41.
    assert_string_equal(repeats("{\"123456789 123456789 123456789 123456789é\": 1,"
                                " \"123456789 123456789 123456789 123456789é\": 1}",
                                *state),
                        "123456789 123456789 123456789 123456789: stands again on line 1; each "
                        "key may stand once\n");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(depth_counts_open_brackets_only),
        cmocka_unit_test(depth_bears_any_text),
        TEST_IN_ARENA(repeated_keys_are_found_where_they_stand),
    };
    return cmocka_run_group_tests_name("job/scan", tests, NULL, NULL);
}
