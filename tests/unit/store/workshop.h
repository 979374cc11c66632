// A folder for one test, with a workshop file in it, and jobs to put there.
#pragma once

#include "store/history.h"
#include "support/check.h"

#include <dirent.h>
#include <fcntl.h>
#include <sqlite3.h>
#include <stdlib.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

enum { WORKSHOP_PATH_MAX = 256 };

typedef struct Workshop {
    Arena *keep;
    Problems *problems;
    char folder[WORKSHOP_PATH_MAX];
    char path[WORKSHOP_PATH_MAX + 16];
    int64_t now_ms; ///< what the clock of its stores shows
} Workshop;

static inline int64_t workshop_clock(void *context)
{
    return ((Workshop *)context)->now_ms++;
}

static inline StoreOptions workshop_options(Workshop *workshop)
{
    return (StoreOptions){
        .wait_ms = 20000, .clock_ms = workshop_clock, .context = workshop, .no_backups = true};
}

static inline int make_workshop(void **state)
{
    Workshop *workshop = calloc(1, sizeof *workshop);
    const char *temporary = getenv("TMPDIR");
    if (!workshop) {
        return -1;
    }
    workshop->keep = arena_create("test", (size_t)1 << 30);
    workshop->problems = problems_in(workshop->keep);
    workshop->now_ms = 1764000000000; // 24 November 2025
    (void)snprintf(workshop->folder, sizeof workshop->folder, "%s/seatwright-XXXXXX",
                   temporary && strlen(temporary) < 200 ? temporary
                   : access("/dev/shm", W_OK) == 0      ? "/dev/shm" // no disk to wait for
                                                        : "/tmp");
    *state = workshop;
    if (!mkdtemp(workshop->folder)) {
        return -1;
    }
    (void)snprintf(workshop->path, sizeof workshop->path, "%s/workshop.db", workshop->folder);
    return 0;
}

static inline void remove_folder(const char *folder)
{
    (void)chmod(folder, 0700);
    DIR *entries = opendir(folder);
    const struct dirent *entry = NULL;
    while (entries && (entry = readdir(entries))) { // NOLINT(concurrency-mt-unsafe)
        char path[2 * WORKSHOP_PATH_MAX];
        const int length = snprintf(path, sizeof path, "%s/%s", folder, entry->d_name);
        if (strcmp(entry->d_name, ".") == 0 || strcmp(entry->d_name, "..") == 0 ||
            length >= (int)sizeof path) {
            continue;
        }
        if (unlink(path) != 0) {
            remove_folder(path); // NOLINT(misc-no-recursion): two deep
        }
    }
    if (entries) {
        (void)closedir(entries);
    }
    (void)rmdir(folder);
}

static inline int drop_workshop(void **state)
{
    Workshop *workshop = *state;
    remove_folder(workshop->folder);
    arena_destroy(workshop->keep);
    free(workshop);
    return 0;
}

#define TEST_IN_WORKSHOP(function)                                                                 \
    cmocka_unit_test_setup_teardown(function, make_workshop, drop_workshop)

/// Ends the test with the last problem's words when `good` is false.
#define MUST(workshop, good) must((workshop)->problems, (good), #good, __FILE__, __LINE__)

static inline void must(const Problems *problems, bool good, const char *what, const char *file,
                        int line)
{
    if (!good) {
        const Problem *last = problems->count > 0 ? &problems->items[problems->count - 1] : NULL;
        print_error("%s: %s\n", what, last ? last->found : "no reason told");
        _fail(file, line);
    }
}

/// Opens the workshop file; the test ends when that fails.
static inline Store *open_workshop(Workshop *workshop)
{
    const StoreOptions options = workshop_options(workshop);
    Store *store = store_open(workshop->path, &options, workshop->problems);
    MUST(workshop, store != NULL);
    return store;
}

static inline Document document_of(const char *text)
{
    return (Document){text, strlen(text)};
}

/// A small job of that name, with notes.
static inline Document job_document(const char *name, const char *notes, Arena *keep)
{
    return document_of(arena_text(
        keep,
        "{\n  \"seatwright\": 1,\n  \"name\": \"%s\",\n  \"notes\": \"%s\",\n  \"units\": \"in\",\n"
        "  \"seats\": [{\"name\": \"stool\", \"frame\": {\"shape\": \"round\", \"diameter\": 13},\n"
        "    \"board\": {\"thickness\": \"3/4\"}, \"padding\": {\"edge\": 1}}]\n}\n",
        name, notes));
}

/// A panel by itself, as a hide's document.
static inline Document hide_document(const char *name, Arena *keep)
{
    return document_of(arena_text(keep,
                                  "{\"seatwright\": 1, \"units\": \"mm\", \"hide\": {\"name\": "
                                  "\"%s\", \"form\": \"panel\", \"length\": 800, \"width\": 600}}",
                                  name));
}

static inline void check_document(Workshop *workshop, Store *store, int64_t record, int64_t number,
                                  Document wanted)
{
    Document found = {0};
    MUST(workshop, record_read(store, record, number, workshop->keep, &found, workshop->problems));
    assert_int_equal(found.bytes, wanted.bytes);
    assert_memory_equal(found.data, wanted.data, wanted.bytes);
}

/// What the last problem says, to look for words in.
static inline Problem last_problem(const Workshop *workshop)
{
    assert_true(workshop->problems->count > 0);
    return workshop->problems->items[workshop->problems->count - 1];
}

static inline bool says(const char *text, const char *words)
{
    return text && strstr(text, words) != NULL;
}

static inline void write_bytes(const char *path, const void *data, size_t bytes)
{
    const int file = open(path, O_WRONLY | O_CREAT | O_TRUNC, 0666);
    assert_true(file >= 0);
    assert_int_equal(write(file, data, bytes), bytes);
    assert_int_equal(close(file), 0);
}

static inline Document read_bytes(const char *path, Arena *keep)
{
    struct stat about;
    assert_int_equal(stat(path, &about), 0);
    char *data = arena_alloc(keep, (size_t)about.st_size + 1, 1);
    const int file = open(path, O_RDONLY);
    assert_true(file >= 0);
    assert_int_equal(read(file, data, (size_t)about.st_size), about.st_size);
    assert_int_equal(close(file), 0);
    return (Document){data, (size_t)about.st_size};
}

/// Changes a database by hand, without our rules.
static inline void run_sql(const char *path, const char *sql)
{
    sqlite3 *db = NULL;
    char *words = NULL;
    assert_int_equal(sqlite3_open(path, &db), SQLITE_OK);
    if (sqlite3_exec(db, sql, NULL, NULL, &words) != SQLITE_OK) {
        print_error("%s\n", words);
        fail();
    }
    assert_int_equal(sqlite3_close(db), SQLITE_OK);
}
