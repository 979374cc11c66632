// Export and import: jobs and all that belongs to them, or the whole workshop, from one
// workshop file to another.
//
// An export is a workshop file itself, so one format serves both. Every job, hide, version
// and keepsake has an identifier of its own everywhere; an import adds what is missing and
// changes nothing that is there. To import the same file twice is the same as once.
#pragma once

#include "store/records.h"

/// Writes some jobs, with the hides on their tables, what they cut and what is kept of them,
/// to a new file; with `count` 0 everything. What is at `path` is replaced once all is
/// written.
///
/// Errors   no such job; `path` is the workshop file itself; as saves.
MUST_CHECK bool store_export(Store *store, const char *path, const int64_t *jobs, int count,
                             Problems *problems);

typedef struct ImportReport {
    int jobs;          ///< new here
    int hides;         ///< new here
    int versions;      ///< new here
    int keepsakes;     ///< new here
    int moved;         ///< jobs and hides known here that now stand at a newer version
    int apart;         ///< known here, but changed on both sides: they stand where they stood
    int cuts_left_out; ///< hides that another job has cut here
} ImportReport;

/// Takes in another workshop file, all of it or nothing. It may be of an older version, and
/// is only read. Where a job was changed on both sides, the other side's versions are in its
/// history.
///
/// Errors   no workshop file, of a newer version, damaged; as saves.
MUST_CHECK bool store_import(Store *store, const char *path, ImportReport *report,
                             Problems *problems);
