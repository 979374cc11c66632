#include "store/backup.h"

#include "store/sql.h"

#include "workshop.h"

enum { DAY_MS = 24 * 3600 * 1000 };

static int64_t begin_job(Workshop *workshop, const char *name)
{
    Store *store = open_workshop(workshop);
    int64_t id = 0;
    MUST(workshop, record_begin(store, RECORD_JOB, job_document(name, "", workshop->keep), &id,
                                workshop->problems));
    store_close(store);
    return id;
}

// A backup made now, while the file is open.
static void make_backup(Workshop *workshop)
{
    Store *store = open_workshop(workshop);
    MUST(workshop, backup_make(store, workshop->problems));
    store_close(store);
}

static void damage_file(const char *path, Arena *keep)
{
    const Document file = read_bytes(path, keep);
    char *bytes = arena_alloc(keep, file.bytes, 1);
    memcpy(bytes, file.data, file.bytes);
    memset(bytes + 4096, 0x55, 4096); // the second page
    write_bytes(path, bytes, file.bytes);
}

static void a_damaged_file_offers_its_newest_good_backup(void **state)
{
    Workshop *workshop = *state;
    Arena *keep = workshop->keep;
    (void)begin_job(workshop, "First");
    make_backup(workshop);
    workshop->now_ms += DAY_MS;
    const int64_t second = begin_job(workshop, "Second");
    make_backup(workshop);
    workshop->now_ms += DAY_MS;
    make_backup(workshop);
    const Backups backups = backups_of(workshop->path, keep);
    assert_int_equal(backups.count, 3);
    assert_true(backups.items[0].made_ms > backups.items[1].made_ms + DAY_MS / 2);
    damage_file(backups.items[0].path, keep); // the newest is not good itself
    damage_file(workshop->path, keep);
    const StoreOptions options = workshop_options(workshop);
    assert_null(store_open(workshop->path, &options, workshop->problems));
    assert_true(says(last_problem(workshop).found, "damaged"));
    assert_true(says(last_problem(workshop).remedy, backups.items[1].path));

    Backup backup;
    assert_true(backup_newest_good(workshop->path, keep, &backup));
    assert_string_equal(backup.path, backups.items[1].path);
    const char *aside = NULL;
    MUST(workshop, backup_restore(workshop->path, &backup, keep, &aside, workshop->problems));
    assert_int_equal(access(aside, R_OK), 0); // the damaged one is kept
    Store *store = open_workshop(workshop);
    check_document(workshop, store, second, 0, job_document("Second", "", keep));
    store_close(store);
    Problems *again = problems_in(keep);
    assert_false(backup_restore(workshop->path, &backups.items[0], keep, &aside, again));
    assert_int_equal(access(workshop->path, R_OK), 0); // a bad backup puts nothing in its place
}

static void nothing_is_put_in_the_place_of_an_open_file(void **state)
{
    Workshop *workshop = *state;
    (void)begin_job(workshop, "First");
    make_backup(workshop);
    Backup backup;
    assert_true(backup_newest_good(workshop->path, workshop->keep, &backup));
    Store *store = open_workshop(workshop);
    const char *aside = NULL;
    assert_false(
        backup_restore(workshop->path, &backup, workshop->keep, &aside, workshop->problems));
    assert_int_equal(last_problem(workshop).kind, PROBLEM_CONFLICT);
    store_close(store);
    MUST(workshop,
         backup_restore(workshop->path, &backup, workshop->keep, &aside, workshop->problems));
}

// An empty workshop must not appear in the place of a lost one.
static void a_lost_file_is_not_begun_anew_while_backups_are_there(void **state)
{
    Workshop *workshop = *state;
    const int64_t id = begin_job(workshop, "First");
    make_backup(workshop);
    assert_int_equal(unlink(workshop->path), 0);
    const StoreOptions options = workshop_options(workshop);
    assert_null(store_open(workshop->path, &options, workshop->problems));
    assert_int_equal(last_problem(workshop).kind, PROBLEM_NOT_FOUND);
    Backup backup;
    const char *aside = NULL;
    assert_true(backup_newest_good(workshop->path, workshop->keep, &backup));
    MUST(workshop,
         backup_restore(workshop->path, &backup, workshop->keep, &aside, workshop->problems));
    Store *store = open_workshop(workshop);
    check_document(workshop, store, id, 0, job_document("First", "", workshop->keep));
    store_close(store);
}

static void without_backups_it_says_so(void **state)
{
    Workshop *workshop = *state;
    (void)begin_job(workshop, "First");
    damage_file(workshop->path, workshop->keep);
    const StoreOptions options = workshop_options(workshop);
    assert_null(store_open(workshop->path, &options, workshop->problems));
    assert_true(says(last_problem(workshop).remedy, "no good backup"));
    Backup backup;
    assert_false(backup_newest_good(workshop->path, workshop->keep, &backup));
}

// By the clock of files, since it is their times that are compared.
static void a_day_old_backup_is_followed_by_another_when_something_changed(void **state)
{
    Workshop *workshop = *state;
    (void)begin_job(workshop, "First");
    StoreOptions daily = workshop_options(workshop);
    daily.no_backups = false;
    struct stat about;
    assert_int_equal(stat(workshop->path, &about), 0);
    workshop->now_ms = (int64_t)about.st_mtime * 1000 - 2 * (int64_t)DAY_MS;
    static const int wanted[] = {1, 1, 2}; // the first; none within a day; another after it
    for (int i = 0; i < 3; i++) {
        Store *store = store_open(workshop->path, &daily, workshop->problems);
        MUST(workshop, store != NULL);
        store_close(store);
        assert_int_equal(backups_of(workshop->path, workshop->keep).count, wanted[i]);
        workshop->now_ms += DAY_MS * 3 / 4;
    }
    // Nothing has changed since: however old the backup is, it is enough.
    workshop->now_ms = (int64_t)about.st_mtime * 1000 + 10 * (int64_t)DAY_MS;
    make_backup(workshop);
    workshop->now_ms += 5 * (int64_t)DAY_MS;
    Store *store = store_open(workshop->path, &daily, workshop->problems);
    MUST(workshop, store != NULL);
    store_close(store);
    assert_int_equal(backups_of(workshop->path, workshop->keep).count, 3);
}

static void old_backups_go(void **state)
{
    Workshop *workshop = *state;
    (void)begin_job(workshop, "First");
    for (int i = 0; i < BACKUPS_KEPT + 3; i++) {
        make_backup(workshop);
        workshop->now_ms += DAY_MS;
    }
    const Backups backups = backups_of(workshop->path, workshop->keep);
    assert_int_equal(backups.count, BACKUPS_KEPT);
    assert_true(backups.items[0].made_ms > workshop->now_ms - 2 * (int64_t)DAY_MS);
}

static void check_version_1(Workshop *workshop, Store *store)
{
    Versions versions;
    MUST(workshop, history_list(store, 1, workshop->keep, &versions, workshop->problems));
    assert_int_equal(versions.count, 3);
    assert_string_equal(versions.items[2].name, "as measured");
    Record record;
    MUST(workshop, record_get(store, 1, workshop->keep, &record, workshop->problems));
    assert_int_equal(record.present, 2);
    assert_string_equal(record.title, "Stool of elm");
    int64_t present = 0;
    MUST(workshop, history_redo(store, 1, 2, &present, workshop->problems));
    assert_int_equal(present, 3);
    MUST(workshop, history_undo(store, 1, 3, &present, workshop->problems));
}

static void an_old_file_is_brought_up_to_date_after_a_backup(void **state)
{
    Workshop *workshop = *state;
    run_sql(workshop->path, read_bytes(VERSION_1_SQL, workshop->keep).data);
    Store *store = open_workshop(workshop);
    check_version_1(workshop, store);
    int64_t version = 0;
    assert_true(sql_int(store, "PRAGMA user_version", &version));
    assert_int_equal(version, STORE_VERSION);
    MUST(workshop, store_check(store, workshop->problems));
    store_close(store);
    const Backups backups = backups_of(workshop->path, workshop->keep);
    assert_int_equal(backups.count, 1);
    assert_true(backups.items[0].before_migration);
    // The backup is the old file still, and good: put back, it is brought up to date again.
    const char *aside = NULL;
    MUST(workshop, backup_restore(workshop->path, &backups.items[0], workshop->keep, &aside,
                                  workshop->problems));
    store = open_workshop(workshop);
    check_version_1(workshop, store);
    store_close(store);
}

// Without a backup the old file stays the old file.
static void no_backup_no_migration(void **state)
{
    Workshop *workshop = *state;
    run_sql(workshop->path, read_bytes(VERSION_1_SQL, workshop->keep).data);
    const Document before = read_bytes(workshop->path, workshop->keep);
    const char *folder = arena_text(workshop->keep, "%s.backups", workshop->path);
    write_bytes(folder, "in the way", 10);
    const StoreOptions options = workshop_options(workshop);
    assert_null(store_open(workshop->path, &options, workshop->problems));
    assert_true(says(last_problem(workshop).found, "folder of backups"));
    const Document after = read_bytes(workshop->path, workshop->keep);
    assert_int_equal(before.bytes, after.bytes);
    assert_memory_equal(before.data, after.data, before.bytes);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_WORKSHOP(a_damaged_file_offers_its_newest_good_backup),
        TEST_IN_WORKSHOP(nothing_is_put_in_the_place_of_an_open_file),
        TEST_IN_WORKSHOP(a_lost_file_is_not_begun_anew_while_backups_are_there),
        TEST_IN_WORKSHOP(without_backups_it_says_so),
        TEST_IN_WORKSHOP(a_day_old_backup_is_followed_by_another_when_something_changed),
        TEST_IN_WORKSHOP(old_backups_go),
        TEST_IN_WORKSHOP(an_old_file_is_brought_up_to_date_after_a_backup),
        TEST_IN_WORKSHOP(no_backup_no_migration),
    };
    return cmocka_run_group_tests_name("store/backup", tests, NULL, NULL);
}
