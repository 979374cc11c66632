// The workshop file: all jobs of a workshop with their whole history, its hides and
// remnants, layouts, offers and pictures, in one SQLite file.
//
// What a call has acknowledged (returned true) is on the disk: it outlives the
// program, however that ends. Several programs may have the file open at once. The
// tables and what is promised of them: docs/workshop-file.md; why SQLite:
// docs/decisions/0006-workshop-file.md. Only this module knows SQLite.
#pragma once

#include "base/problem.h"

#include <stdint.h>

/// The workshop file, open. One for each thread.
typedef struct Store Store;

/// `Seat`, big-endian at byte 68 of the file: what tells it from other SQLite files.
#define STORE_APPLICATION_ID 0x53656174

/// Version of the tables, as PRAGMA user_version has it.
enum { STORE_VERSION = 4 };

/// The all-zero value is the usual one.
typedef struct StoreOptions {
    bool trusted;    ///< opened and checked by this program already: do not check it again
    bool no_backups; ///< make none by itself; one before a migration is made all the same
    bool keep_log;   ///< what is saved goes into the log only, until store_tidy() or the last close
    int wait_ms;     ///< for another program that is writing; 0: 10 s
    int64_t (*clock_ms)(void *context); ///< since 1970; NULL: the system's clock
    void *context;
} StoreOptions;

/// Opens a workshop file; makes it when absent, in a folder that is there.
///
/// A file of an older version is brought up to date, after a backup. Everything in it is
/// checked first (store_check()); then, when the newest backup is over a day old and
/// something has changed since, another is made; when it cannot be, that is a doubt.
///
/// Errors   NULL, with one problem at `path`: no regular file, another program's file, made
/// by a newer version, not writable, no room, kept busy by another program; gone while
///          its backups are there. A damaged file is left as it is; the remedy names the newest
///          good backup.
MUST_CHECK Store *store_open(const char *path, const StoreOptions *options, Problems *problems);

/// Accepts NULL.
void store_close(Store *store);

/// Checks all that is stored: the file's structure, that its tables are the ones of its
/// version, that nothing points to what is not there, and the checksum of every document.
///
/// Errors   one problem, of the first damage found.
MUST_CHECK bool store_check(Store *store, Problems *problems);

/// Pages of 4 KiB that the log held after the last change through this store, with `keep_log`.
int store_log_pages(const Store *store);

/// Brings what was saved from the log into the file, while others read and write: all that nobody
/// is reading at this moment. The pages that are left in the log; 0 when it could not be done.
int store_tidy(Store *store);

/// Where it lies; lives as long as the store.
const char *store_path(const Store *store);

/// A document or picture as it was given: any bytes.
typedef struct Document {
    const char *data;
    size_t bytes;
} Document;
