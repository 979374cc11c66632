#include "store/exchange.h"

#include "store/damage.h"
#include "store/devices.h"
#include "store/files.h"
#include "store/merge.h"
#include "store/schema.h"
#include "store/versions.h"

#include <errno.h>
#include <sys/stat.h>
#include <unistd.h>

// Ids and numbers only: documents go one by one.
static const size_t MERGE_BYTES = (size_t)1 << 30;

static bool is_own_file(const Store *store, const char *path)
{
    struct stat own;
    struct stat other;
    return stat(store->path, &own) == 0 && stat(path, &other) == 0 && own.st_dev == other.st_dev &&
           own.st_ino == other.st_ino;
}

// Ends a merge's change, telling what either file's failure was.
static bool end_merge(Merge *merge, bool good, const char *what)
{
    if (!good && merge->from->failure != SQLITE_OK) {
        (void)store_refuse(merge->from, "read it", merge->problems);
    }
    return change_close(merge->to, good, what, merge->problems);
}

// The jobs, what lies on their tables, what they cut and what that left.
static bool gather(Store *store, const int64_t *jobs, int count, Merge *merge)
{
    int64_t *wanted = NULL;
    int room = 0;
    int found = 0;
    for (int i = 0; i < count; i++) {
        Query query = query_begin(
            store,
            "SELECT id FROM record WHERE id = ?1 AND kind = 'job' "
            "UNION SELECT hide FROM on_table WHERE job = ?1 "
            "UNION SELECT hide FROM cut WHERE job = ?1 "
            "UNION SELECT remnant.hide FROM remnant JOIN cut ON cut.id = cut WHERE job = ?1");
        query_int(&query, jobs[i]);
        bool job_found = false;
        while (query_row(&query)) {
            wanted = arena_room(merge->keep, wanted, found, &room, sizeof *wanted);
            wanted[found++] = query_get_int(&query, 0);
            job_found = job_found || wanted[found - 1] == jobs[i];
        }
        if (!query_end(&query)) {
            return store_refuse(store, "read it", merge->problems);
        }
        if (!job_found) {
            return store_missing(store, merge->problems, "there is no job %lld",
                                 (long long)jobs[i]);
        }
    }
    merge->wanted = wanted;
    merge->wanted_count = found;
    return true;
}

static bool merge_jobs(Merge *merge, const int64_t *jobs, int count)
{
    // One view of the workshop, whatever others are saving meanwhile.
    if (!sql_run(merge->from, "BEGIN")) {
        return store_refuse(merge->from, "read it", merge->problems);
    }
    const bool good = gather(merge->from, jobs, count, merge) && change_begin(merge->to) &&
                      schema_bring(merge->to, 0, STORE_VERSION) && merge_all(merge);
    const bool written = end_merge(merge, good, "export");
    return (sql_run(merge->from, "ROLLBACK") ||
            store_refuse(merge->from, "read it", merge->problems)) &&
           written;
}

static bool fill_export(Store *store, Store *target, const int64_t *jobs, int count,
                        Problems *problems)
{
    if (!store_connect(target, target->path, SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE)) {
        return store_refuse(target, "make it", problems);
    }
    Merge merge = {.from = store, .to = target, .problems = problems};
    merge.keep = arena_create("export", MERGE_BYTES);
    if (!merge.keep) {
        return store_fails(target, SQLITE_NOMEM) || store_refuse(target, "export", problems);
    }
    const bool filled = merge_jobs(&merge, jobs, count);
    arena_destroy(merge.keep);
    return filled;
}

static bool export_all(Store *store, const char *aside, Problems *problems)
{
    Query query = query_begin(store, "VACUUM INTO ?1");
    query_text(&query, aside);
    return (query_run(&query) && devices_left_out(store, aside)) ||
           store_refuse(store, "export", problems);
}

static bool export_jobs(Store *store, const char *aside, const int64_t *jobs, int count,
                        Problems *problems)
{
    Store *target = store_create(aside, NULL);
    if (!target) {
        return store_fails(store, SQLITE_NOMEM) || store_refuse(store, "export", problems);
    }
    const bool filled = fill_export(store, target, jobs, count, problems);
    store_close(target);
    return filled;
}

bool store_export(Store *store, const char *path, const int64_t *jobs, int count,
                  Problems *problems)
{
    if (is_own_file(store, path)) {
        return problems_add(problems, (Problem){.kind = PROBLEM_BAD_INPUT,
                                                .where = arena_copy_text(problems->keep, path),
                                                .found = "is the workshop file itself",
                                                .remedy = "name another file to export to"});
    }
    const char *aside = path_aside(path, "part", problems->keep);
    (void)unlink(aside);
    const bool written = count > 0 ? export_jobs(store, aside, jobs, count, problems)
                                   : export_all(store, aside, problems);
    if (!written) {
        (void)unlink(aside);
        return false;
    }
    return path_put(aside, path, true) || path_refuse(path, "export", problems);
}

// A copy that nobody else can change, in a file that goes when it is closed; brought up to
// date there, so that what is imported is left as it is.
static bool copy_in(const char *path, Store *copy, Problems *problems)
{
    Store *source = store_create(path, NULL);
    if (!source) {
        return store_fails(copy, SQLITE_NOMEM) || store_refuse(copy, "read it", problems);
    }
    bool good = store_connect(source, path, SQLITE_OPEN_READONLY) &&
                store_connect(copy, "", SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE);
    if (good) {
        sqlite3_backup *backup = sqlite3_backup_init(copy->db, "main", source->db, "main");
        const int code = backup ? sqlite3_backup_step(backup, -1) : SQLITE_ERROR;
        (void)sqlite3_backup_finish(backup);
        good = code == SQLITE_DONE || store_fails(source, code);
    }
    if (!good) {
        Store *failed = source->failure != SQLITE_OK ? source : copy;
        (void)store_refuse(failed, "read it", problems);
    }
    store_close(source);
    return good;
}

static bool open_copy(const char *path, Store *copy, Problems *problems)
{
    int version = 0;
    bool damage = false;
    if (!copy_in(path, copy, problems) || !file_identify(copy, &version, problems) ||
        !damage_none(copy, version, problems, &damage)) {
        return false;
    }
    const bool brought =
        change_begin(copy) && change_end(copy, schema_bring(copy, version, STORE_VERSION));
    return brought || store_refuse(copy, "bring it up to date", problems);
}

static bool import_from(Store *store, Store *copy, ImportReport *report, Problems *problems)
{
    Merge merge = {.from = copy, .to = store, .problems = problems};
    merge.keep = arena_create("import", MERGE_BYTES);
    if (!merge.keep) {
        return store_fails(store, SQLITE_NOMEM) || store_refuse(store, "import", problems);
    }
    bool good = change_begin(store) && merge_all(&merge);
    good = end_merge(&merge, good, "import");
    if (good) {
        *report = merge.report;
    }
    arena_destroy(merge.keep);
    return good;
}

bool store_import(Store *store, const char *path, ImportReport *report, Problems *problems)
{
    const char *word = NULL;
    const PathKind kind = path_kind(path, &word);
    if (kind != PATH_FILE) {
        return problems_add(
            problems,
            (Problem){.kind = kind == PATH_ABSENT ? PROBLEM_NOT_FOUND : PROBLEM_BAD_INPUT,
                      .where = arena_copy_text(problems->keep, path),
                      .found = kind == PATH_SHORT ? "is no workshop file"
                               : kind == PATH_OTHER
                                   ? arena_text(problems->keep, "is %s, no workshop file", word)
                                   : arena_text(problems->keep, "could not open it: %s", word)});
    }
    Store *copy = store_create(path, NULL);
    if (!copy) {
        return store_fails(store, SQLITE_NOMEM) || store_refuse(store, "import", problems);
    }
    const bool good = open_copy(path, copy, problems) && import_from(store, copy, report, problems);
    store_close(copy);
    return good;
}
