#include "store/backup.h"
#include "store/damage.h"
#include "store/files.h"
#include "store/schema.h"

#include <errno.h>
#include <fcntl.h>
#include <stdlib.h>
#include <string.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

static const int64_t DAY_MS = (int64_t)24 * 3600 * 1000;

const char *store_path(const Store *store)
{
    return store->path;
}

int store_log_pages(const Store *store)
{
    return store->log_pages;
}

int store_tidy(Store *store)
{
    int pages = 0;
    int brought = 0;
    store->log_pages = 0;
    // A disk that refuses is told by the next save: nothing is lost by then.
    const int code =
        sqlite3_wal_checkpoint_v2(store->db, NULL, SQLITE_CHECKPOINT_PASSIVE, &pages, &brought);
    return code == SQLITE_OK && pages > brought ? pages - brought : 0;
}

void store_close(Store *store)
{
    if (!store) {
        return;
    }
    for (int i = 0; i < store->prepared_count; i++) {
        (void)sqlite3_finalize(store->prepared[i].statement);
    }
    (void)sqlite3_close(store->db);
    if (store->folder >= 0) {
        (void)close(store->folder);
    }
    arena_destroy(store->scratch);
    free(store->words);
    free(store->path);
    free(store);
}

static bool refuse(const char *path, ProblemKind kind, const char *found, const char *remedy,
                   Problems *problems)
{
    return problems_add(problems, (Problem){.kind = kind,
                                            .where = arena_copy_text(problems->keep, path),
                                            .found = found,
                                            .remedy = remedy});
}

// A new file is made aside and linked into place, so that no stop leaves half of one; if
// another program was quicker, its file is the one.
static bool make_file(const char *path, const StoreOptions *options, Problems *problems)
{
    Store *store = store_create(path, options);
    if (!store) {
        return refuse(path, PROBLEM_SYSTEM, "out of memory", NULL, problems);
    }
    const char *aside = path_aside(path, "new", store->scratch);
    (void)unlink(aside);
    bool made = store_connect(store, aside, SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE) &&
                change_begin(store) && change_end(store, schema_bring(store, 0, STORE_VERSION));
    if (!made) {
        (void)store_refuse(store, "make it", problems);
        (void)unlink(aside);
    } else if (!path_put(aside, path, false) && errno != EEXIST) {
        made = path_refuse(path, "make it", problems);
    }
    store_close(store);
    return made;
}

// Where backups lie there was a file once: to begin a new one would hide that it is gone.
static bool begin_file(const char *path, const StoreOptions *options, Problems *problems)
{
    const Backups backups = backups_of(path, problems->keep);
    return backups.count > 0
               ? refuse(path, PROBLEM_NOT_FOUND,
                        arena_text(problems->keep, "the file is gone, but not its backups (%s)",
                                   backups.items[0].path),
                        "`seatwright restore` puts the newest good backup in its place; to begin "
                        "anew, take the folder of backups away",
                        problems)
               : make_file(path, options, problems);
}

static bool find_file(const char *path, const StoreOptions *options, Problems *problems)
{
    const char *word = NULL;
    switch (path_kind(path, &word)) {
    case PATH_ABSENT:
        return begin_file(path, options, problems);
    case PATH_FILE:
        return true;
    case PATH_SHORT:
        return refuse(path, PROBLEM_SYSTEM,
                      arena_text(problems->keep, "the file is damaged: %s", word),
                      "`seatwright restore` puts the newest good backup in its place; to begin "
                      "anew, take the file away",
                      problems);
    case PATH_OTHER:
        return refuse(path, PROBLEM_BAD_INPUT,
                      arena_text(problems->keep, "is %s, no workshop file", word),
                      "name a file with --workshop", problems);
    case PATH_REFUSED:
        break;
    }
    return refuse(path, PROBLEM_SYSTEM, arena_text(problems->keep, "could not open it: %s", word),
                  NULL, problems);
}

bool file_version(Store *store, int *application, int *version)
{
    int64_t value = 0;
    if (!sql_int(store, "PRAGMA application_id", &value)) {
        return false;
    }
    *application = (int)value;
    if (!sql_int(store, "PRAGMA user_version", &value)) {
        return false;
    }
    *version = (int)value;
    return true;
}

// Whose file it is, and of which version.
bool file_identify(Store *store, int *version, Problems *problems)
{
    Arena *words = problems->keep;
    int application = 0;
    if (!file_version(store, &application, version)) {
        return store_refuse(store, "open it", problems);
    }
    if (application != STORE_APPLICATION_ID) {
        return refuse(store->path, PROBLEM_BAD_INPUT,
                      arena_text(words,
                                 "is the database of another program (application id 0x%08x), no "
                                 "workshop file",
                                 (unsigned)application),
                      "name another file with --workshop", problems);
    }
    if (*version < 1 || *version > STORE_VERSION) {
        return refuse(store->path, PROBLEM_BAD_INPUT,
                      arena_text(words,
                                 "is a workshop file of version %d; this program knows 1 to %d",
                                 *version, (int)STORE_VERSION),
                      "open it with a newer seatwright; it is left as it is", problems);
    }
    return true;
}

static bool migrate(Store *store, Problems *problems)
{
    int application = 0;
    int version = 0;
    // Another program may have been quicker: look again once nobody else can write.
    bool good = change_begin(store) && file_version(store, &application, &version);
    good = change_end(store, good && schema_bring(store, version, STORE_VERSION));
    return good || store_refuse(store, "bring it up to date", problems);
}

static bool use_log(Store *store, Problems *problems)
{
    Query query = query_begin(store, "PRAGMA journal_mode = WAL");
    const char *mode = query_row(&query) ? query_get_text(&query, 0, problems->keep) : "";
    if (!query_end(&query)) {
        return store_refuse(store, "open it for writing", problems);
    }
    return strcmp(mode, "wal") == 0 ||
           refuse(store->path, PROBLEM_SYSTEM,
                  arena_text(problems->keep, "no log can be kept beside it (%s)", mode),
                  "put it on a disk of this machine", problems);
}

// The backups' folder; locked as shared, so that nothing is put in the file's place while it
// is open.
static bool hold_folder(Store *store, Problems *problems)
{
    const char *path = arena_text(problems->keep, "%s.backups", store->path);
    if (mkdir(path, 0777) != 0 && errno != EEXIST) {
        return path_refuse(path, "make the folder of backups", problems);
    }
    store->folder = open(path, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    if (store->folder < 0) {
        return path_refuse(path, "open the folder of backups", problems);
    }
    if (flock(store->folder, LOCK_SH | LOCK_NB) != 0) {
        return refuse(store->path, PROBLEM_CONFLICT, "a backup is just being put in its place",
                      "try again", problems);
    }
    return true;
}

static bool connect_file(Store *store, Problems *problems)
{
    if (!store_connect(store, store->path, SQLITE_OPEN_READWRITE)) {
        return store_refuse(store, "open it", problems);
    }
    if (sqlite3_db_readonly(store->db, "main") == 1) {
        (void)store_fails(store, SQLITE_READONLY);
        return store_refuse(store, "open it", problems);
    }
    return true;
}

// Newer than the newest backup, which is old. There must be something in it to lose.
static bool wants_backup(Store *store, Arena *scratch)
{
    int64_t any = 0;
    if (!sql_int(store, "SELECT EXISTS (SELECT 1 FROM record)", &any) || !any) {
        return false;
    }
    const Backups backups = backups_of(store->path, scratch);
    int64_t newest_ms = 0;
    for (int i = 0; i < backups.count; i++) {
        newest_ms = backups.items[i].made_ms > newest_ms ? backups.items[i].made_ms : newest_ms;
    }
    if (store_now_ms(store) - newest_ms < DAY_MS) {
        return false;
    }
    const char *const paths[] = {store->path, arena_text(scratch, "%s-wal", store->path)};
    for (int i = 0; i < 2; i++) {
        struct stat about;
        if (stat(paths[i], &about) == 0 && (int64_t)about.st_mtime * 1000 > newest_ms) {
            return true;
        }
    }
    return false;
}

// Names the newest good backup in the problem that was added last.
static void offer_backup(const char *path, Problems *problems)
{
    Problem *problem = &problems->items[problems->count - 1];
    Backup backup;
    Arena *words = problems->keep;
    if (backup_newest_good(path, words, &backup)) {
        problem->remedy = arena_text(words,
                                     "`seatwright restore` puts the newest good backup in its "
                                     "place (%s) and keeps the damaged file beside it",
                                     backup.path);
    } else {
        problem->remedy = "there is no good backup beside it; keep the file, and look for a copy "
                          "elsewhere";
    }
}

// No room for a backup is no reason not to open the file.
static void back_up_daily(Store *store, Problems *problems)
{
    Problems *refused = problems_in(problems->keep);
    if (wants_backup(store, problems->keep) && !backup_make(store, refused)) {
        Problem doubt = refused->items[0];
        doubt.kind = PROBLEM_DOUBT;
        (void)problems_add(problems, doubt);
    }
}

static bool open_file(Store *store, bool *damage, Problems *problems)
{
    int version = 0;
    *damage = false;
    if (!connect_file(store, problems)) {
        return false;
    }
    int application = 0;
    *damage = !file_version(store, &application, &version) && store_failed_by_damage(store);
    if (!file_identify(store, &version, problems) || !hold_folder(store, problems) ||
        (!store->options.trusted && !damage_none(store, version, problems, damage))) {
        return false;
    }
    if (version < STORE_VERSION && !(backup_make(store, problems) && migrate(store, problems))) {
        return false;
    }
    if (!use_log(store, problems)) {
        return false;
    }
    if (!store->options.no_backups && !store->options.trusted) {
        back_up_daily(store, problems);
    }
    return true;
}

Store *store_open(const char *path, const StoreOptions *options, Problems *problems)
{
    const int before = problems->count;
    const char *word = NULL;
    bool damage = path_kind(path, &word) == PATH_SHORT;
    Store *store = NULL;
    if (find_file(path, options, problems)) {
        store = store_create(path, options);
        if (!store) {
            (void)refuse(path, PROBLEM_SYSTEM, "out of memory", NULL, problems);
        } else if (!open_file(store, &damage, problems)) {
            store_close(store);
            store = NULL;
        }
    }
    if (!store && damage && problems->count > before) {
        offer_backup(path, problems);
    }
    return store;
}

Store *store_look(const char *path, Problems *problems)
{
    const char *word = NULL;
    if (path_kind(path, &word) != PATH_FILE) {
        (void)refuse(path, PROBLEM_BAD_INPUT, "is no workshop file", NULL, problems);
        return NULL;
    }
    Store *store = store_create(path, NULL);
    if (!store) {
        (void)refuse(path, PROBLEM_SYSTEM, "out of memory", NULL, problems);
        return NULL;
    }
    int version = 0;
    bool damage = false;
    const bool opened = store_connect(store, path, SQLITE_OPEN_READONLY) ||
                        store_refuse(store, "open it", problems);
    if (!opened || !file_identify(store, &version, problems) ||
        !damage_none(store, version, problems, &damage)) {
        store_close(store);
        return NULL;
    }
    return store;
}
