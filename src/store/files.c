#include "store/files.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

// No database is smaller: one page.
enum { DATABASE_BYTES_MIN = 512 };

// Looked at by name only: to open and close a database's file by hand would let go of the
// locks that this process holds on it, and to open a pipe would wait for its other end.
PathKind path_kind(const char *path, const char **word)
{
    struct stat about;
    if (stat(path, &about) != 0) {
        *word = strerror(errno);
        return errno == ENOENT ? PATH_ABSENT : PATH_REFUSED;
    }
    if (S_ISREG(about.st_mode)) {
        *word = about.st_size == 0 ? "it is empty" : "only its first bytes are left";
        return about.st_size >= DATABASE_BYTES_MIN ? PATH_FILE : PATH_SHORT;
    }
    *word = S_ISDIR(about.st_mode)    ? "a folder"
            : S_ISFIFO(about.st_mode) ? "a pipe"
                                      : "no regular file";
    return PATH_OTHER;
}

bool path_sync(const char *path)
{
    const int file = open(path, O_RDONLY | O_CLOEXEC);
    if (file < 0) {
        return false;
    }
    const bool synced = fsync(file) == 0;
    const int reason = errno;
    (void)close(file);
    errno = reason;
    return synced;
}

const char *folder_of(const char *path, Arena *keep)
{
    const char *slash = strrchr(path, '/');
    if (!slash) {
        return ".";
    }
    return slash == path ? "/" : arena_text(keep, "%.*s", (int)(slash - path), path);
}

static bool put_new(const char *aside, const char *path)
{
    if (link(aside, path) == 0) {
        return true;
    }
    // Where there are no links: nearly as good.
    const bool linkless = errno == EPERM || errno == ENOTSUP || errno == ENOSYS;
    if (linkless && access(path, F_OK) == 0) {
        errno = EEXIST;
        return false;
    }
    return linkless && rename(aside, path) == 0;
}

bool path_put(const char *aside, const char *path, bool replace)
{
    bool put = path_sync(aside) && (replace ? rename(aside, path) == 0 : put_new(aside, path));
    int reason = errno;
    (void)unlink(aside);
    Arena *names = put ? arena_create("folder name", (size_t)1 << 20) : NULL;
    if (names) {
        put = path_sync(folder_of(path, names));
        reason = errno;
    }
    arena_destroy(names);
    errno = reason;
    return put;
}

static bool copy_bytes(int from, int to)
{
    static const size_t ROOM = (size_t)1 << 16;
    char data[1 << 16];
    for (;;) {
        const ssize_t got = read(from, data, ROOM);
        if (got == 0) {
            return fsync(to) == 0;
        }
        if (got < 0 && errno != EINTR) {
            return false;
        }
        for (ssize_t put = 0; put < got;) {
            const ssize_t step = write(to, data + put, (size_t)(got - put));
            if (step < 0 && errno != EINTR) {
                return false;
            }
            put += step > 0 ? step : 0;
        }
    }
}

bool path_copy(const char *from, const char *to)
{
    const int source = open(from, O_RDONLY | O_CLOEXEC);
    const int target = source < 0 ? -1 : open(to, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
    bool copied = target >= 0 && copy_bytes(source, target);
    int reason = errno;
    if (target >= 0 && close(target) != 0 && copied) {
        copied = false;
        reason = errno;
    }
    if (source >= 0) {
        (void)close(source);
    }
    if (!copied && target >= 0) {
        (void)unlink(to);
    }
    errno = reason;
    return copied;
}

const char *path_aside(const char *path, const char *word, Arena *keep)
{
    return arena_text(keep, "%s.%s-%ld", path, word, (long)getpid());
}

bool path_refuse(const char *path, const char *what, Problems *problems)
{
    const int reason = errno;
    return problems_say(problems, reason == ENOENT ? PROBLEM_NOT_FOUND : PROBLEM_SYSTEM, path,
                        "could not %s: %s", what, strerror(reason));
}
