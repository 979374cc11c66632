// Statements, transactions and failures. Private to the module.
//
// A statement is prepared once and kept. The first failure of a call is remembered in
// the store until store_refuse() tells it, so that functions only hand on yes or no.
#pragma once

#include "store/store.h"

#include <sqlite3.h>

enum { STATEMENTS_MAX = 96 };

typedef struct Prepared {
    const char *sql; // the literal itself: its address is the key
    sqlite3_stmt *statement;
} Prepared;

struct Store {
    sqlite3 *db;
    char *path;
    StoreOptions options;
    int log_pages;  // after the last change, with keep_log
    Arena *scratch; // free between calls
    Prepared prepared[STATEMENTS_MAX];
    int prepared_count;
    int failure; // extended code of the first failure; SQLITE_OK: none
    int reason;  // the system's, for the same
    char *words; // the library's, for the same
    int folder;  // of the backups, locked as shared while the file is open; -1: none
};

/// A store without a file behind it yet. NULL when the system has no memory left.
Store *store_create(const char *path, const StoreOptions *options);

/// Opens the database and sets it up, with checks and limits as for a file that came
/// from anywhere. `flags` as sqlite3_open_v2().
MUST_CHECK bool store_connect(Store *store, const char *name, int flags);

/// Remembers a failure that the library has just told. Returns false.
bool store_fails(Store *store, int code);

/// Tells the failure and forgets it. `what` follows `could not `. Returns false.
bool store_refuse(Store *store, const char *what, Problems *problems);

/// True when the failure means that the file is damaged.
bool store_failed_by_damage(const Store *store);

int64_t store_now_ms(const Store *store);

/// A statement under way. Values are bound in their order; rows are then asked for until
/// there are none.
typedef struct Query {
    Store *store;
    sqlite3_stmt *statement;
    int bound;
    bool failed;
} Query;

Query query_begin(Store *store, const char *sql);
void query_int(Query *query, int64_t value);
void query_text(Query *query, const char *value); ///< NULL: null
void query_bytes(Query *query, Document value);
/// True while there is a row.
bool query_row(Query *query);
/// Ends the statement early or late. False when it had failed.
bool query_end(Query *query);
/// For statements without rows.
bool query_run(Query *query);

int64_t query_get_int(const Query *query, int column);
bool query_is_null(const Query *query, int column);
/// Copies; NULL stays NULL.
const char *query_get_text(const Query *query, int column, Arena *keep);
Document query_get_bytes(const Query *query, int column, Arena *keep);

/// Runs statements without values or rows, not kept.
bool sql_run(Store *store, const char *sql);
/// One whole number that a statement gives; false when there is none.
bool sql_int(Store *store, const char *sql, int64_t *value);

/// Begins a change: nobody else can write until it ends.
MUST_CHECK bool change_begin(Store *store);
/// Ends it: all of it is on the disk when this returns true, nothing when false.
/// `good` false takes it back.
MUST_CHECK bool change_end(Store *store, bool good);

/// The digest of a document (base/digest.h) as SQLite's signed whole number. One changed byte
/// always changes it.
int64_t sum_of(Document document);
/// Carries a sum on over more bytes.
int64_t sum_more(int64_t sum, Document more);

/// 32 hexadecimal digits that nobody else has; in `keep`.
const char *new_uid(Arena *keep);
