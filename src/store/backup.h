// Backups: whole copies of the workshop file, in a folder beside it, `FILE.backups`.
//
// One is made before each change of the tables, and once a day when something has
// changed. The newest KEPT of each are kept. A backup is a workshop file like any other.
#pragma once

#include "store/store.h"

enum { BACKUPS_KEPT = 5 };

typedef struct Backup {
    const char *path;
    int64_t made_ms;
    bool before_migration;
    bool good; ///< it passed every check; false: not looked at
    size_t bytes;
} Backup;

typedef struct Backups {
    Backup *items; ///< newest first
    int count;
} Backups;

/// Whether a workshop file or a backup passes every check; nothing in it is changed.
MUST_CHECK bool file_is_good(const char *path, Problems *problems);

/// Makes one now. Errors as saves; also a folder that cannot be made.
MUST_CHECK bool backup_make(Store *store, Problems *problems);

/// All backups of a workshop file, good or not; the file itself need not be there.
Backups backups_of(const char *path, Arena *keep);

/// The newest that passes every check. False when there is none.
MUST_CHECK bool backup_newest_good(const char *path, Arena *keep, Backup *backup);

/// Puts a backup in the place of the workshop file, which nobody may have open. What was
/// there is kept beside it: `FILE.damaged-DATE`, *aside.
///
/// Errors   the file is open somewhere (a conflict); the backup is not good itself; the
///          system's reasons. The file stands as it was then.
MUST_CHECK bool backup_restore(const char *path, const Backup *backup, Arena *keep,
                               const char **aside, Problems *problems);
