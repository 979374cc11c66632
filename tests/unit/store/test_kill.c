// Programs that end at any moment: killed, out of room, or two at once.
#include "store/backup.h"
#include "store/exchange.h"
#include "store/hides.h"

#include "base/random.h"
#include "support/trials.h"
#include "workshop.h"

#include <signal.h>
#include <sys/resource.h>
#include <time.h>

enum { KILLS = 220 };

// One step that the child has been promised is on the disk.
typedef struct Promise {
    int64_t job;
    int64_t present; ///< the version that the job stands at now
    int64_t made;    ///< the version that was added; 0: none
    int text;        ///< which document that is
} Promise;

static Document numbered(int text, Arena *keep)
{
    return job_document("Killed", arena_text(keep, "edit %d", text), keep);
}

static void promise(int pipe_end, Promise made)
{
    if (write(pipe_end, &made, sizeof made) != (ssize_t)sizeof made) {
        _exit(3);
    }
}

// One random step on a job; what came of it is promised over the pipe.
static bool take_step(Workshop *workshop, Store *store, int64_t job, Random *random, int pipe_end)
{
    Problems *problems = problems_in(workshop->keep);
    Record record;
    int64_t present = 0;
    if (!record_get(store, job, workshop->keep, &record, problems)) {
        return false;
    }
    const int choice = random_below(random, 20);
    const int text = random_below(random, 1 << 30);
    bool done = true;
    int64_t made = 0;
    if (choice < 12) {
        const Save save = {job, record.present, numbered(text, workshop->keep), NULL};
        done = record_save(store, &save, &present, problems);
        made = present;
    } else if (choice < 15) {
        done = history_undo(store, job, record.present, &present, problems) ||
               problems->items[0].kind == PROBLEM_NOT_FOUND;
    } else if (choice < 18) {
        done = history_redo(store, job, record.present, &present, problems) ||
               problems->items[0].kind == PROBLEM_NOT_FOUND;
    } else if (choice < 19) {
        present = record.present;
        done = backup_make(store, problems);
    } else {
        present = record.present;
        ImportReport report;
        const char *path = arena_text(workshop->keep, "%s/export.db", workshop->folder);
        done = store_export(store, path, &job, 1, problems) &&
               store_import(store, path, &report, problems);
    }
    if (done) {
        promise(pipe_end, (Promise){job, present, made, text});
    }
    return done;
}

// The child: opens the file, begins a job when there is none, and edits until it is killed.
static void edit_until_killed(Workshop *workshop, int round, int pipe_end)
{
    StoreOptions options = workshop_options(workshop);
    Store *store = store_open(workshop->path, &options, workshop->problems);
    Random random = random_begin(99, (uint64_t)round, 0);
    Records jobs;
    if (!store || !records_find(store, &(RecordSearch){.kind = RECORD_JOB}, workshop->keep, &jobs,
                                workshop->problems)) {
        _exit(2);
    }
    int64_t job = jobs.count > 0 ? jobs.items[0].id : 0;
    if (job == 0) {
        if (!record_begin(store, RECORD_JOB, numbered(round, workshop->keep), &job,
                          workshop->problems)) {
            _exit(2);
        }
        promise(pipe_end, (Promise){job, 1, 1, round});
    }
    for (;;) {
        const ArenaMark mark = arena_mark(workshop->keep);
        if (!take_step(workshop, store, job, &random, pipe_end)) {
            _exit(2);
        }
        arena_rewind(workshop->keep, mark);
    }
}

// All promises of a child, until its end of the pipe is closed.
static int read_promises(int pipe_end, Promise *promises, int room)
{
    int count = 0;
    while (count < room &&
           read(pipe_end, &promises[count], sizeof *promises) == (ssize_t)sizeof *promises) {
        count++;
    }
    return count;
}

static void sleep_us(int64_t us)
{
    const struct timespec pause = {.tv_sec = us / 1000000, .tv_nsec = us % 1000000 * 1000};
    (void)nanosleep(&pause, NULL);
}

// The present version is the one promised last, or one step of the step that was not promised.
static void check_present(Workshop *workshop, Store *store, Promise last)
{
    Versions versions;
    MUST(workshop, history_list(store, last.job, workshop->keep, &versions, workshop->problems));
    Record record;
    MUST(workshop, record_get(store, last.job, workshop->keep, &record, workshop->problems));
    if (record.present == last.present || last.present == 0) {
        return;
    }
    const Version *promised = &versions.items[versions.count - last.present];
    assert_int_equal(promised->number, last.present);
    const Version *present = &versions.items[versions.count - record.present];
    assert_true(promised->base == present->number || present->base == promised->number);
}

static void nothing_that_was_promised_is_lost_however_often_it_is_killed(void **state)
{
    Workshop *workshop = *state;
    enum { ROOM = 20000 };
    int64_t promised = 0;
    const Trials rounds = trials_wanted(KILLS);
    for (uint64_t round = rounds.first; round < rounds.end; round++) {
        const ArenaMark mark = arena_mark(workshop->keep);
        Promise *promises = ARENA_ARRAY(workshop->keep, Promise, ROOM);
        if (round % 20 == 0) { // the making of the file is killed as well
            const char *folder = arena_text(workshop->keep, "%s.backups", workshop->path);
            remove_folder(folder);
            static const char *const tails[] = {"", "-wal", "-shm"};
            for (int i = 0; i < 3; i++) {
                (void)unlink(arena_text(workshop->keep, "%s%s", workshop->path, tails[i]));
            }
        }
        int ends[2];
        assert_int_equal(pipe(ends), 0);
        const pid_t child = fork();
        assert_true(child >= 0);
        if (child == 0) {
            (void)close(ends[0]);
            edit_until_killed(workshop, (int)round, ends[1]);
        }
        (void)close(ends[1]);
        Random random = random_begin(98, round, 0);
        // After so many promises and a moment more, so that a slow machine gets as far.
        const int wanted = round % 4 == 0 ? 0 : random_below(&random, 12);
        int count = read_promises(ends[0], promises, wanted);
        sleep_us(random_below(&random, 4000));
        assert_int_equal(kill(child, SIGKILL), 0);
        int status = 0;
        assert_int_equal(waitpid(child, &status, 0), child);
        assert_true(WIFSIGNALED(status)); // not by itself: then it would have met a refusal
        count += read_promises(ends[0], promises + count, ROOM - count);
        (void)close(ends[0]);
        promised += count;

        Store *store = open_workshop(workshop); // which checks all of it
        for (int i = 0; i < count; i++) {
            if (promises[i].made) {
                check_document(workshop, store, promises[i].job, promises[i].made,
                               numbered(promises[i].text, workshop->keep));
            }
        }
        if (count > 0) {
            check_present(workshop, store, promises[count - 1]);
        }
        store_close(store);
        arena_rewind(workshop->keep, mark);
    }
    const int64_t kills = (int64_t)(rounds.end - rounds.first);
    print_message("# %lld kills, %lld steps promised\n", (long long)kills, (long long)promised);
    assert_true(promised >= kills); // else the children did nothing
}

static void migrate_until_killed(Workshop *workshop)
{
    StoreOptions options = workshop_options(workshop);
    Store *store = store_open(workshop->path, &options, workshop->problems);
    _exit(store ? 0 : 2);
}

static void a_killed_migration_leaves_the_old_file_or_the_new(void **state)
{
    Workshop *workshop = *state;
    const Document sql = read_bytes(VERSION_1_SQL, workshop->keep);
    const int rounds = TRIALS_OF(60);
    for (int round = 0; round < rounds; round++) {
        static const char *const tails[] = {"", "-wal", "-shm"};
        for (int i = 0; i < 3; i++) {
            (void)unlink(arena_text(workshop->keep, "%s%s", workshop->path, tails[i]));
        }
        run_sql(workshop->path, sql.data);
        const pid_t child = fork();
        if (child == 0) {
            migrate_until_killed(workshop);
        }
        Random random = random_begin(97, (uint64_t)round, 0);
        sleep_us(random_below(&random, 4000));
        (void)kill(child, SIGKILL);
        int status = 0;
        assert_int_equal(waitpid(child, &status, 0), child);
        assert_true(WIFSIGNALED(status) || WEXITSTATUS(status) == 0);
        Store *store = open_workshop(workshop);
        Record record;
        MUST(workshop, record_get(store, 1, workshop->keep, &record, workshop->problems));
        assert_int_equal(record.version_count, 3);
        assert_string_equal(record.title, "Stool of elm");
        store_close(store);
    }
}

enum { LINES_EACH = 60 };

// Adds lines to the one document, each to what stands there at the time.
static void add_lines(Workshop *workshop, int64_t job, char who)
{
    StoreOptions options = workshop_options(workshop);
    Store *store = store_open(workshop->path, &options, workshop->problems);
    if (!store) {
        _exit(2);
    }
    for (int line = 0; line < LINES_EACH;) {
        const ArenaMark mark = arena_mark(workshop->keep);
        Problems *problems = problems_in(workshop->keep);
        Record record;
        Document old;
        if (!record_get(store, job, workshop->keep, &record, problems) ||
            !record_read(store, job, record.present, workshop->keep, &old, problems)) {
            _exit(2);
        }
        const char *text = arena_text(workshop->keep, "%s%c%d\n", old.data, who, line);
        int64_t present = 0;
        if (record_save(store, &(Save){job, record.present, document_of(text), NULL}, &present,
                        problems)) {
            line++;
        } else if (problems->items[0].kind != PROBLEM_CONFLICT) {
            _exit(2);
        }
        arena_rewind(workshop->keep, mark);
    }
    store_close(store);
    _exit(0);
}

static void two_programs_that_edit_one_job_lose_nothing_of_each_other(void **state)
{
    Workshop *workshop = *state;
    Store *store = open_workshop(workshop);
    int64_t job = 0;
    MUST(workshop, record_begin(store, RECORD_JOB, document_of(""), &job, workshop->problems));
    store_close(store); // no handle is carried over into the children
    pid_t children[2];
    for (int i = 0; i < 2; i++) {
        children[i] = fork();
        if (children[i] == 0) {
            add_lines(workshop, job, (char)('a' + i));
        }
    }
    for (int i = 0; i < 2; i++) {
        int status = 0;
        assert_int_equal(waitpid(children[i], &status, 0), children[i]);
        assert_true(WIFEXITED(status));
        assert_int_equal(WEXITSTATUS(status), 0);
    }
    store = open_workshop(workshop);
    Document all;
    MUST(workshop, record_read(store, job, 0, workshop->keep, &all, workshop->problems));
    int found[2] = {0, 0};
    for (char *line = strtok((char *)(uintptr_t)all.data, "\n"); line; line = strtok(NULL, "\n")) {
        const int who = line[0] - 'a';
        assert_in_range(who, 0, 1);
        assert_int_equal(atoi(line + 1), found[who]); // NOLINT(cert-err34-c)
        found[who]++;
    }
    assert_int_equal(found[0], LINES_EACH);
    assert_int_equal(found[1], LINES_EACH);
    store_close(store);
}

// Saves until the system lets no file grow further, as on a full disk.
static void save_until_refused(Workshop *workshop, int64_t job, int pipe_end)
{
    const struct rlimit most = {600000, 600000};
    (void)signal(SIGXFSZ, SIG_IGN);
    StoreOptions options = workshop_options(workshop);
    Store *store = store_open(workshop->path, &options, workshop->problems);
    if (!store || setrlimit(RLIMIT_FSIZE, &most) != 0) {
        _exit(2);
    }
    char *large = arena_alloc(workshop->keep, 20001, 1);
    int64_t present = 1;
    for (int i = 0; i < 100; i++) {
        memset(large, 'a' + i % 26, 20000);
        Problems *problems = problems_in(workshop->keep);
        const Save save = {job, present, document_of(large), NULL};
        if (!record_save(store, &save, &present, problems)) {
            const bool told = problems->count == 1 && problems->items[0].kind == PROBLEM_SYSTEM &&
                              says(problems->items[0].found, "File too large") &&
                              says(problems->items[0].remedy, "unharmed");
            Document document;
            const bool readable =
                record_read(store, job, present, workshop->keep, &document, workshop->problems);
            _exit(told && readable ? 0 : 4);
        }
        promise(pipe_end, (Promise){job, present, present, i});
    }
    _exit(5); // never refused
}

static void a_file_that_may_not_grow_is_told_and_harms_nothing(void **state)
{
    Workshop *workshop = *state;
    Store *store = open_workshop(workshop);
    int64_t job = 0;
    MUST(workshop, record_begin(store, RECORD_JOB, document_of("0"), &job, workshop->problems));
    store_close(store);
    int ends[2];
    assert_int_equal(pipe(ends), 0);
    const pid_t child = fork();
    if (child == 0) {
        (void)close(ends[0]);
        save_until_refused(workshop, job, ends[1]);
    }
    (void)close(ends[1]);
    Promise promises[100];
    const int count = read_promises(ends[0], promises, 100);
    (void)close(ends[0]);
    int status = 0;
    assert_int_equal(waitpid(child, &status, 0), child);
    assert_true(WIFEXITED(status));
    assert_int_equal(WEXITSTATUS(status), 0);
    assert_in_range(count, 5, 99);
    store = open_workshop(workshop);
    char *large = arena_alloc(workshop->keep, 20001, 1);
    for (int i = 0; i < count; i++) {
        memset(large, 'a' + i % 26, 20000);
        check_document(workshop, store, job, promises[i].made, document_of(large));
    }
    store_close(store);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_WORKSHOP(nothing_that_was_promised_is_lost_however_often_it_is_killed),
        TEST_IN_WORKSHOP(a_killed_migration_leaves_the_old_file_or_the_new),
        TEST_IN_WORKSHOP(two_programs_that_edit_one_job_lose_nothing_of_each_other),
        TEST_IN_WORKSHOP(a_file_that_may_not_grow_is_told_and_harms_nothing),
    };
    return cmocka_run_group_tests_name("store/kill", tests, NULL, NULL);
}
