#include "plan/files.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static bool refuse(Problems *problems, const char *path, const char *what, int reason)
{
    const ProblemKind kind = reason == ENOENT ? PROBLEM_NOT_FOUND : PROBLEM_SYSTEM;
    return problems_say(problems, kind, path, "could not %s: %s", what, strerror(reason));
}

static bool read_all(int file, const char *path, size_t limit, Arena *keep, const char **text,
                     size_t *bytes, Problems *problems)
{
    size_t room = 64 << 10;
    size_t length = 0;
    char *data = arena_alloc(keep, room + 1, 1);
    for (;;) {
        if (length == room) {
            char *larger = arena_alloc(keep, 2 * room + 1, 1);
            memcpy(larger, data, length);
            data = larger;
            room *= 2;
        }
        const ssize_t got = read(file, data + length, room - length);
        if (got < 0 && errno == EINTR) {
            continue;
        }
        if (got < 0) {
            return refuse(problems, path, "read it", errno);
        }
        if (got == 0) {
            break;
        }
        length += (size_t)got;
        if (length > limit) {
            return problems_add(
                problems,
                (Problem){.kind = PROBLEM_BAD_INPUT,
                          .where = arena_copy_text(problems->keep, path),
                          .found =
                              arena_text(problems->keep, "the file has more than %zu bytes", limit),
                          .allowed = arena_text(problems->keep, "up to %zu bytes", limit)});
        }
    }
    *text = data;
    *bytes = length;
    return true;
}

bool file_read(const char *path, size_t limit, Arena *keep, const char **text, size_t *bytes,
               Problems *problems)
{
    const bool standard = strcmp(path, "-") == 0;
    const int file = standard ? STDIN_FILENO : open(path, O_RDONLY | O_CLOEXEC);
    if (file < 0) {
        return refuse(problems, path, "open it", errno);
    }
    const bool done = read_all(file, path, limit, keep, text, bytes, problems);
    if (!standard) {
        (void)close(file);
    }
    return done;
}

static bool write_all(int file, const char *data, size_t bytes)
{
    while (bytes > 0) {
        const ssize_t put = write(file, data, bytes);
        if (put < 0 && errno == EINTR) {
            continue;
        }
        if (put < 0) {
            return false;
        }
        data += put;
        bytes -= (size_t)put;
    }
    return true;
}

// Where a file is written before it takes its name.
static const char *aside_of(const char *path, Arena *keep)
{
    return arena_text(keep, "%s.part%ld", path, (long)getpid());
}

bool file_try(const char *path, Problems *problems)
{
    const char *aside = aside_of(path, problems->keep);
    const int file = open(aside, O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0666);
    if (file < 0) {
        return refuse(problems, path, "write it", errno);
    }
    (void)close(file);
    (void)unlink(aside);
    return true;
}

bool file_write(const char *path, const char *data, size_t bytes, Problems *problems)
{
    const char *aside = aside_of(path, problems->keep);
    const int file = open(aside, O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0666);
    if (file < 0) {
        return refuse(problems, path, "write it", errno);
    }
    bool done = write_all(file, data, bytes) && fsync(file) == 0;
    int reason = errno;
    if (close(file) != 0 && done) {
        done = false;
        reason = errno;
    }
    if (done && rename(aside, path) == 0) {
        return true;
    }
    reason = done ? errno : reason;
    (void)unlink(aside);
    return refuse(problems, path, "write it", reason);
}

bool folder_make(const char *path, Problems *problems)
{
    char *partial = arena_copy_text(problems->keep, path);
    for (char *slash = strchr(partial + 1, '/'); slash; slash = strchr(slash + 1, '/')) {
        *slash = 0;
        (void)mkdir(partial, 0777); // what really fails shows below
        *slash = '/';
    }
    if (mkdir(path, 0777) == 0) {
        return true;
    }
    const int reason = errno;
    struct stat about;
    if (stat(path, &about) == 0 && S_ISDIR(about.st_mode)) {
        return true;
    }
    if (reason == EEXIST) {
        return problems_say(problems, PROBLEM_SYSTEM, path,
                            "could not make the folder: a file of that name is in the way");
    }
    return refuse(problems, path, "make the folder", reason);
}
