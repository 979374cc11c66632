#include "store/backup.h"
#include "store/keepsakes.h"
#include "store/sql.h"

#include "base/random.h"
#include "support/trials.h"
#include "workshop.h"

// A file with two versions of one job and a picture; closed.
static int64_t make_file(Workshop *workshop)
{
    Store *store = open_workshop(workshop);
    int64_t id = 0;
    int64_t present = 0;
    const Document first = job_document("Two stools", "first", workshop->keep);
    const Document second = job_document("Two stools", "second", workshop->keep);
    MUST(workshop, record_begin(store, RECORD_JOB, first, &id, workshop->problems));
    MUST(workshop, record_save(store, &(Save){id, 1, second, NULL}, &present, workshop->problems));
    char *picture = arena_alloc(workshop->keep, 20000, 1);
    memset(picture, 'p', 20000);
    memcpy(picture, "\xff\xd8\xff", 3);
    int64_t kept = 0;
    const NewKeepsake photo = {KEEPSAKE_PICTURE, id, 0, "photo", {picture, 20000}};
    MUST(workshop, keepsake_put(store, &photo, &kept, workshop->problems));
    store_close(store);
    return id;
}

static void refuses(Workshop *workshop, ProblemKind kind, const char *words)
{
    Problems *problems = problems_in(workshop->keep);
    const StoreOptions options = workshop_options(workshop);
    Store *store = store_open(workshop->path, &options, problems);
    assert_null(store);
    assert_int_equal(problems->count, 1);
    const Problem problem = problems->items[0];
    if (problem.kind != kind || !says(problem.found, words)) {
        print_error("%d: %s\n", problem.kind, problem.found);
        fail();
    }
    assert_string_equal(problem.where, workshop->path);
}

// The head of the file as SQLite's own description has it (sqlite.org/fileformat.html).
static void a_new_file_says_whose_it_is(void **state)
{
    Workshop *workshop = *state;
    store_close(open_workshop(workshop));
    const Document file = read_bytes(workshop->path, workshop->keep);
    assert_memory_equal(file.data, "SQLite format 3", 16);
    assert_memory_equal(file.data + 68, "Seat", 4);
    assert_int_equal(file.data[63], STORE_VERSION);
    assert_int_equal(file.data[18], 2); // WAL
    Store *store = open_workshop(workshop);
    assert_string_equal(store_path(store), workshop->path);
    int64_t value = 0;
    assert_true(sql_int(store, "PRAGMA synchronous", &value));
    assert_int_equal(value, 2); // FULL
    assert_true(sql_int(store, "PRAGMA foreign_keys", &value));
    assert_int_equal(value, 1);
    MUST(workshop, store_check(store, workshop->problems));
    store_close(store);
    store_close(NULL);
}

static void what_is_no_workshop_file_is_refused(void **state)
{
    Workshop *workshop = *state;
    assert_int_equal(mkdir(workshop->path, 0777), 0);
    refuses(workshop, PROBLEM_BAD_INPUT, "is a folder");
    assert_int_equal(rmdir(workshop->path), 0);
    assert_int_equal(mkfifo(workshop->path, 0666), 0);
    refuses(workshop, PROBLEM_BAD_INPUT, "is a pipe"); // and nobody waits for its other end
    assert_int_equal(unlink(workshop->path), 0);
    write_bytes(workshop->path, "", 0);
    refuses(workshop, PROBLEM_SYSTEM, "damaged: it is empty");
    char text[2000];
    memset(text, 'x', sizeof text);
    write_bytes(workshop->path, text, sizeof text);
    refuses(workshop, PROBLEM_SYSTEM, "the file is damaged");
    assert_int_equal(unlink(workshop->path), 0);
    run_sql(workshop->path, "PRAGMA application_id = 1196437808; CREATE TABLE other (a)");
    refuses(workshop, PROBLEM_BAD_INPUT, "another program (application id 0x47503130)");
    assert_int_equal(unlink(workshop->path), 0);
    run_sql(workshop->path, "CREATE TABLE other (a)");
    refuses(workshop, PROBLEM_BAD_INPUT, "another program (application id 0x00000000)");
    assert_int_equal(unlink(workshop->path), 0);
    (void)snprintf(workshop->path, sizeof workshop->path, "%s/no/folder.db", "/nowhere");
    refuses(workshop, PROBLEM_SYSTEM, "No such file");
}

static void a_newer_file_is_left_alone(void **state)
{
    Workshop *workshop = *state;
    (void)make_file(workshop);
    run_sql(workshop->path,
            arena_text(workshop->keep, "PRAGMA user_version = %d", STORE_VERSION + 1));
    const Document before = read_bytes(workshop->path, workshop->keep);
    refuses(workshop, PROBLEM_BAD_INPUT,
            arena_text(workshop->keep, "version %d; this program knows 1 to %d", STORE_VERSION + 1,
                       (int)STORE_VERSION));
    const Document after = read_bytes(workshop->path, workshop->keep);
    assert_int_equal(before.bytes, after.bytes);
    assert_memory_equal(before.data, after.data, before.bytes);
}

// Nothing in a file may run by itself, so nothing may stand there but our tables.
static void a_file_with_more_in_its_schema_is_refused(void **state)
{
    Workshop *workshop = *state;
    static const char *const more[] = {
        "CREATE TRIGGER t AFTER INSERT ON version BEGIN DELETE FROM record; END",
        "CREATE VIEW v AS SELECT * FROM version", "CREATE TABLE extra (a)",
        "ALTER TABLE record ADD COLUMN extra TEXT", "DROP INDEX keepsake_of"};
    for (size_t i = 0; i < sizeof more / sizeof *more; i++) {
        (void)make_file(workshop);
        run_sql(workshop->path, more[i]);
        refuses(workshop, PROBLEM_SYSTEM, "its tables are not the ones of its version");
        assert_int_equal(unlink(workshop->path), 0);
    }
}

static void check_all(Workshop *workshop, Store *store, int64_t id)
{
    check_document(workshop, store, id, 1, job_document("Two stools", "first", workshop->keep));
    check_document(workshop, store, id, 2, job_document("Two stools", "second", workshop->keep));
    Record record;
    MUST(workshop, record_get(store, id, workshop->keep, &record, workshop->problems));
    assert_string_equal(record.title, "Two stools");
}

// Property: with any bytes changed the file is refused, or what is in it reads as it was saved.
static void no_changed_byte_is_taken_for_what_was_saved(void **state)
{
    Workshop *workshop = *state;
    const int64_t id = make_file(workshop);
    const Document good = read_bytes(workshop->path, workshop->keep);
    const Trials trials = trials_wanted(TRIALS_OF(1500));
    uint64_t refused = 0;
    for (uint64_t trial = trials.first; trial < trials.end; trial++) {
        Random random = random_begin(7, trial, 0);
        const ArenaMark mark = arena_mark(workshop->keep);
        char *bytes = arena_alloc(workshop->keep, good.bytes, 1);
        memcpy(bytes, good.data, good.bytes);
        const int changes = 1 + random_below(&random, 3);
        for (int i = 0; i < changes; i++) {
            const size_t at = (size_t)random_below(&random, (int)good.bytes);
            bytes[at] = (char)(bytes[at] ^ (1 << random_below(&random, 8)));
        }
        write_bytes(workshop->path, bytes, good.bytes);
        Problems *problems = problems_in(workshop->keep);
        const StoreOptions options = workshop_options(workshop);
        Store *store = store_open(workshop->path, &options, problems);
        if (store) {
            check_all(workshop, store, id);
        } else {
            assert_int_equal(problems->count, 1);
            refused++;
        }
        store_close(store);
        arena_rewind(workshop->keep, mark);
    }
    assert_true(refused > (trials.end - trials.first) / 8); // the rest fell on room that is free
}

static void a_file_that_lost_its_end_is_refused_and_left_as_it_is(void **state)
{
    Workshop *workshop = *state;
    (void)make_file(workshop);
    const Document good = read_bytes(workshop->path, workshop->keep);
    for (size_t bytes = 1; bytes < good.bytes; bytes += 1013) {
        write_bytes(workshop->path, good.data, bytes);
        refuses(workshop, PROBLEM_SYSTEM, "the file is damaged");
        const Document left = read_bytes(workshop->path, workshop->keep);
        assert_int_equal(left.bytes, bytes);
        assert_memory_equal(left.data, good.data, bytes);
    }
}

// Runs `look` as somebody who may not write everything, as the superuser may.
static void as_nobody(Workshop *workshop, void (*look)(Workshop *workshop))
{
    const pid_t child = fork();
    assert_true(child >= 0);
    if (child == 0) {
        if (geteuid() == 0 && setuid(65534) != 0) {
            _exit(2);
        }
        look(workshop);
        _exit(0);
    }
    int status = 0;
    assert_int_equal(waitpid(child, &status, 0), child);
    assert_true(WIFEXITED(status));
    assert_int_equal(WEXITSTATUS(status), 0);
}

static void look_at_locked(Workshop *workshop)
{
    Problems *problems = problems_in(workshop->keep);
    const StoreOptions options = workshop_options(workshop);
    const bool refused = store_open(workshop->path, &options, problems) == NULL;
    if (!refused || problems->count != 1 || problems->items[0].kind != PROBLEM_SYSTEM ||
        !(says(problems->items[0].found, "Permission denied") ||
          says(problems->items[0].found, "cannot be written"))) {
        (void)fprintf(stderr, "%s\n", problems->count ? problems->items[0].found : "opened");
        _exit(1);
    }
}

static void a_read_only_file_or_folder_is_said_so_and_nothing_lost(void **state)
{
    Workshop *workshop = *state;
    const int64_t id = make_file(workshop);
    assert_int_equal(chmod(workshop->folder, 0555), 0); // the folder
    as_nobody(workshop, look_at_locked);
    assert_int_equal(chmod(workshop->folder, 0777), 0); // the file
    assert_int_equal(chmod(workshop->path, 0444), 0);
    as_nobody(workshop, look_at_locked);
    assert_int_equal(chmod(workshop->folder, 0555), 0); // a folder where none can be made
    char *end = strrchr(workshop->path, '/');
    memcpy(end, "/other.db", 10);
    as_nobody(workshop, look_at_locked);
    memcpy(end, "/workshop.db", 13);
    assert_int_equal(chmod(workshop->folder, 0755), 0);
    assert_int_equal(chmod(workshop->path, 0644), 0);
    Store *store = open_workshop(workshop);
    check_all(workshop, store, id);
    store_close(store);
}

static void one_who_writes_for_long_is_waited_for_and_then_named(void **state)
{
    Workshop *workshop = *state;
    const int64_t id = make_file(workshop);
    sqlite3 *other = NULL;
    assert_int_equal(sqlite3_open(workshop->path, &other), SQLITE_OK);
    assert_int_equal(sqlite3_exec(other, "BEGIN IMMEDIATE", NULL, NULL, NULL), SQLITE_OK);
    StoreOptions options = workshop_options(workshop);
    options.wait_ms = 1;
    Store *store = store_open(workshop->path, &options, workshop->problems);
    MUST(workshop, store != NULL); // reading goes on
    check_all(workshop, store, id);
    int64_t present = 0;
    const Save save = {id, 2, document_of("x"), NULL};
    assert_false(record_save(store, &save, &present, workshop->problems));
    assert_int_equal(last_problem(workshop).kind, PROBLEM_SYSTEM);
    assert_true(says(last_problem(workshop).found, "another program is writing"));
    assert_int_equal(sqlite3_close(other), SQLITE_OK);
    MUST(workshop, record_save(store, &save, &present, workshop->problems));
    store_close(store);
}

// A damaged table that is found only when it is read.
static void damage_is_told_by_reading_too(void **state)
{
    Workshop *workshop = *state;
    const int64_t id = make_file(workshop);
    run_sql(workshop->path, "UPDATE version SET document = x'00' WHERE number = 1; "
                            "UPDATE keepsake SET bytes = x'00'");
    refuses(workshop, PROBLEM_SYSTEM, "version 1 of \"Two stools\" is not as it was saved");
    StoreOptions options = workshop_options(workshop);
    options.trusted = true;
    Store *store = store_open(workshop->path, &options, workshop->problems);
    MUST(workshop, store != NULL);
    Document document = {0};
    assert_false(record_read(store, id, 1, workshop->keep, &document, workshop->problems));
    assert_true(says(last_problem(workshop).found, "damaged"));
    MUST(workshop, record_read(store, id, 2, workshop->keep, &document, workshop->problems));
    assert_false(keepsake_read(store, 1, workshop->keep, &document, workshop->problems));
    assert_true(says(last_problem(workshop).found, "damaged"));
    store_close(store);
}

// The published values of the checksum: Fowler, Noll and Vo's own list for FNV-1a, 64 bits.
static void checksums_are_those_of_the_published_list(void **state)
{
    (void)state;
    assert_true((uint64_t)sum_of(document_of("")) == 0xcbf29ce484222325U);
    assert_true((uint64_t)sum_of(document_of("a")) == 0xaf63dc4c8601ec8cU);
    assert_true((uint64_t)sum_of(document_of("foobar")) == 0x85944171f73967e8U);
    assert_true(sum_more(sum_of(document_of("foo")), document_of("bar")) ==
                sum_of(document_of("foobar")));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_WORKSHOP(a_new_file_says_whose_it_is),
        TEST_IN_WORKSHOP(what_is_no_workshop_file_is_refused),
        TEST_IN_WORKSHOP(a_newer_file_is_left_alone),
        TEST_IN_WORKSHOP(a_file_with_more_in_its_schema_is_refused),
        TEST_IN_WORKSHOP(no_changed_byte_is_taken_for_what_was_saved),
        TEST_IN_WORKSHOP(a_file_that_lost_its_end_is_refused_and_left_as_it_is),
        TEST_IN_WORKSHOP(a_read_only_file_or_folder_is_said_so_and_nothing_lost),
        TEST_IN_WORKSHOP(one_who_writes_for_long_is_waited_for_and_then_named),
        TEST_IN_WORKSHOP(damage_is_told_by_reading_too),
        cmocka_unit_test(checksums_are_those_of_the_published_list),
    };
    return cmocka_run_group_tests_name("store/open", tests, NULL, NULL);
}
