// Going back and forth among a record's versions.
//
// Versions form a tree: each was made by editing another, its base. Undo goes to the base
// of the present version, redo to where undo came from. A save after an undo begins a new
// branch and takes redo with it; the old branch stays in the list, and history_go() reaches
// it. All of it is in the file, so it outlives the program.
#pragma once

#include "store/records.h"

typedef struct Version {
    int64_t number; ///< 1, 2, ... within the record, in the order of saving
    int64_t base;   ///< what was edited; 0: nothing, it is the first
    int64_t again;  ///< where redo goes from here; 0: nowhere
    int64_t saved_ms;
    const char *name; ///< NULL: it was given none
    const char *title;
    size_t bytes;
} Version;

typedef struct Versions {
    Version *items; ///< the newest first
    int count;
} Versions;

/// All versions of a record. Errors   no such record.
MUST_CHECK bool history_list(Store *store, int64_t record, Arena *keep, Versions *versions,
                             Problems *problems);

// Each of these moves the record to another version, whose number comes back in *present.
// `at` is the version that the caller sees: a conflict when it is not the present one, as
// record_save(); *present is then the one that is.

/// Errors   not found when there is nothing to undo.
MUST_CHECK bool history_undo(Store *store, int64_t record, int64_t at, int64_t *present,
                             Problems *problems);
/// Errors   not found when there is nothing to redo.
MUST_CHECK bool history_redo(Store *store, int64_t record, int64_t at, int64_t *present,
                             Problems *problems);

/// A step to any version.
typedef struct Jump {
    int64_t at;
    int64_t to;
} Jump;

/// Makes any version the present one. Undo then goes to its base, and redo leads back to it.
/// Errors   no such version.
MUST_CHECK bool history_go(Store *store, int64_t record, Jump jump, int64_t *present,
                           Problems *problems);

/// Gives a version a name, or takes it away (NULL). Errors   no such version; a name over
/// VERSION_NAME_MAX bytes or empty.
MUST_CHECK bool history_name(Store *store, int64_t record, int64_t number, const char *name,
                             Problems *problems);
