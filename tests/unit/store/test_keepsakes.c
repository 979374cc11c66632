#include "store/keepsakes.h"

#include "workshop.h"

static int64_t begin_job(Workshop *workshop, Store *store)
{
    int64_t id = 0;
    int64_t present = 0;
    MUST(workshop, record_begin(store, RECORD_JOB, document_of("1"), &id, workshop->problems));
    MUST(workshop,
         record_save(store, &(Save){id, 1, document_of("2"), NULL}, &present, workshop->problems));
    return id;
}

static void layouts_are_kept_by_the_version_that_was_laid(void **state)
{
    Workshop *workshop = *state;
    Store *store = open_workshop(workshop);
    Problems *problems = workshop->problems;
    const int64_t job = begin_job(workshop, store);
    int64_t ids[3] = {0};
    const NewKeepsake layouts[] = {{KEEPSAKE_LAYOUT, job, 1, "first", document_of("{\"a\": 1}")},
                                   {KEEPSAKE_LAYOUT, job, 2, "second", document_of("{\"b\": 2}")},
                                   {KEEPSAKE_LAYOUT, job, 2, "third", document_of("{\"c\": 3}")}};
    for (int i = 0; i < 3; i++) {
        MUST(workshop, keepsake_put(store, &layouts[i], &ids[i], problems));
    }
    Keepsakes found;
    const KeepsakeSearch second = {.kind = KEEPSAKE_LAYOUT, .record = job, .version = 2};
    MUST(workshop, keepsakes_find(store, &second, workshop->keep, &found, problems));
    assert_int_equal(found.count, 2);
    assert_int_equal(found.items[0].id, ids[2]); // the newest first
    assert_string_equal(found.items[0].name, "third");
    assert_string_equal(found.items[0].type, "application/json");
    assert_int_equal(found.items[0].bytes, 8);
    Document read;
    MUST(workshop, keepsake_read(store, ids[1], workshop->keep, &read, problems));
    assert_string_equal(read.data, "{\"b\": 2}");
    MUST(workshop, keepsake_put_away(store, ids[2], true, problems));
    MUST(workshop, keepsakes_find(store, &second, workshop->keep, &found, problems));
    assert_int_equal(found.count, 1);
    MUST(workshop, keepsake_put_away(store, ids[2], false, problems));
    MUST(workshop, keepsakes_find(store, &(KeepsakeSearch){.kind = KEEPSAKE_LAYOUT}, workshop->keep,
                                  &found, problems));
    assert_int_equal(found.count, 3);
    store_close(store);
}

static void pictures_are_told_by_their_first_bytes(void **state)
{
    (void)state;
    static const struct {
        const char *bytes;
        size_t count;
        const char *type;
    } cases[] = {{"\xff\xd8\xff\xe0", 4, "image/jpeg"},
                 {"\x89PNG\r\n\x1a\n....", 12, "image/png"},
                 {"RIFF....WEBPVP8 ", 16, "image/webp"},
                 {"\0\0\0\x18"
                  "ftypheic....",
                  16, "image/heic"},
                 {"II*\0....", 8, "image/tiff"},
                 {"MM\0*....", 8, "image/tiff"},
                 {"\xff\xd8", 2, NULL},
                 {"", 0, NULL},
                 {"<svg xmlns=\"http://www.w3.org/2000/svg\"/>", 41, NULL},
                 {"RIFF....WAVEfmt ", 16, NULL}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        const char *type =
            keepsake_type(KEEPSAKE_PICTURE, (Document){cases[i].bytes, cases[i].count});
        if (cases[i].type) {
            assert_non_null(type);
            assert_string_equal(type, cases[i].type);
        } else {
            assert_null(type);
        }
    }
}

static void what_is_kept_instead_stands_alone_under_its_name(void **state)
{
    Workshop *workshop = *state;
    Store *store = open_workshop(workshop);
    Problems *problems = workshop->problems;
    const int64_t job = begin_job(workshop, store);
    const NewKeepsake others[] = {{KEEPSAKE_LAYOUT, job, 1, "at hand", document_of("{}")},
                                  {KEEPSAKE_LAYOUT, job, 2, "by hand", document_of("{}")}};
    int64_t ids[2] = {0};
    for (int i = 0; i < 2; i++) {
        MUST(workshop, keepsake_put(store, &others[i], &ids[i], problems));
    }
    const NewKeepsake layout = {KEEPSAKE_LAYOUT, job, 2, "at hand", document_of("{\"a\": 1}")};
    int64_t last = ids[1]; // of another name: it stays
    for (int i = 0; i < 3; i++) {
        int64_t id = 0;
        MUST(workshop, keepsake_put_instead(store, &layout, last, &id, problems));
        assert_true(id > last); // no id is given twice
        last = id;
    }
    Keepsakes found;
    const KeepsakeSearch all = {.kind = KEEPSAKE_LAYOUT, .record = job, .away = true};
    MUST(workshop, keepsakes_find(store, &all, workshop->keep, &found, problems));
    assert_int_equal(found.count, 3); // of another version, of another name, and the last
    assert_int_equal(found.items[0].id, last);
    store_close(store);
}

static void a_picture_is_found_by_its_uid_and_goes_with_its_hide(void **state)
{
    Workshop *workshop = *state;
    Store *store = open_workshop(workshop);
    Problems *problems = workshop->problems;
    const int64_t job = begin_job(workshop, store);
    int64_t hide = 0;
    MUST(workshop, record_begin(store, RECORD_HIDE, document_of("{}"), &hide, problems));
    static const char png[] = "\x89PNG\r\n\x1a\n....";
    int64_t ids[2] = {0};
    for (int i = 0; i < 2; i++) {
        const NewKeepsake picture = {
            KEEPSAKE_PICTURE, job, 0, i == 0 ? "first" : "second", {png, sizeof png - 1}};
        MUST(workshop, keepsake_put(store, &picture, &ids[i], problems));
    }
    Keepsakes all;
    const KeepsakeSearch of_job = {.kind = KEEPSAKE_PICTURE, .record = job};
    MUST(workshop, keepsakes_find(store, &of_job, workshop->keep, &all, problems));
    assert_int_equal(all.count, 2);
    assert_string_not_equal(all.items[0].uid, all.items[1].uid);
    const KeepsakeSearch by_uid = {.kind = KEEPSAKE_PICTURE, .uid = all.items[1].uid};
    Keepsakes found;
    MUST(workshop, keepsakes_find(store, &by_uid, workshop->keep, &found, problems));
    assert_int_equal(found.count, 1);
    assert_string_equal(found.items[0].name, "first");
    const KeepsakeSearch by_id = {.kind = KEEPSAKE_PICTURE, .id = ids[1]};
    MUST(workshop, keepsakes_find(store, &by_id, workshop->keep, &found, problems));
    assert_int_equal(found.count, 1);
    assert_string_equal(found.items[0].name, "second");
    const KeepsakeSearch as_layout = {.kind = KEEPSAKE_LAYOUT, .uid = all.items[1].uid};
    MUST(workshop, keepsakes_find(store, &as_layout, workshop->keep, &found, problems));
    assert_int_equal(found.count, 0);
    MUST(workshop, keepsake_give(store, ids[0], hide, problems));
    MUST(workshop, keepsakes_find(store, &by_uid, workshop->keep, &found, problems));
    assert_int_equal(found.items[0].record, hide);
    assert_false(keepsake_give(store, ids[0], 4711, problems));
    assert_int_equal(last_problem(workshop).kind, PROBLEM_NOT_FOUND);
    assert_false(keepsake_give(store, ids[1] + 7, hide, problems));
    assert_int_equal(last_problem(workshop).kind, PROBLEM_NOT_FOUND);
    store_close(store);
}

static void so_many_pictures_are_kept(void **state)
{
    Workshop *workshop = *state;
    Store *store = open_workshop(workshop);
    Problems *problems = workshop->problems;
    run_sql(
        workshop->path,
        arena_text(workshop->keep,
                   "WITH RECURSIVE one (n) AS (SELECT 1 UNION ALL SELECT n + 1 FROM one WHERE "
                   "n < %d) INSERT INTO keepsake (uid, kind, name, type, kept_ms, sum, bytes) "
                   "SELECT printf('%%032x', n), 'picture', 'x', 'image/png', 1, 0, x'' FROM one",
                   PICTURES_MAX - 1));
    int64_t id = 0;
    const NewKeepsake picture = {KEEPSAKE_PICTURE, 0, 0, "the last", {"\xff\xd8\xff", 3}};
    MUST(workshop, keepsake_put(store, &picture, &id, problems));
    MUST(workshop, keepsake_put_away(store, id, true, problems));
    assert_false(keepsake_put(store, &picture, &id, problems));
    assert_true(says(last_problem(workshop).allowed, "2000"));
    const NewKeepsake offer = {KEEPSAKE_OFFER, 0, 0, "offer", document_of("{}")};
    MUST(workshop, keepsake_put(store, &offer, &id, problems));
    store_close(store);
}

static void what_may_not_be_kept_is_refused(void **state)
{
    Workshop *workshop = *state;
    Store *store = open_workshop(workshop);
    Problems *problems = workshop->problems;
    const int64_t job = begin_job(workshop, store);
    int64_t id = 0;
    char *large = arena_alloc(workshop->keep, OFFER_BYTES_MAX + 1, 1);
    const NewKeepsake refused[] = {
        {KEEPSAKE_PICTURE, job, 0, "no picture", document_of("hello, hello, hello")},
        {KEEPSAKE_OFFER, 0, 0, "large", {large, OFFER_BYTES_MAX + 1}},
        {KEEPSAKE_OFFER, 0, 0, "", document_of("{}")},
        {KEEPSAKE_OFFER, 0, 0, "two\nlines", document_of("{}")},
        {KEEPSAKE_LAYOUT, job, 0, "of no version", document_of("{}")}};
    for (size_t i = 0; i < sizeof refused / sizeof *refused; i++) {
        assert_false(keepsake_put(store, &refused[i], &id, problems));
        assert_int_equal(last_problem(workshop).kind, PROBLEM_BAD_INPUT);
    }
    const NewKeepsake lost[] = {{KEEPSAKE_LAYOUT, job, 3, "x", document_of("{}")},
                                {KEEPSAKE_OFFER, job + 1, 0, "x", document_of("{}")}};
    for (int i = 0; i < 2; i++) {
        assert_false(keepsake_put(store, &lost[i], &id, problems));
        assert_int_equal(last_problem(workshop).kind, PROBLEM_NOT_FOUND);
    }
    const NewKeepsake just = {KEEPSAKE_OFFER, 0, 0, "just", {large, OFFER_BYTES_MAX}};
    MUST(workshop, keepsake_put(store, &just, &id, problems));
    Document read;
    MUST(workshop, keepsake_read(store, id, workshop->keep, &read, problems));
    assert_int_equal(read.bytes, OFFER_BYTES_MAX);
    assert_false(keepsake_read(store, id + 1, workshop->keep, &read, problems));
    assert_false(keepsake_put_away(store, id + 1, true, problems));
    assert_int_equal(last_problem(workshop).kind, PROBLEM_NOT_FOUND);
    store_close(store);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_WORKSHOP(layouts_are_kept_by_the_version_that_was_laid),
        TEST_IN_WORKSHOP(what_is_kept_instead_stands_alone_under_its_name),
        TEST_IN_WORKSHOP(a_picture_is_found_by_its_uid_and_goes_with_its_hide),
        cmocka_unit_test(pictures_are_told_by_their_first_bytes),
        TEST_IN_WORKSHOP(so_many_pictures_are_kept),
        TEST_IN_WORKSHOP(what_may_not_be_kept_is_refused),
    };
    return cmocka_run_group_tests_name("store/keepsakes", tests, NULL, NULL);
}
