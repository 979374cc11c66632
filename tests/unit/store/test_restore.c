// Putting a backup back, whatever the system refuses on the way: all of it is done, or all
// stands as it was.
#include "store/backup.h"

#include "workshop.h"

#include <errno.h>

enum { STEPS_MAX = 100 };

// These stand in the place of the system's own for the module that is linked here.

static int refused_step; // 0: none
static int steps;

static bool refuses(void)
{
    const bool refused = ++steps == refused_step;
    errno = refused ? EIO : errno;
    return refused;
}

int rename(const char *from, const char *to)
{
    return refuses() ? -1 : renameat(AT_FDCWD, from, AT_FDCWD, to);
}

int link(const char *from, const char *to)
{
    return refuses() ? -1 : linkat(AT_FDCWD, from, AT_FDCWD, to, 0);
}

int fsync(int file)
{
    return refuses() ? -1 : fdatasync(file);
}

static const char *const tails[] = {"", "-wal", "-shm"};
enum { TAILS = 3 };

// A damaged file with its log, each part to be told from the others.
static void write_damaged(Workshop *workshop)
{
    for (int i = 0; i < TAILS; i++) {
        const char *bytes = arena_text(workshop->keep, "damaged%s", tails[i]);
        write_bytes(arena_text(workshop->keep, "%s%s", workshop->path, tails[i]), bytes,
                    strlen(bytes));
    }
}

static void check_damaged(Workshop *workshop, const char *path)
{
    for (int i = 0; i < TAILS; i++) {
        const Document part =
            read_bytes(arena_text(workshop->keep, "%s%s", path, tails[i]), workshop->keep);
        assert_string_equal(part.data, arena_text(workshop->keep, "damaged%s", tails[i]));
    }
}

static int files_in(const char *folder)
{
    int count = 0;
    DIR *entries = opendir(folder);
    assert_non_null(entries);
    while (readdir(entries)) { // NOLINT(concurrency-mt-unsafe)
        count++;
    }
    (void)closedir(entries);
    return count;
}

static void whatever_is_refused_the_file_stands_as_it_was(void **state)
{
    Workshop *workshop = *state;
    Store *store = open_workshop(workshop);
    int64_t id = 0;
    MUST(workshop, record_begin(store, RECORD_JOB, document_of("1"), &id, workshop->problems));
    MUST(workshop, backup_make(store, workshop->problems));
    store_close(store);
    write_damaged(workshop);
    Backup backup;
    assert_true(backup_newest_good(workshop->path, workshop->keep, &backup));
    const int before = files_in(workshop->folder);
    const char *aside = NULL;
    bool done = false;
    int failures = 0;
    for (int step = 1; !done && step < STEPS_MAX; step++) {
        Problems *problems = problems_in(workshop->keep);
        steps = 0;
        refused_step = step;
        done = backup_restore(workshop->path, &backup, workshop->keep, &aside, problems);
        refused_step = 0;
        if (!done) {
            failures++;
            assert_int_equal(problems->items[0].kind, PROBLEM_SYSTEM);
            assert_true(says(problems->items[0].found, strerror(EIO)));
            check_damaged(workshop, workshop->path);
            assert_int_equal(files_in(workshop->folder), before); // nothing half done is left
        }
    }
    // The copy is made lasting, three parts are moved, and the backup is put there, for good.
    assert_true(failures >= 6);
    assert_true(done);
    check_damaged(workshop, aside);
    store = open_workshop(workshop);
    check_document(workshop, store, id, 0, document_of("1"));
    store_close(store);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_WORKSHOP(whatever_is_refused_the_file_stands_as_it_was),
    };
    return cmocka_run_group_tests_name("store/restore", tests, NULL, NULL);
}
