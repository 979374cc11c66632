// Whatever the disk refuses, and when: it is told, and what was there is there.
#include "store/backup.h"
#include "store/exchange.h"

#include "faulty_disk.h"
#include "workshop.h"

enum { REQUESTS_MAX = 2000 };

static int64_t begin_job(Workshop *workshop)
{
    Store *store = open_workshop(workshop);
    int64_t id = 0;
    int64_t present = 1;
    MUST(workshop, record_begin(store, RECORD_JOB, document_of("1"), &id, workshop->problems));
    for (int i = 2; i <= 3; i++) {
        const Save save = {id, i - 1, document_of(arena_text(workshop->keep, "%d", i)), NULL};
        MUST(workshop, record_save(store, &save, &present, workshop->problems));
    }
    store_close(store);
    return id;
}

static void remove_file(Workshop *workshop)
{
    static const char *const tails[] = {"", "-wal", "-shm"};
    for (int i = 0; i < 3; i++) {
        (void)unlink(arena_text(workshop->keep, "%s%s", workshop->path, tails[i]));
    }
    remove_folder(arena_text(workshop->keep, "%s.backups", workshop->path));
}

// What is tried on the broken disk. True: promised to be done.
typedef bool Trial(Workshop *workshop, int64_t job, Problems *problems);

static bool try_save(Workshop *workshop, int64_t job, Problems *problems)
{
    const StoreOptions options = workshop_options(workshop);
    Store *store = store_open(workshop->path, &options, problems);
    char *large = arena_alloc(workshop->keep, 30001, 1); // several pages
    memset(large, 'x', 30000);
    int64_t present = 0;
    const bool saved =
        store && record_save(store, &(Save){job, 3, document_of(large), NULL}, &present, problems);
    store_close(store);
    return saved;
}

static bool try_backup(Workshop *workshop, int64_t job, Problems *problems)
{
    (void)job;
    const StoreOptions options = workshop_options(workshop);
    Store *store = store_open(workshop->path, &options, problems);
    const bool made = store && backup_make(store, problems);
    store_close(store);
    return made;
}

static const char *export_path(Workshop *workshop)
{
    return arena_text(workshop->keep, "%s/export.db", workshop->folder);
}

static bool try_export(Workshop *workshop, int64_t job, Problems *problems)
{
    const StoreOptions options = workshop_options(workshop);
    Store *store = store_open(workshop->path, &options, problems);
    const bool made = store && store_export(store, export_path(workshop), &job, 1, problems);
    store_close(store);
    return made;
}

static bool try_import(Workshop *workshop, int64_t job, Problems *problems)
{
    (void)job;
    const StoreOptions options = workshop_options(workshop);
    Store *store = store_open(workshop->path, &options, problems);
    ImportReport report;
    const bool made = store && store_import(store, export_path(workshop), &report, problems);
    store_close(store);
    return made;
}

static void check_told(const Problems *problems)
{
    assert_true(problems->count > 0);
    for (int i = 0; i < problems->count; i++) {
        const Problem *problem = &problems->items[i];
        if (problem->kind != PROBLEM_SYSTEM || !problem->found || !problem->where) {
            print_error("%s\n", problem->found);
            fail();
        }
    }
}

static void check_kept(Workshop *workshop, int64_t job, Trial *trial, bool promised)
{
    Store *store = open_workshop(workshop);
    for (int i = 1; i <= 3; i++) {
        check_document(workshop, store, job, i, document_of(arena_text(workshop->keep, "%d", i)));
    }
    if (promised && trial == try_save) {
        Document document;
        MUST(workshop, record_read(store, job, 4, workshop->keep, &document, workshop->problems));
        assert_int_equal(document.bytes, 30000);
    }
    const Backups backups = backups_of(workshop->path, workshop->keep);
    if (trial == try_backup) {
        assert_true(!promised || backups.count == 1);
        Backup good;
        assert_int_equal(backup_newest_good(workshop->path, workshop->keep, &good),
                         backups.count > 0); // never half a one
    }
    store_close(store);
}

// Refuses the first request, then the second, until all that is asked succeeds.
static void break_everywhere(Workshop *workshop, Trial *trial, Fault fault)
{
    bool refused = true;
    int after = 1;
    for (; refused && after < REQUESTS_MAX; after++) {
        const ArenaMark mark = arena_mark(workshop->keep);
        const int64_t job = begin_job(workshop);
        if (trial == try_import) {
            MUST(workshop, try_export(workshop, job, workshop->problems));
            remove_file(workshop); // so that there is much to be taken in
            (void)begin_job(workshop);
        }
        Problems *problems = problems_in(workshop->keep);
        faulty_disk_break(fault, after);
        const bool promised = trial(workshop, job, problems);
        refused = faulty_disk_refused();
        faulty_disk_mend();
        assert_true(promised || refused);
        if (!promised) {
            check_told(problems);
        }
        check_kept(workshop, job, trial, promised);
        remove_file(workshop);
        arena_rewind(workshop->keep, mark);
    }
    assert_true(after > 2); // it was refused at least once
    assert_true(after < REQUESTS_MAX);
}

static void everywhere(void **state, Trial *trial)
{
    assert_true(faulty_disk_install());
    break_everywhere(*state, trial, FAULT_FULL);
    break_everywhere(*state, trial, FAULT_SYNC);
    break_everywhere(*state, trial, FAULT_ALL);
}

static void a_save_on_a_failing_disk(void **state)
{
    everywhere(state, try_save);
}

static void a_backup_on_a_failing_disk(void **state)
{
    everywhere(state, try_backup);
}

static void an_export_on_a_failing_disk(void **state)
{
    everywhere(state, try_export);
}

static void an_import_on_a_failing_disk(void **state)
{
    everywhere(state, try_import);
}

static void a_full_disk_is_called_full(void **state)
{
    Workshop *workshop = *state;
    assert_true(faulty_disk_install());
    const int64_t job = begin_job(workshop);
    Store *store = open_workshop(workshop);
    faulty_disk_break(FAULT_FULL, 1);
    int64_t present = 0;
    const Save save = {job, 3, document_of("4"), NULL};
    assert_false(record_save(store, &save, &present, workshop->problems));
    const Problem told = last_problem(workshop);
    assert_true(says(told.found, "could not save it: the disk is full"));
    assert_true(says(told.remedy, "make room"));
    faulty_disk_mend();
    MUST(workshop, record_save(store, &save, &present, workshop->problems)); // room was made
    assert_int_equal(present, 4);
    store_close(store);
}

// The file opens all the same, and says what could not be done.
static void no_room_for_a_daily_backup_is_a_doubt(void **state)
{
    Workshop *workshop = *state;
    assert_true(faulty_disk_install());
    const int64_t job = begin_job(workshop);
    StoreOptions options = workshop_options(workshop);
    options.no_backups = false;
    faulty_disk_break(FAULT_FULL, 1);
    Store *store = store_open(workshop->path, &options, workshop->problems);
    MUST(workshop, store != NULL);
    assert_true(faulty_disk_refused());
    faulty_disk_mend();
    assert_int_equal(workshop->problems->mistakes, 0);
    assert_int_equal(workshop->problems->doubts, 1);
    assert_true(says(last_problem(workshop).found, "could not make a backup: the disk is full"));
    check_document(workshop, store, job, 0, document_of("3"));
    store_close(store);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_WORKSHOP(a_save_on_a_failing_disk),
        TEST_IN_WORKSHOP(a_backup_on_a_failing_disk),
        TEST_IN_WORKSHOP(an_export_on_a_failing_disk),
        TEST_IN_WORKSHOP(an_import_on_a_failing_disk),
        TEST_IN_WORKSHOP(a_full_disk_is_called_full),
        TEST_IN_WORKSHOP(no_room_for_a_daily_backup_is_a_doubt),
    };
    return cmocka_run_group_tests_name("store/faults", tests, NULL, NULL);
}
