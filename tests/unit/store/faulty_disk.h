// A disk that refuses on command: the n-th thing that is asked of it fails, and all that
// follows until it is mended. Stands between SQLite and the system's files.
#pragma once

#include <stdbool.h>

typedef enum Fault {
    FAULT_FULL, ///< no room: writing fails
    FAULT_SYNC, ///< what was written cannot be made lasting
    FAULT_ALL,  ///< both, and reading: the disk has gone
} Fault;

/// Puts it in the place of the usual files for all connections made from now on.
bool faulty_disk_install(void);
/// Fails from the `after`-th request of its kind on, counted from 1.
void faulty_disk_break(Fault fault, int after);
void faulty_disk_mend(void);
/// Whether anything was refused since it was broken.
bool faulty_disk_refused(void);
