// What a person does with the workshop file: keep a job in it, look for one, take a hide to a
// job's table, cut, and put away what is left for the next job.
//
// The file itself, its histories and exchanges: store/*.h, which the doors may call with a
// Store that workshop_open() gave them.
#pragma once

#include "plan/plan.h"
#include "store/backup.h"
#include "store/hides.h"

/// Where the workshop file lies when nobody says otherwise: seatwright/workshop.db in
/// $XDG_DATA_HOME, or in ~/.local/share (XDG Base Directory Specification 0.8).
/// Errors   neither that nor $HOME is set to an absolute path; NULL.
const char *workshop_usual_path(Arena *keep, Problems *problems);

/// Opens the workshop file; `path` NULL: the usual one, whose folder is made. Errors as
/// store_open(). Close with store_close().
MUST_CHECK Store *workshop_open(const char *path, Arena *keep, Problems *problems);

/// The job or hide that a person means: by its number, by its name, or by words that only one
/// is found by.
/// Errors   none or several; then they are named.
MUST_CHECK bool workshop_find(Store *store, RecordKind kind, const char *word, Arena *keep,
                              Record *record, Problems *problems);

/// A job's file to be kept.
typedef struct KeepOrder {
    const char *path; ///< "-": standard input
    const char *call; ///< name for the version, or NULL
    bool if_new;      ///< a job of that name that is there already stays as it is
} KeepOrder;

typedef struct KeptJob {
    Record record;
    bool begun;   ///< the workshop did not have it before
    bool changed; ///< a new version was added
    int hides;    ///< new hides that it brought
} KeptJob;

/// Keeps a job's file, byte for byte: as a new version of the job of the same name, or as a new
/// job. Its hides become hides of the workshop; those that it had before are brought up to
/// date, unless they were cut meanwhile.
///
/// A job with mistakes is kept as well, but its hides are not looked at; the mistakes are
/// among the problems, which are no error then.
/// Errors   false: the file cannot be read, or no name be found in it; as saves.
MUST_CHECK bool workshop_keep(Store *store, const KeepOrder *order, Arena *keep, KeptJob *kept,
                              Problems *problems);

/// A hide or remnant that is at hand.
typedef struct Leather {
    HideState state;
    Units units; ///< that it was measured in
    Hide hide;
    Remnant clear; ///< largest part and rectangle clear of flaws
} Leather;

typedef struct LeatherList {
    Leather *items;
    int count;
    double useful_mm;
} LeatherList;

/// All hides and remnants that are neither cut nor put away. One that cannot be made of its
/// document is left out, with a doubt that says why.
MUST_CHECK bool workshop_leather(Store *store, Arena *keep, Arena *scratch, LeatherList *list,
                                 Problems *problems);

/// Takes a hide or remnant to a job's table: the job's document gets it, as a new version.
/// Errors   the hide was cut; the job has mistakes, another hide of that name, or too many.
MUST_CHECK bool workshop_take(Store *store, const Record *job, const Record *hide, Arena *keep,
                              int64_t *version, Problems *problems);

/// Makes hides of the workshop out of those that a version of a job has, and brings those up to
/// date that it made before, unless they were cut meanwhile; hides that it has no more leave its
/// table. `job->present` is the version; mistakes elsewhere in it do not matter. *begun: how many
/// are new. Errors   mistakes among its hides; as saves.
MUST_CHECK bool workshop_keep_hides(Store *store, const Record *job, Arena *keep, int *begun,
                                    Problems *problems);

/// A hide's document in the units of a job, whose own document it is to be copied into.
MUST_CHECK bool workshop_hide_for(Store *store, int64_t hide, const Record *job, Arena *keep,
                                  Document *document, Problems *problems);

/// A hide of a job, and the hide of the workshop on the job's table that it is called after.
typedef struct JobHideState {
    const char *name;
    int64_t kept;    ///< 0: the workshop has none of it
    bool same;       ///< both say the same, but for name and price
    HideState state; ///< of the workshop's
} JobHideState;

typedef struct JobHideStates {
    JobHideState *items; ///< in the order of the job
    int count;
} JobHideStates;

/// Errors   as workshop_keep_hides().
MUST_CHECK bool workshop_job_hides(Store *store, const Record *job, Arena *keep,
                                   JobHideStates *states, Problems *problems);

/// What a cut left.
typedef struct CutReport {
    Derived derived;
    CutPlan plan;
    HideState *remnants; ///< of all hides that were cut
    int remnant_count;
} CutReport;

/// Lays a job as `lay` does and records that its hides have been cut so: each hide with a
/// cover on it ends, and what is left of it, where it is as wide as is of use, begins as
/// remnants with outline, regions and flaws. The layout is kept too.
///
/// Errors   a hide was cut before (a conflict); covers without a place; stopped; as plan_lay().
MUST_CHECK bool workshop_cut(Store *store, const Record *job, const Progress *progress, Arena *keep,
                             Arena *scratch, CutReport *report, Problems *problems);

/// The same of covers as somebody has laid them: what plan_laid() reads.
/// Errors   as workshop_cut(); each fault of the layout.
MUST_CHECK bool workshop_cut_as_laid(Store *store, const Record *job, Document layout, Arena *keep,
                                     Arena *scratch, CutReport *report, Problems *problems);

/// Puts the newest good backup in the place of the workshop file; `path` as workshop_open().
/// Errors   as backup_restore(); there is none; the file is good as it is (a conflict).
MUST_CHECK bool workshop_restore(const char *path, Arena *keep, Backup *backup, const char **aside,
                                 Problems *problems);
