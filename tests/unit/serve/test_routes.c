#include "serve/routes.h"

#include "support/check.h"

static const Route *find(Method method, const char *path, Request *request)
{
    int others = 0;
    *request = (Request){.method = method, .path = path};
    return route_find(request, &others);
}

static void numbers_and_words_of_the_path_are_read(void **state)
{
    (void)state;
    Request request;
    const Route *route = find(METHOD_PUT, "/api/jobs/17/versions/3/name", &request);
    assert_non_null(route);
    assert_string_equal(route->pattern, "/api/jobs/{id}/versions/{number}/name");
    assert_int_equal(request.number[0], 17);
    assert_int_equal(request.number[1], 3);
    assert_non_null(find(METHOD_GET, "/api/examples/rowing-club", &request));
    assert_string_equal(request.word, "rowing-club");
    assert_non_null(find(METHOD_GET, "/api/jobs/999999999999999", &request));
    assert_int_equal(request.number[0], 999999999999999);
}

static void other_addresses_are_none(void **state)
{
    (void)state;
    static const char *const paths[] = {
        "",
        "api/jobs",
        "/api/jobs/",
        "//api/jobs",
        "/api//jobs",
        "/api/jobs/0",
        "/api/jobs/01",
        "/api/jobs/-1",
        "/api/jobs/+1",
        "/api/jobs/1x",
        "/api/jobs/1 ",
        "/api/jobs/1000000000000000",
        "/api/jobs/1/",
        "/api/jobs/1/documents",
        "/api/jobs/1/document/",
        "/api/examples/",
        "/api/examples/a/b",
        "/api/examples/../examples/taper",
        "/../etc/passwd",
        "/API/jobs",
    };
    for (size_t i = 0; i < sizeof paths / sizeof paths[0]; i++) {
        for (int m = 0; m < METHOD_COUNT; m++) {
            Request request;
            assert_null(find((Method)m, paths[i], &request));
        }
    }
}

static void the_methods_of_an_address_are_told(void **state)
{
    (void)state;
    char text[METHODS_ROOM];
    route_methods("/api/jobs/1/document", text);
    assert_string_equal(text, "GET, HEAD, PUT");
    route_methods("/api/jobs", text);
    assert_string_equal(text, "GET, HEAD, POST");
    route_methods("/api/check", text);
    assert_string_equal(text, "POST");
    route_methods("/api/nothing/here", text);
    assert_string_equal(text, "");
    Request request = {.method = METHOD_DELETE, .path = "/api/jobs"};
    int others = 0;
    assert_null(route_find(&request, &others));
    assert_int_equal(others, 2);
}

// An address is never answered by two routes of one method in turn: the first would hide the
// second. The page assets come last, so that they hide nothing.
static void every_route_is_reached_by_its_own_pattern(void **state)
{
    for (int i = 0; i < route_count; i++) {
        Text path = {.keep = *state};
        for (const char *at = routes[i].pattern; *at; at++) {
            if (*at != '{') {
                text_add_bytes(&path, at, 1);
                continue;
            }
            text_add(&path, "%s", strncmp(at, "{name}", 6) == 0 ? "word" : "5");
            at = strchr(at, '}');
        }
        Request request;
        assert_ptr_equal(find(routes[i].method, text_string(&path), &request), &routes[i]);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(numbers_and_words_of_the_path_are_read),
        cmocka_unit_test(other_addresses_are_none),
        cmocka_unit_test(the_methods_of_an_address_are_told),
        TEST_IN_ARENA(every_route_is_reached_by_its_own_pattern),
    };
    return cmocka_run_group_tests_name("serve/routes", tests, NULL, NULL);
}
