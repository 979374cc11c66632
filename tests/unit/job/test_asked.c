#include "job/asked.h"

#include "job/job.h"
#include "support/check.h"

static bool read(const char *text, Arena *keep, AskedLayout *layout, Problems *problems)
{
    return asked_layout_read(text, strlen(text), keep, layout, problems);
}

static void placements_are_read_in_mm_and_degrees(void **state)
{
    AskedLayout layout;
    Problems *problems = problems_in(*state);
    assert_true(
        read("{\"placements\": [{\"cover\": \"A\", \"hide\": \"h\", \"x_mm\": 12.5, \"y_mm\": -3, "
             "\"turn_deg\": -90, \"locked\": true}, {\"cover\": \"B\", \"hide\": \"h\", "
             "\"x_mm\": 0, \"y_mm\": 0, \"turn_deg\": 0}]}",
             *state, &layout, problems));
    assert_int_equal(layout.count, 2);
    assert_string_equal(layout.placements[0].cover, "A");
    CHECK_NEAR(layout.placements[0].x_mm, 12.5, 0);
    CHECK_NEAR(layout.placements[0].y_mm, -3, 0);
    CHECK_NEAR(layout.placements[0].turn_rad, -acos(0), 1e-15);
    assert_true(layout.placements[0].locked);
    assert_false(layout.placements[1].locked);
}

static void mistakes_say_where(void **state)
{
    AskedLayout layout = {.count = 7};
    Problems *problems = problems_in(*state);
    assert_false(
        read("{\"placements\": [{\"cover\": \"A\", \"hide\": \"h\", \"x_mm\": 6001, \"y_mm\": 0, "
             "\"turn\": 0}]}",
             *state, &layout, problems));
    assert_int_equal(layout.count, 7);
    assert_int_equal(problems->mistakes, 3);
    assert_string_equal(problems->items[0].where, "placements[0].turn");
    assert_false(read("[]", *state, &layout, problems_in(*state)));
    assert_false(read("", *state, &layout, problems_in(*state)));
    assert_true(read("{\"placements\": []}", *state, &layout, problems_in(*state)));
    assert_int_equal(layout.count, 0);
}

// What may be kept as a job: JSON, an object, within its limits; mistakes or not.
static void any_object_is_a_document(void **state)
{
    static const struct {
        const char *text;
        bool good;
    } cases[] = {{"{}", true},     {"{\"mine\": [1, 2]}", true},
                 {"[1]", false},   {"7", false},
                 {"", false},      {"{", false},
                 {"{} {}", false}, {"{\"a\": 1, \"a\": 2}", false}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        Problems *problems = problems_in(*state);
        assert_int_equal(
            job_is_document(cases[i].text, strlen(cases[i].text), "job", *state, problems),
            cases[i].good);
        assert_int_equal(problems->mistakes > 0, !cases[i].good);
    }
}

// `lay --json` says more of each placement; what is kept may come from there.
static void a_kept_layout_may_say_more(void **state)
{
    static const char text[] =
        "{\"job\": \"club\", \"placements\": [{\"cover\": \"A3\", \"seat\": \"stool\", \"hide\": "
        "\"h\", \"x_mm\": 1.5, \"y_mm\": -2, \"turn_deg\": 90, \"touches\": [], \"locked\": "
        "true}], "
        "\"unplaced\": []}";
    AskedLayout layout = {.count = 7};
    assert_false(asked_layout_read(text, strlen(text), *state, &layout, problems_in(*state)));
    assert_int_equal(layout.count, 7);
    assert_true(asked_layout_read_kept(text, strlen(text), *state, &layout, problems_in(*state)));
    assert_int_equal(layout.count, 1);
    assert_string_equal(layout.placements[0].cover, "A3");
    assert_true(layout.placements[0].locked);
    CHECK_NEAR(layout.placements[0].turn_rad, 1.5707963267948966, 1e-12);
    static const char *const wrong[] = {"[]", "{\"placements\": [7]}", "{\"placements\": 7}", "{}",
                                        "{\"placements\": [{\"cover\": \"A\"}]}"};
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        assert_false(asked_layout_read_kept(wrong[i], strlen(wrong[i]), *state, &layout,
                                            problems_in(*state)));
    }
}

static void what_stands_in_a_document_is_found_by_its_path(void **state)
{
    static const char text[] =
        "{\"seats\": [{\"name\": \"a\"}, {\"chairs\": [{\"fixing\": {\"grip\": "
        "30}}]}], \"notes\": null}";
    static const char *const paths[] = {"seats[1].chairs[0].fixing.grip",
                                        "seats[0].chairs[0].fixing.grip",
                                        "seats[1].chairs[1]",
                                        "seats[0].name",
                                        "seats[0].name.first",
                                        "notes",
                                        "laying"};
    static const bool wanted[] = {true, false, false, true, false, true, false};
    bool there[sizeof wanted];
    asked_are_there(text, strlen(text), paths, sizeof wanted, *state, there);
    assert_memory_equal(there, wanted, sizeof wanted);
    asked_are_there("{", 1, paths, 2, *state, there);
    assert_false(there[0] || there[1]);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(placements_are_read_in_mm_and_degrees),
        TEST_IN_ARENA(mistakes_say_where),
        TEST_IN_ARENA(any_object_is_a_document),
        TEST_IN_ARENA(a_kept_layout_may_say_more),
        TEST_IN_ARENA(what_stands_in_a_document_is_found_by_its_path),
    };
    return cmocka_run_group_tests_name("job/asked", tests, NULL, NULL);
}
