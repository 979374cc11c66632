// Records: the jobs and the hides of a workshop, each with all its versions.
//
// A version is a whole document, byte for byte as it was saved. A record stands at one of
// its versions, the present one; a save adds a version behind the one that was edited and
// makes it the present. No document is ever written over or taken away; only a version's name
// may change. Moving between versions: store/history.h.
#pragma once

#include "store/store.h"

typedef enum RecordKind { RECORD_JOB, RECORD_HIDE, RECORD_KIND_COUNT } RecordKind;
extern const char *const record_kind_names[RECORD_KIND_COUNT]; ///< job, hide

enum { RECORD_BYTES_MAX = 8 << 20, VERSION_NAME_MAX = 80 };
/// Nobody saves so often: a greater number of a version is damage, or was put in by hand.
enum { VERSIONS_MAX = 1000000000 };

/// One record as it stands at present.
typedef struct Record {
    int64_t id;      ///< in this file
    const char *uid; ///< everywhere: 32 hexadecimal digits
    RecordKind kind;
    const char *title; ///< the name in its document
    int64_t present;   ///< number of the version that it stands at
    int version_count;
    int64_t begun_ms;
    int64_t saved_ms; ///< when its present version was saved
    bool away;        ///< put away: not listed unless asked for
} Record;

typedef struct Records {
    Record *items;
    int count;
} Records;

/// A new record with its first version, number 1.
///
/// Errors   a document larger than RECORD_BYTES_MAX; as saves.
MUST_CHECK bool record_begin(Store *store, RecordKind kind, Document document, int64_t *id,
                             Problems *problems);

/// A save: which record, the version that was edited, and what it has become.
typedef struct Save {
    int64_t record;
    int64_t based_on;
    Document document;
    const char *name; ///< of the new version, or NULL
} Save;

/// Saves a new version and makes it the present one; *present is its number. A document
/// equal to the present one adds no version, only the name, when there is one.
///
/// Errors   a conflict when `based_on` is not the present version any more: somebody else
///          has saved or moved meanwhile. *present is then the version that stands there,
///          and nothing is changed; record_save_beside() keeps the document all the same.
///          No such record, too large, the system's reasons.
MUST_CHECK bool record_save(Store *store, const Save *save, int64_t *present, Problems *problems);

/// Saves a new version behind any version, without making it the present one; *number is
/// its number.
MUST_CHECK bool record_save_beside(Store *store, const Save *save, int64_t *number,
                                   Problems *problems);

/// One record. Errors   no such record; *record untouched.
MUST_CHECK bool record_get(Store *store, int64_t id, Arena *keep, Record *record,
                           Problems *problems);

/// The document of one version; 0: the present one. The data ends in a 0 beyond its bytes.
///
/// Errors   no such record or version; damage, when it is not as it was saved.
MUST_CHECK bool record_read(Store *store, int64_t id, int64_t number, Arena *keep,
                            Document *document, Problems *problems);

/// What is looked for.
typedef struct RecordSearch {
    RecordKind kind;
    const char *words; ///< the first eight must stand in the present version's names or notes;
                       ///< NULL: any
    bool away;         ///< those put away as well
} RecordSearch;

/// The records of a kind, those saved last first.
///
/// Method   each word may stand anywhere; capitals do not matter for A to Z (SQLite's LIKE).
MUST_CHECK bool records_find(Store *store, const RecordSearch *search, Arena *keep,
                             Records *records, Problems *problems);

/// Puts a record away, or takes it out again. Its versions stay.
MUST_CHECK bool record_put_away(Store *store, int64_t id, bool away, Problems *problems);
