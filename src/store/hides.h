// The life of a hide in the workshop: on whose table it lies, which cut ended it, and what
// remnants that cut left.
//
// A hide is a record (store/records.h) of kind RECORD_HIDE; a remnant is one too. A hide may
// lie on the tables of several jobs until one of them cuts it. A hide is cut once: what is
// left are new things, each of which knows the cut that made it.
#pragma once

#include "store/records.h"

/// One hide, and what became of it.
typedef struct HideState {
    Record record;
    int64_t cut_by; ///< the job that cut it; 0: it is whole
    int64_t cut_as; ///< the version of that job
    int64_t cut_ms;
    int64_t left_of; ///< the hide that it is a remnant of; 0: it was bought as it is
    int64_t left_by; ///< the job whose cut left it
} HideState;

typedef struct HideStates {
    HideState *items;
    int count;
} HideStates;

typedef enum HidesWanted {
    HIDES_AT_HAND, ///< neither cut nor put away
    HIDES_ALL,
} HidesWanted;

/// Hides and remnants, those saved last first.
MUST_CHECK bool hides_list(Store *store, HidesWanted wanted, Arena *keep, HideStates *hides,
                           Problems *problems);

/// One of them. Errors   no such hide.
MUST_CHECK bool hide_state(Store *store, int64_t hide, Arena *keep, HideState *state,
                           Problems *problems);

/// A hide on the table of a job, where the job's document calls it so.
typedef struct OnTable {
    int64_t job;
    int64_t hide;
    const char *called;
} OnTable;

typedef struct OnTables {
    OnTable *items;
    int count;
} OnTables;

/// Puts a hide on a job's table, or changes what it is called there.
/// Errors   no such job or hide; the job has another hide of that name.
MUST_CHECK bool hide_put_on_table(Store *store, const OnTable *place, Problems *problems);

/// Takes it off again; nothing happens when it is not there.
MUST_CHECK bool hide_take_off_table(Store *store, int64_t job, int64_t hide, Problems *problems);

/// What lies on tables, by name: `job` and `hide` narrow it down, 0 means any.
MUST_CHECK bool hides_on_tables(Store *store, int64_t job, int64_t hide, Arena *keep,
                                OnTables *places, Problems *problems);

/// One hide being cut, and the documents of what is left of it.
typedef struct HideCut {
    int64_t hide;
    const Document *remnants;
    int remnant_count;
} HideCut;

/// Hides that one version of a job cuts.
typedef struct JobCut {
    int64_t job;
    int64_t version;
    const HideCut *cuts;
    int count;
    Document layout; ///< that they were cut by, kept with the version; no bytes: none
} JobCut;

/// Records that hides have been cut, all of them or none, and keeps what is left and the layout.
/// The remnants' ids, in their order, go to `remnants` (as many as there are in all; NULL:
/// they are not asked for).
///
/// Errors   a conflict when a hide was cut before, with the job that did; no such hide or
///          version; as saves.
MUST_CHECK bool hides_cut(Store *store, const JobCut *cut, int64_t *remnants, Problems *problems);

/// The remnants that the cut of a hide left, by id, whatever became of them since.
MUST_CHECK bool hide_remnants(Store *store, int64_t hide, Arena *keep, HideStates *remnants,
                              Problems *problems);
