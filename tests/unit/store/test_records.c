#include "store/records.h"

#include "workshop.h"

static void a_job_comes_back_byte_for_byte(void **state)
{
    Workshop *workshop = *state;
    Store *store = open_workshop(workshop);
    const Document document =
        job_document("Eight chairs", "walnut \\u00e9 \xc3\xa9", workshop->keep);
    int64_t id = 0;
    MUST(workshop, record_begin(store, RECORD_JOB, document, &id, workshop->problems));
    check_document(workshop, store, id, 0, document);
    check_document(workshop, store, id, 1, document);
    store_close(store);
    store = open_workshop(workshop); // and in the next session
    check_document(workshop, store, id, 0, document);
    Record record;
    MUST(workshop, record_get(store, id, workshop->keep, &record, workshop->problems));
    assert_string_equal(record.title, "Eight chairs");
    assert_int_equal(record.kind, RECORD_JOB);
    assert_int_equal(record.present, 1);
    assert_int_equal(record.version_count, 1);
    assert_int_equal(strlen(record.uid), 32);
    assert_false(record.away);
    store_close(store);
}

// Any bytes: what is typed is kept, whether it is a job yet or not.
static void a_document_with_mistakes_is_kept_too(void **state)
{
    Workshop *workshop = *state;
    Store *store = open_workshop(workshop);
    static const char zero_inside[] = "{\"name\": \"x\0y\", \xff\xfe";
    const Document odd = {zero_inside, sizeof zero_inside - 1};
    const Document empty = {"", 0};
    int64_t id = 0;
    MUST(workshop, record_begin(store, RECORD_JOB, odd, &id, workshop->problems));
    check_document(workshop, store, id, 0, odd);
    int64_t present = 0;
    const Save named = {id, 1, job_document("Now a job", "", workshop->keep), NULL};
    MUST(workshop, record_save(store, &named, &present, workshop->problems));
    const Save emptied = {id, 2, empty, NULL};
    MUST(workshop, record_save(store, &emptied, &present, workshop->problems));
    check_document(workshop, store, id, 3, empty);
    Record record;
    MUST(workshop, record_get(store, id, workshop->keep, &record, workshop->problems));
    assert_string_equal(record.title, "Now a job"); // the name that it had last
    store_close(store);
}

static void a_save_adds_a_version_and_leaves_the_old_one(void **state)
{
    Workshop *workshop = *state;
    Store *store = open_workshop(workshop);
    const Document first = job_document("Bench", "one", workshop->keep);
    const Document second = job_document("Bench", "two", workshop->keep);
    int64_t id = 0;
    int64_t present = 0;
    MUST(workshop, record_begin(store, RECORD_JOB, first, &id, workshop->problems));
    const Save save = {id, 1, second, "as ordered"};
    MUST(workshop, record_save(store, &save, &present, workshop->problems));
    assert_int_equal(present, 2);
    check_document(workshop, store, id, 1, first);
    check_document(workshop, store, id, 0, second);
    // The same text again is no new version.
    const Save again = {id, 2, second, NULL};
    MUST(workshop, record_save(store, &again, &present, workshop->problems));
    assert_int_equal(present, 2);
    store_close(store);
}

static void who_saves_on_an_old_version_is_told_and_overwrites_nothing(void **state)
{
    Workshop *workshop = *state;
    Store *here = open_workshop(workshop);
    Store *there = open_workshop(workshop);
    const Document mine = job_document("Shared", "mine", workshop->keep);
    const Document theirs = job_document("Shared", "theirs", workshop->keep);
    int64_t id = 0;
    int64_t present = 0;
    MUST(workshop, record_begin(here, RECORD_JOB, job_document("Shared", "", workshop->keep), &id,
                                workshop->problems));
    const Save first = {id, 1, theirs, NULL};
    MUST(workshop, record_save(there, &first, &present, workshop->problems));
    const Save second = {id, 1, mine, NULL};
    present = 0;
    assert_false(record_save(here, &second, &present, workshop->problems));
    assert_int_equal(last_problem(workshop).kind, PROBLEM_CONFLICT);
    assert_int_equal(present, 2);
    check_document(workshop, here, id, 0, theirs);
    // What I typed is kept beside it, and is not the present version.
    int64_t number = 0;
    MUST(workshop, record_save_beside(here, &second, &number, workshop->problems));
    assert_int_equal(number, 3);
    check_document(workshop, there, id, 3, mine);
    check_document(workshop, there, id, 0, theirs);
    store_close(here);
    store_close(there);
}

static void searches_find_words_in_names_and_notes(void **state)
{
    Workshop *workshop = *state;
    Arena *keep = workshop->keep;
    Store *store = open_workshop(workshop);
    int64_t ids[3] = {0};
    MUST(workshop, record_begin(store, RECORD_JOB, job_document("Mill kitchen", "100 % wool", keep),
                                &ids[0], workshop->problems));
    MUST(workshop, record_begin(store, RECORD_JOB, job_document("Rowing club", "north light", keep),
                                &ids[1], workshop->problems));
    MUST(workshop, record_begin(store, RECORD_HIDE, hide_document("Mill hide", keep), &ids[2],
                                workshop->problems));
    static const struct {
        const char *words;
        int count;
        int first;
    } cases[] = {{NULL, 2, 1},
                 {"", 2, 1},
                 {"mill", 1, 0},
                 {"KITCHEN wool", 1, 0},
                 {"stool", 2, 1},
                 {"mill north", 0, 0},
                 {"%", 1, 0},
                 {"_", 0, 0},
                 {"100 % wool", 1, 0},
                 {"\\", 0, 0},
                 {"a b c d e f g h no-more", 0, 0}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        Records found = {0};
        const RecordSearch search = {.kind = RECORD_JOB, .words = cases[i].words};
        MUST(workshop, records_find(store, &search, keep, &found, workshop->problems));
        assert_int_equal(found.count, cases[i].count);
        if (found.count > 0) {
            assert_int_equal(found.items[0].id, ids[cases[i].first]);
        }
    }
    Records hides = {0};
    MUST(workshop, records_find(store, &(RecordSearch){.kind = RECORD_HIDE}, keep, &hides,
                                workshop->problems));
    assert_int_equal(hides.count, 1);
    assert_string_equal(hides.items[0].title, "Mill hide");
    store_close(store);
}

static void what_is_put_away_is_not_listed_but_there(void **state)
{
    Workshop *workshop = *state;
    Store *store = open_workshop(workshop);
    const Document document = job_document("Old", "", workshop->keep);
    int64_t id = 0;
    MUST(workshop, record_begin(store, RECORD_JOB, document, &id, workshop->problems));
    MUST(workshop, record_put_away(store, id, true, workshop->problems));
    Records found = {0};
    MUST(workshop, records_find(store, &(RecordSearch){.kind = RECORD_JOB}, workshop->keep, &found,
                                workshop->problems));
    assert_int_equal(found.count, 0);
    MUST(workshop, records_find(store, &(RecordSearch){.kind = RECORD_JOB, .away = true},
                                workshop->keep, &found, workshop->problems));
    assert_int_equal(found.count, 1);
    assert_true(found.items[0].away);
    check_document(workshop, store, id, 0, document);
    MUST(workshop, record_put_away(store, id, false, workshop->problems));
    MUST(workshop, records_find(store, &(RecordSearch){.kind = RECORD_JOB}, workshop->keep, &found,
                                workshop->problems));
    assert_int_equal(found.count, 1);
    store_close(store);
}

static void what_is_not_there_is_said_so(void **state)
{
    Workshop *workshop = *state;
    Store *store = open_workshop(workshop);
    Problems *problems = workshop->problems;
    int64_t id = 0;
    int64_t number = 0;
    Record record;
    Document document;
    MUST(workshop, record_begin(store, RECORD_JOB, document_of("{}"), &id, problems));
    assert_false(record_get(store, id + 1, workshop->keep, &record, problems));
    assert_int_equal(last_problem(workshop).kind, PROBLEM_NOT_FOUND);
    assert_false(record_read(store, id, 2, workshop->keep, &document, problems));
    assert_int_equal(last_problem(workshop).kind, PROBLEM_NOT_FOUND);
    assert_false(record_read(store, id + 1, 0, workshop->keep, &document, problems));
    assert_false(record_save(store, &(Save){id + 1, 1, document_of("x"), NULL}, &number, problems));
    assert_int_equal(last_problem(workshop).kind, PROBLEM_NOT_FOUND);
    assert_false(
        record_save_beside(store, &(Save){id, 7, document_of("x"), NULL}, &number, problems));
    assert_int_equal(last_problem(workshop).kind, PROBLEM_NOT_FOUND);
    assert_false(record_put_away(store, id + 1, true, problems));
    assert_int_equal(last_problem(workshop).kind, PROBLEM_NOT_FOUND);
    store_close(store);
}

static void sizes_are_limited_on_both_sides(void **state)
{
    Workshop *workshop = *state;
    Store *store = open_workshop(workshop);
    char *large = arena_alloc(workshop->keep, RECORD_BYTES_MAX + 1, 1);
    memset(large, 'x', RECORD_BYTES_MAX + 1);
    int64_t id = 0;
    MUST(workshop, record_begin(store, RECORD_JOB, (Document){large, RECORD_BYTES_MAX}, &id,
                                workshop->problems));
    check_document(workshop, store, id, 0, (Document){large, RECORD_BYTES_MAX});
    assert_false(record_begin(store, RECORD_JOB, (Document){large, RECORD_BYTES_MAX + 1}, &id,
                              workshop->problems));
    assert_int_equal(last_problem(workshop).kind, PROBLEM_BAD_INPUT);
    int64_t present = 0;
    large[VERSION_NAME_MAX] = 0;
    MUST(workshop,
         record_save(store, &(Save){id, 1, document_of("b"), large}, &present, workshop->problems));
    large[VERSION_NAME_MAX] = 'x';
    large[VERSION_NAME_MAX + 1] = 0;
    const char *const refused[] = {large, "", "two\nlines", "\x1b[31mred"};
    for (int i = 0; i < 4; i++) {
        assert_false(record_save(store, &(Save){id, 2, document_of("c"), refused[i]}, &present,
                                 workshop->problems));
        assert_int_equal(last_problem(workshop).kind, PROBLEM_BAD_INPUT);
    }
    store_close(store);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_WORKSHOP(a_job_comes_back_byte_for_byte),
        TEST_IN_WORKSHOP(a_document_with_mistakes_is_kept_too),
        TEST_IN_WORKSHOP(a_save_adds_a_version_and_leaves_the_old_one),
        TEST_IN_WORKSHOP(who_saves_on_an_old_version_is_told_and_overwrites_nothing),
        TEST_IN_WORKSHOP(searches_find_words_in_names_and_notes),
        TEST_IN_WORKSHOP(what_is_put_away_is_not_listed_but_there),
        TEST_IN_WORKSHOP(what_is_not_there_is_said_so),
        TEST_IN_WORKSHOP(sizes_are_limited_on_both_sides),
    };
    return cmocka_run_group_tests_name("store/records", tests, NULL, NULL);
}
