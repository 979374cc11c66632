#include "plan/exchange.h"

#include "plan/files.h"

#include <errno.h>
#include <fcntl.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

// A folder that only this user may look into, beside the workshop file: its disk has room for
// another, and what lies there is as well kept.
static char *begin_folder(const Store *store, Arena *keep, Problems *problems)
{
    char *folder = arena_copy_text(keep, arena_text(keep, "%s.exchange-XXXXXX", store_path(store)));
    if (mkdtemp(folder)) {
        return folder;
    }
    (void)problems_say(problems, PROBLEM_SYSTEM, store_path(store),
                       "could not make a folder beside it: %s", strerror(errno));
    return NULL;
}

bool exchange_export(Store *store, const int64_t *jobs, int count, Arena *keep, int *file,
                     Problems *problems)
{
    const char *folder = begin_folder(store, keep, problems);
    if (!folder) {
        return false;
    }
    const char *path = arena_text(keep, "%s/export.db", folder);
    bool good = store_export(store, path, jobs, count, problems);
    if (good) {
        *file = open(path, O_RDONLY | O_CLOEXEC);
        good = *file >= 0 || problems_say(problems, PROBLEM_SYSTEM, path, "could not open it: %s",
                                          strerror(errno));
    }
    (void)unlink(path);
    (void)rmdir(folder);
    return good;
}

bool exchange_import(Store *store, Document bytes, Arena *keep, ImportReport *report,
                     Problems *problems)
{
    const char *folder = begin_folder(store, keep, problems);
    if (!folder) {
        return false;
    }
    const char *path = arena_text(keep, "%s/import.db", folder);
    const int before = problems->count;
    const bool good = file_write(path, bytes.data, bytes.bytes, problems) &&
                      store_import(store, path, report, problems);
    for (int i = before; i < problems->count; i++) {
        if (strcmp(problems->items[i].where, path) == 0) {
            problems->items[i].where = "the file";
        }
    }
    (void)unlink(path);
    (void)rmdir(folder);
    return good;
}
