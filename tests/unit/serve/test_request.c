#include "serve/request.h"

#include "support/check.h"

static const Whole VERSION = {1, 1000000000, 0};

static Request with_query(const char *key, const char *value)
{
    return (Request){.query = {{key, value}}, .query_count = 1};
}

static void whole_numbers_of_the_query_are_read(void **state)
{
    Problems *problems = problems_in(*state);
    int64_t value = 0;
    Request request = with_query("version", "17");
    assert_true(request_whole(&request, "version", VERSION, &value, problems));
    assert_int_equal(value, 17);
    assert_true(request_whole(&request, "other", (Whole){1, 9, 5}, &value, problems));
    assert_int_equal(value, 5);
    request = with_query("version", "1000000000");
    assert_true(request_whole(&request, "version", VERSION, &value, problems));
    assert_int_equal(value, 1000000000);
    static const char *const wrong[] = {
        "", "0", "-1", "+1", "1.5", " 1", "1 ", "0x1", "one", "1000000001", "1000000000000000000"};
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        request = with_query("version", wrong[i]);
        assert_false(request_whole(&request, "version", VERSION, &value, problems));
    }
    assert_int_equal(problems->mistakes, sizeof wrong / sizeof wrong[0]);
    assert_string_equal(problems->items[0].where, "version");
    assert_string_equal(problems->items[0].allowed, "a whole number from 1 to 1000000000");
}

static void yes_and_no_of_the_query_are_read(void **state)
{
    Problems *problems = problems_in(*state);
    static const struct {
        const char *text;
        bool good;
        bool value;
    } cases[] = {{"1", true, true},      {"true", true, true}, {"0", true, false},
                 {"false", true, false}, {"", false, false},   {"yes", false, false}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        const Request request = with_query("away", cases[i].text);
        bool value = true;
        assert_int_equal(request_yes(&request, "away", &value, problems), cases[i].good);
        assert_int_equal(value, cases[i].value);
    }
    bool value = true;
    assert_true(request_yes(&(Request){0}, "away", &value, problems));
    assert_false(value);
}

static void a_version_stands_in_quotes(void **state)
{
    (void)state;
    int64_t version = 0;
    bool given = false;
    assert_true(request_version(&(Request){.if_match = "\"7\""}, &version, &given));
    assert_int_equal(version, 7);
    assert_false(request_version(&(Request){0}, &version, &given));
    assert_false(given);
    static const char *const wrong[] = {
        "", "7", "\"\"", "\"7", "7\"", "*", "W/\"7\"", "\"7\", \"8\"", "\"a\"", "\"-7\"", "\""};
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        assert_false(request_version(&(Request){.if_match = wrong[i]}, &version, &given));
        assert_true(given);
    }
}

static void a_tag_is_known_from_a_list(void **state)
{
    (void)state;
    assert_true(request_has(&(Request){.if_none_match = "\"7\""}, "\"7\""));
    assert_true(request_has(&(Request){.if_none_match = "\"6\", W/\"7\""}, "\"7\""));
    assert_true(request_has(&(Request){.if_none_match = "*"}, "\"7\""));
    assert_false(request_has(&(Request){.if_none_match = "\"17\", \"71\""}, "\"7\""));
    assert_false(request_has(&(Request){0}, "\"7\""));
}

static void bytes_that_the_client_has_are_not_sent_again(void **state)
{
    (void)state;
    Answer answer = {0};
    answer_bytes(&(Request){0}, "text/plain", "abc", 3, "\"x\"", &answer);
    assert_int_equal(answer.status, 200);
    assert_int_equal(answer.count, 3);
    answer = (Answer){0};
    answer_bytes(&(Request){.if_none_match = "\"x\""}, "text/plain", "abc", 3, "\"x\"", &answer);
    assert_int_equal(answer.status, 304);
    assert_int_equal(answer.count, 0);
    assert_string_equal(answer.etag, "\"x\"");
}

// RFC 9110 and RFC 9457: what kind of problem is which status.
static void the_first_mistake_decides_the_status(void **state)
{
    static const struct {
        ProblemKind kind;
        int status;
    } cases[] = {{PROBLEM_BAD_INPUT, 422},
                 {PROBLEM_NOT_FOUND, 404},
                 {PROBLEM_CONFLICT, 409},
                 {PROBLEM_SYSTEM, 500},
                 {PROBLEM_CANCELLED, 409}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        Desk desk = {.keep = *state, .problems = problems_in(*state)};
        (void)problems_say(desk.problems, PROBLEM_DOUBT, "seats", "odd");
        (void)problems_say(desk.problems, cases[i].kind, "seats[0]", "wrong \"here\"");
        Answer answer = {0};
        answer_problems(&desk, &answer);
        assert_int_equal(answer.status, cases[i].status);
        assert_string_equal(answer.type, "application/problem+json");
        assert_non_null(strstr(answer.bytes, "wrong \\\"here\\\""));
    }
}

// What is refused by status tells the kind that a list of problems of that kind would have.
static void status_and_kind_agree(void **state)
{
    static const struct {
        int status;
        const char *kind;
    } cases[] = {{400, "bad input"}, {403, "bad input"}, {404, "not found"}, {405, "bad input"},
                 {409, "conflict"},  {412, "conflict"},  {413, "bad input"}, {415, "bad input"},
                 {422, "bad input"}, {428, "bad input"}, {500, "system"},    {503, "system"}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        Desk desk = {.keep = *state, .problems = problems_in(*state)};
        Answer answer = {0};
        answer_refuse(&desk, cases[i].status, "here", "this", NULL, &answer);
        assert_int_equal(answer.status, cases[i].status);
        assert_non_null(
            strstr(answer.bytes, arena_text(*state, "\"kind\": \"%s\"", cases[i].kind)));
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(whole_numbers_of_the_query_are_read),
        TEST_IN_ARENA(yes_and_no_of_the_query_are_read),
        cmocka_unit_test(a_version_stands_in_quotes),
        cmocka_unit_test(a_tag_is_known_from_a_list),
        cmocka_unit_test(bytes_that_the_client_has_are_not_sent_again),
        TEST_IN_ARENA(the_first_mistake_decides_the_status),
        TEST_IN_ARENA(status_and_kind_agree),
    };
    return cmocka_run_group_tests_name("serve/request", tests, NULL, NULL);
}
