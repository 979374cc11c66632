// Files beside the workshop file: made aside, made lasting, renamed. Private to the module.
#pragma once

#include "store/sql.h"

/// What lies at a path, found without opening it.
typedef enum PathKind { PATH_ABSENT, PATH_FILE, PATH_SHORT, PATH_OTHER, PATH_REFUSED } PathKind;

/// PATH_SHORT is too short to be a database. *word says what is wrong: `a folder`, `it is
/// empty`, or the system's reason.
PathKind path_kind(const char *path, const char **word);

/// Makes a file's bytes, or a folder's entries, lasting.
MUST_CHECK bool path_sync(const char *path);

/// The folder that a file lies in.
const char *folder_of(const char *path, Arena *keep);

/// Puts a finished file aside in its place and makes that lasting. `replace` false: only
/// where nothing lies yet, EEXIST otherwise.
/// Errors   false with errno; the file aside is gone.
MUST_CHECK bool path_put(const char *aside, const char *path, bool replace);

/// Copies a file's bytes to a new one and makes them lasting. Errors   false with errno.
MUST_CHECK bool path_copy(const char *from, const char *to);

/// A name beside a path for a file in the making: `FILE.word-PID`.
const char *path_aside(const char *path, const char *word, Arena *keep);

/// Adds a problem with the system's reason in errno. Returns false.
bool path_refuse(const char *path, const char *what, Problems *problems);
