#include "store/backup.h"

#include "store/damage.h"
#include "store/devices.h"
#include "store/files.h"

#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

enum { BACKUPS_LISTED = 1000 };

static const char *folder_path(const char *path, Arena *keep)
{
    return arena_text(keep, "%s.backups", path);
}

// `2026-11-25_162358_123`, in the time of Greenwich: names in their order are in that of time.
static const char *stamp_text(int64_t ms, Arena *keep)
{
    const time_t seconds = (time_t)(ms / 1000);
    struct tm parts = {0};
    (void)gmtime_r(&seconds, &parts);
    return arena_text(keep, "%04d-%02d-%02d_%02d%02d%02d_%03d", parts.tm_year + 1900,
                      parts.tm_mon + 1, parts.tm_mday, parts.tm_hour, parts.tm_min, parts.tm_sec,
                      (int)(ms % 1000));
}

// Days from 1970 to a day of the Gregorian calendar: the years since one 1 March count 365,
// every fourth 366, but for centuries; months from March on have 153 days in five.
static int64_t days_to(int year, int month, int day)
{
    const int64_t years = month <= 2 ? year - 1 : year;
    const int64_t months = (month + 9) % 12;
    return 365 * years + years / 4 - years / 100 + years / 400 + (153 * months + 2) / 5 + day - 1 -
           719468;
}

// The time in a backup's name. False when it is none of our names.
static bool read_stamp(const char *name, int64_t *ms)
{
    static const char form[] = "dddd-dd-dd_dddddd_ddd";
    int number[8] = {0}; // year, month, day, clock, thousandths
    int part = 0;
    for (size_t i = 0; i < sizeof form - 1; i++) {
        const bool digit = name[i] >= '0' && name[i] <= '9';
        if (form[i] == 'd' ? !digit : name[i] != form[i]) {
            return false;
        }
        if (digit) {
            number[part] = 10 * number[part] + name[i] - '0';
        } else {
            part++;
        }
    }
    const int clock = number[3];
    const int64_t seconds =
        (int64_t)(clock / 10000) * 3600 + (int64_t)(clock / 100 % 100) * 60 + clock % 100;
    *ms = (days_to(number[0], number[1], number[2]) * 86400 + seconds) * 1000 + number[4];
    return true;
}

static int newer_first(const void *a, const void *b)
{
    return strcmp(((const Backup *)b)->path, ((const Backup *)a)->path);
}

Backups backups_of(const char *path, Arena *keep)
{
    Backups backups = {.items = ARENA_ARRAY(keep, Backup, BACKUPS_LISTED)};
    const char *folder = folder_path(path, keep);
    DIR *entries = opendir(folder);
    const struct dirent *entry = NULL;
    while (entries && backups.count < BACKUPS_LISTED &&
           (entry = readdir(entries))) { // NOLINT(concurrency-mt-unsafe): a stream of our own
        const size_t length = strlen(entry->d_name);
        Backup backup = {0};
        struct stat about;
        if (length < 4 || strcmp(entry->d_name + length - 3, ".db") != 0 ||
            !read_stamp(entry->d_name, &backup.made_ms)) {
            continue;
        }
        backup.path = arena_text(keep, "%s/%s", folder, entry->d_name);
        backup.before_migration = strstr(entry->d_name, "-version-") != NULL;
        backup.bytes = stat(backup.path, &about) == 0 ? (size_t)about.st_size : 0;
        backups.items[backups.count++] = backup;
    }
    if (entries) {
        (void)closedir(entries);
    }
    qsort(backups.items, (size_t)backups.count, sizeof *backups.items, newer_first);
    return backups;
}

// Old ones go, of each sort by itself.
static void thin_out(const char *path, Arena *scratch)
{
    const Backups backups = backups_of(path, scratch);
    int kept[2] = {0, 0};
    for (int i = 0; i < backups.count; i++) {
        if (++kept[backups.items[i].before_migration] > BACKUPS_KEPT) {
            (void)unlink(backups.items[i].path);
        }
    }
}

// The library writes a copy that is whole and tidy, whatever others are doing meanwhile. Devices
// are left out: one that is put out later must not come in again with an old copy.
static bool write_copy(Store *store, const char *aside)
{
    Query query = query_begin(store, "VACUUM INTO ?1");
    query_text(&query, aside);
    return query_run(&query) && devices_left_out(store, aside);
}

bool backup_make(Store *store, Problems *problems)
{
    Arena *words = problems->keep;
    const char *folder = folder_path(store->path, words);
    if (mkdir(folder, 0777) != 0 && errno != EEXIST) {
        return path_refuse(folder, "make the folder of backups", problems);
    }
    int application = 0;
    int version = 0;
    if (!file_version(store, &application, &version)) {
        return store_refuse(store, "make a backup", problems);
    }
    const char *tail =
        version < STORE_VERSION ? arena_text(words, "-version-%d.db", version) : ".db";
    const char *path =
        arena_text(words, "%s/%s%s", folder, stamp_text(store_now_ms(store), words), tail);
    const char *aside = path_aside(path, "part", words);
    (void)unlink(aside);
    if (!write_copy(store, aside)) {
        (void)unlink(aside);
        return store_refuse(store, "make a backup", problems);
    }
    if (!path_put(aside, path, true)) {
        return path_refuse(path, "make a backup", problems);
    }
    thin_out(store->path, words);
    return true;
}

bool file_is_good(const char *path, Problems *problems)
{
    Store *looked = store_look(path, problems);
    store_close(looked);
    return looked != NULL;
}

bool backup_newest_good(const char *path, Arena *keep, Backup *backup)
{
    const Backups backups = backups_of(path, keep);
    for (int i = 0; i < backups.count; i++) {
        const ArenaMark mark = arena_mark(keep);
        const bool good = file_is_good(backups.items[i].path, problems_in(keep));
        arena_rewind(keep, mark);
        if (good) {
            *backup = backups.items[i];
            backup->good = true;
            return true;
        }
    }
    return false;
}

// One of the files that a workshop file consists of; that it is not there is fine.
static bool move_part(const char *from, const char *to, const char *tail, Arena *scratch)
{
    return rename(arena_text(scratch, "%s%s", from, tail), arena_text(scratch, "%s%s", to, tail)) ==
               0 ||
           errno == ENOENT;
}

// A file and what belongs to it, all or nothing: a damaged file's log must not be taken for the
// backup's. The reason for a failure is in errno.
static bool move_whole(const char *from, const char *to, Arena *scratch)
{
    static const char *const tails[] = {"", "-wal", "-shm"};
    for (int i = 0; i < 3; i++) {
        if (!move_part(from, to, tails[i], scratch)) {
            const int reason = errno;
            while (i-- > 0) {
                (void)move_part(to, from, tails[i], scratch);
            }
            errno = reason;
            return false;
        }
    }
    return true;
}

static bool put_back(const char *path, const Backup *backup, Arena *keep, const char **aside,
                     Problems *problems)
{
    const char *copy = path_aside(path, "restored", problems->keep);
    (void)unlink(copy);
    if (!path_copy(backup->path, copy)) {
        return path_refuse(copy, "copy the backup", problems);
    }
    struct timespec now;
    (void)clock_gettime(CLOCK_REALTIME, &now);
    const int64_t now_ms = (int64_t)now.tv_sec * 1000 + now.tv_nsec / 1000000;
    *aside = arena_text(keep, "%s.damaged-%s", path, stamp_text(now_ms, keep));
    if (!move_whole(path, *aside, problems->keep)) {
        const int reason = errno;
        (void)unlink(copy);
        errno = reason;
        return path_refuse(path, "move the damaged file away", problems);
    }
    if (path_put(copy, path, false)) {
        return true;
    }
    const int reason = errno;
    (void)move_whole(*aside, path, problems->keep);
    errno = reason;
    return path_refuse(path, "put the backup in its place", problems);
}

bool backup_restore(const char *path, const Backup *backup, Arena *keep, const char **aside,
                    Problems *problems)
{
    if (!backup->good && !file_is_good(backup->path, problems)) {
        return false;
    }
    const char *folder = folder_path(path, problems->keep);
    const int held = open(folder, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    if (held < 0) {
        return path_refuse(folder, "open the folder of backups", problems);
    }
    bool done = false;
    if (flock(held, LOCK_EX | LOCK_NB) != 0) {
        (void)problems_add(problems, (Problem){.kind = PROBLEM_CONFLICT,
                                               .where = arena_copy_text(problems->keep, path),
                                               .found = "another program has the file open",
                                               .remedy = "close it there first"});
    } else {
        done = put_back(path, backup, keep, aside, problems);
    }
    (void)close(held);
    return done;
}
