#include "job/job.h"

#include "support/check.h"

static const char taped[] =
    "{\"seatwright\": 1, \"units\": \"in\", \"hide\": {\"name\": \"chestnut 1\", \"form\": "
    "\"side\", "
    "\"half\": \"left\", \"stamp\": \"24.3\", \"stations\": [{\"up\": 0, \"left\": 20}, {\"up\": "
    "40, "
    "\"left\": \"30 1/2\"}, {\"up\": 80, \"left\": 10}], \"flaws\": [{\"kind\": \"brand\", \"at\": "
    "{\"up\": 18, \"left\": 20}, \"radius\": 3}]}}";

static void a_hide_by_itself_is_read_like_one_in_a_job(void **state)
{
    JobHide hide;
    Problems *problems = problems_in(*state);
    assert_true(job_hide_read(taped, sizeof taped - 1, "hide", *state, &hide, problems));
    assert_string_equal(hide.hide.name, "chestnut 1");
    assert_int_equal(hide.units.length, LENGTH_IN);
    assert_int_equal(hide.hide.form, HIDE_SIDE);
    CHECK_NEAR(hide.hide.stamped_mm2, 24.75 * MM2_PER_FT2, 1e-6);
    CHECK_NEAR(hide.hide.stations[1].left_mm, 30.5 * MM_PER_IN, 1e-9);
    assert_int_equal(hide.hide.flaw_count, 1);
}

static void writing_it_twice_gives_the_same_bytes(void **state)
{
    JobHide hide;
    Problems *problems = problems_in(*state);
    assert_true(job_hide_read(taped, sizeof taped - 1, "hide", *state, &hide, problems));
    Text once = {.keep = *state};
    job_hide_write(&hide, &once);
    JobHide again;
    assert_true(job_hide_read(once.bytes, once.length, "again", *state, &again, problems));
    Text twice = {.keep = *state};
    job_hide_write(&again, &twice);
    assert_string_equal(text_string(&once), text_string(&twice));
}

static void its_mistakes_say_where_they_are(void **state)
{
    static const struct {
        const char *text;
        const char *where;
    } cases[] = {
        {"", "hide"},
        {"{\"seatwright\": 1, \"units\": \"mm\"}", "hide"},
        {"{\"seatwright\": 1, \"units\": \"mm\", \"hide\": {\"name\": \"x\", \"form\": \"panel\", "
         "\"length\": 800}}",
         "hide.width"},
        {"{\"seatwright\": 1, \"units\": \"mm\", \"seats\": [], \"hide\": {\"name\": \"x\", "
         "\"form\": \"panel\", \"length\": 800, \"width\": 600}}",
         "seats"}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        JobHide hide;
        Problems *problems = problems_in(*state);
        assert_false(
            job_hide_read(cases[i].text, strlen(cases[i].text), "hide", *state, &hide, problems));
        assert_string_equal(problems->items[0].where, cases[i].where);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(a_hide_by_itself_is_read_like_one_in_a_job),
        TEST_IN_ARENA(writing_it_twice_gives_the_same_bytes),
        TEST_IN_ARENA(its_mistakes_say_where_they_are),
    };
    return cmocka_run_group_tests_name("job/hide_document", tests, NULL, NULL);
}
