#include "base/json.h"

#include "base/random.h"

#include "support/check.h"

static void an_object_is_indented_and_flat_arrays_are_not(void **state)
{
    Json json = {.text.keep = *state};
    json_begin_object(&json, NULL);
    json_text(&json, "name", "club \"A\"\n");
    json_begin_array(&json, "points");
    json_begin_flat_array(&json, NULL);
    json_number(&json, NULL, 0.1);
    json_number(&json, NULL, -2);
    json_end_array(&json);
    json_end_array(&json);
    json_begin_array(&json, "none");
    json_end_array(&json);
    json_bool(&json, "locked", false);
    json_end_object(&json);
    assert_string_equal(text_string(&json.text), "{\n"
                                                 "  \"name\": \"club \\\"A\\\"\\n\",\n"
                                                 "  \"points\": [\n"
                                                 "    [0.1, -2]\n"
                                                 "  ],\n"
                                                 "  \"none\": [],\n"
                                                 "  \"locked\": false\n"
                                                 "}\n");
}

static const char *written(double value, void *arena)
{
    Json json = {.text.keep = arena};
    json_number(&json, NULL, value);
    return text_string(&json.text);
}

static void numbers_are_short_and_read_back(void **state)
{
    assert_string_equal(written(0.1, *state), "0.1");
    assert_string_equal(written(1.0 / 3, *state), "0.3333333333333333");
    assert_string_equal(written(-0.0, *state), "0");
    assert_string_equal(written(25.4, *state), "25.4");
    assert_string_equal(written(nan(""), *state), "null");
    assert_string_equal(written(HUGE_VAL, *state), "null");
}

static void odd_letters_are_escaped(void **state)
{
    Json json = {.text.keep = *state};
    json_text(&json, NULL, "a\\b\x01\t²");
    assert_string_equal(text_string(&json.text), "\"a\\\\b\\u0001\\t²\"");
}

// The quick way to write a rounded number gives what the slow one gives.
static void rounded_numbers_are_those_of_the_plain_way(void **state)
{
    Random random = random_begin(5, 0, 0);
    for (int i = 0; i < 20000; i++) {
        const int decimals = random_below(&random, 7);
        const double value =
            random_between(&random, -1, 1) * pow(10, random_below(&random, 14) - 4);
        const ArenaMark mark = arena_mark(*state);
        Json json = {.text.keep = *state};
        json_rounded(&json, NULL, value, decimals);
        const double scale = pow(10, decimals);
        assert_string_equal(text_string(&json.text), written(round(value * scale) / scale, *state));
        arena_rewind(*state, mark);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(an_object_is_indented_and_flat_arrays_are_not),
        TEST_IN_ARENA(rounded_numbers_are_those_of_the_plain_way),
        TEST_IN_ARENA(numbers_are_short_and_read_back),
        TEST_IN_ARENA(odd_letters_are_escaped),
    };
    return cmocka_run_group_tests_name("base/json", tests, NULL, NULL);
}
