// Steps that records, history and exchange share; each within a change, and telling
// failures by the store. Private to the module.
#pragma once

#include "store/keepsakes.h"
#include "store/records.h"
#include "store/sql.h"
#include "store/ticks.h"

enum { NO_VERSION = 0 };

/// A version about to be put in.
typedef struct NewVersion {
    int64_t record;
    int64_t number;
    const char *uid;
    int64_t base; ///< NO_VERSION: the first
    int64_t saved_ms;
    const char *name;
    const char *title;
    const char *words;
    Document document;
} NewVersion;

// How a record is read, by itself or beside what else a query asks for: its columns come first.
#define RECORD_COLUMNS                                                                             \
    "record.id, record.uid, kind, title, present, "                                                \
    "(SELECT count(*) FROM version AS v WHERE v.record = record.id), begun_ms, saved_ms, away_ms"
#define RECORD_TABLES                                                                              \
    " FROM record JOIN version ON version.record = record.id AND number = present "
enum { RECORD_COLUMN_COUNT = 9 };

/// The record of a row that begins with RECORD_COLUMNS.
Record record_of_row(const Query *query, Arena *keep);

/// Within a change: a new record with its first version.
MUST_CHECK bool record_put(Store *store, RecordKind kind, Document document, int64_t *id);

/// At most RECORD_BYTES_MAX. What is wrong is told.
bool record_size_is_sound(const Store *store, Document document, Problems *problems);

/// Neither a line end nor any other control character.
bool is_one_line(const char *text);

typedef struct KeepsakeMark {
    const char *uid;
    int64_t kept_ms;
    int64_t away_ms; ///< 0: not put away
} KeepsakeMark;

/// A name, size and bytes that may be kept. What is wrong is told.
bool keepsake_is_sound(const Store *store, const NewKeepsake *keepsake, Problems *problems);

/// Within a change: moves a record to a version that is there, redo leading back to it.
MUST_CHECK bool history_step_to(Store *store, int64_t record, int64_t number);

/// Within a change: a keepsake that is sound.
MUST_CHECK bool keepsake_insert(Store *store, const NewKeepsake *keepsake,
                                const KeepsakeMark *mark);

/// A tick that may be kept, from wherever it comes.
bool tick_is_sound(const Tick *tick);
/// Within a change: takes in a sound tick of a job that is there, as ticks_put() does.
MUST_CHECK bool tick_insert(Store *store, int64_t job, const Tick *tick);

/// Checksum of all of a version that never changes: document, title, words, base and time.
int64_t version_sum(const NewVersion *version, Arena *scratch);

MUST_CHECK bool version_put(Store *store, const NewVersion *version);

/// The present version of a record. *found false when there is no such record.
MUST_CHECK bool present_get(Store *store, int64_t record, int64_t *present, bool *found);
MUST_CHECK bool present_set(Store *store, int64_t record, int64_t number);

/// Redo goes from `number` to `again`.
MUST_CHECK bool again_set(Store *store, int64_t record, int64_t number, int64_t again);

/// The greatest number of a record's versions.
MUST_CHECK bool version_last(Store *store, int64_t record, int64_t *number);

/// A name that a version may have; NULL is one. What is wrong is told.
bool version_name_is_sound(const Store *store, const char *name, Problems *problems);
MUST_CHECK bool version_name(Store *store, int64_t record, int64_t number, const char *name);

/// A problem that there is no such record, version or the like. Returns false.
bool store_missing(const Store *store, Problems *problems, const char *format, ...)
    PRINTF_LIKE(3, 4);

/// A conflict: the present version is another one than the caller thought. Returns false.
bool store_conflict(const Store *store, int64_t thought, int64_t present, Problems *problems);

/// Within a change: whether there is a record of that kind. What is wrong is told.
MUST_CHECK bool record_is(Store *store, int64_t id, RecordKind kind, Problems *problems);

/// Within a change: whether a record is there and stands at `thought`. What is wrong is told.
MUST_CHECK bool present_is(Store *store, int64_t record, int64_t thought, int64_t *present,
                           Problems *problems);

/// Ends a change as change_end() and tells what the library refused; what was told already
/// is not told again.
MUST_CHECK bool change_close(Store *store, bool good, const char *what, Problems *problems);
