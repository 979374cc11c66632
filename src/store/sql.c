#include "store/sql.h"

#include "base/digest.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

// The largest keepsake, and room for the rest of its row.
enum { ITEM_BYTES_MAX = 66 << 20 };
enum { SCRATCH_BYTES = 1 << 30, USUAL_WAIT_MS = 10000 };

Store *store_create(const char *path, const StoreOptions *options)
{
    Store *store = calloc(1, sizeof *store);
    if (!store) {
        return NULL;
    }
    store->folder = -1;
    store->options = options ? *options : (StoreOptions){0};
    store->path = strdup(path);
    store->scratch = arena_create("workshop file", SCRATCH_BYTES);
    if (!store->path || !store->scratch) {
        store_close(store);
        return NULL;
    }
    return store;
}

// The library does not always hand on why a disk refused; the system said so last then.
static int reason_of(const Store *store, int code, int last)
{
    const int told = store->db ? sqlite3_system_errno(store->db) : 0;
    return told == 0 && (code & 0xff) == SQLITE_IOERR ? last : told;
}

bool store_fails(Store *store, int code)
{
    const int reason = errno;
    if (store->failure == SQLITE_OK) {
        store->failure = code == SQLITE_OK ? SQLITE_ERROR : code;
        store->reason = reason_of(store, code, reason);
        free(store->words);
        store->words = strdup(store->db ? sqlite3_errmsg(store->db) : sqlite3_errstr(code));
    }
    return false;
}

bool store_failed_by_damage(const Store *store)
{
    const int kind = store->failure & 0xff;
    return kind == SQLITE_CORRUPT || kind == SQLITE_NOTADB;
}

// What the library's codes mean to a person.
static Problem told_as(const Store *store, Arena *words)
{
    static const char *const unharmed = "; what was saved before is unharmed";
    const char *reason = store->reason ? strerror(store->reason) : store->words;
    Problem problem = {.kind = PROBLEM_SYSTEM};
    switch (store->failure & 0xff) {
    case SQLITE_FULL:
        problem.found = "the disk is full";
        problem.remedy = arena_text(words, "make room and try again%s", unharmed);
        break;
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
        problem.found = "another program is writing to the file and does not end";
        problem.remedy = arena_text(words, "try again%s", unharmed);
        break;
    case SQLITE_READONLY:
    case SQLITE_PERM:
    case SQLITE_CANTOPEN:
        problem.found = arena_text(words, "the file or its folder cannot be written (%s)",
                                   store->reason ? reason : "read-only");
        problem.remedy = "change its permissions, or choose another file with --workshop";
        break;
    case SQLITE_IOERR:
        problem.found = arena_text(words, "the disk refused (%s)", reason ? reason : "no reason");
        problem.remedy = arena_text(words, "look at the disk and try again%s", unharmed);
        break;
    case SQLITE_CORRUPT:
    case SQLITE_NOTADB:
        problem.found = arena_text(words, "the file is damaged (%s)", store->words);
        problem.remedy = "`seatwright restore` puts the newest good backup in its place";
        break;
    case SQLITE_TOOBIG:
        problem.found = "it is larger than the file can hold";
        break;
    case SQLITE_NOMEM:
        problem.found = "out of memory";
        break;
    default:
        problem.found = arena_text(words, "%s", store->words ? store->words : "no reason");
        break;
    }
    return problem;
}

bool store_refuse(Store *store, const char *what, Problems *problems)
{
    Arena *words = problems->keep;
    Problem problem = told_as(store, words);
    problem.where = arena_copy_text(words, store->path);
    problem.found = arena_text(words, "could not %s: %s", what, problem.found);
    store->failure = SQLITE_OK;
    return problems_add(problems, problem);
}

int64_t store_now_ms(const Store *store)
{
    if (store->options.clock_ms) {
        return store->options.clock_ms(store->options.context);
    }
    struct timespec now;
    (void)clock_gettime(CLOCK_REALTIME, &now);
    return (int64_t)now.tv_sec * 1000 + now.tv_nsec / 1000000;
}

// Set-up that holds for every connection. Nothing in a file is trusted: no triggers, no
// views, no functions from its schema, and pages are looked at before they are used.
static int on_logged(void *context, sqlite3 *db, const char *name, int pages)
{
    (void)db;
    (void)name;
    ((Store *)context)->log_pages = pages;
    return SQLITE_OK;
}

static bool set_up(Store *store)
{
    sqlite3 *db = store->db;
    const int wait_ms = store->options.wait_ms > 0 ? store->options.wait_ms : USUAL_WAIT_MS;
    (void)sqlite3_extended_result_codes(db, 1);
    (void)sqlite3_busy_timeout(db, wait_ms);
    static const struct {
        int option;
        int value;
    } set[] = {{SQLITE_DBCONFIG_DEFENSIVE, 1},      {SQLITE_DBCONFIG_DQS_DDL, 0},
               {SQLITE_DBCONFIG_DQS_DML, 0},        {SQLITE_DBCONFIG_ENABLE_TRIGGER, 0},
               {SQLITE_DBCONFIG_ENABLE_VIEW, 0},    {SQLITE_DBCONFIG_TRUSTED_SCHEMA, 0},
               {SQLITE_DBCONFIG_ENABLE_FKEY, 1},    {SQLITE_DBCONFIG_ENABLE_LOAD_EXTENSION, 0},
               {SQLITE_DBCONFIG_WRITABLE_SCHEMA, 0}};
    for (size_t i = 0; i < sizeof set / sizeof *set; i++) {
        const int code = sqlite3_db_config(db, set[i].option, set[i].value, NULL);
        if (code != SQLITE_OK) {
            return store_fails(store, code);
        }
    }
    if (store->options.keep_log) {
        (void)sqlite3_wal_hook(db, on_logged, store); // in the place of the library's own
    }
    (void)sqlite3_limit(db, SQLITE_LIMIT_LENGTH, ITEM_BYTES_MAX);
    return sql_run(store, "PRAGMA cell_size_check = ON") &&
           sql_run(store, "PRAGMA mmap_size = 0") && sql_run(store, "PRAGMA synchronous = FULL");
}

bool store_connect(Store *store, const char *name, int flags)
{
    const int code = sqlite3_open_v2(name, &store->db, flags | SQLITE_OPEN_NOMUTEX, NULL);
    if (code != SQLITE_OK) {
        return store_fails(store, store->db ? sqlite3_extended_errcode(store->db) : code);
    }
    return set_up(store);
}

// Statements that are asked for again and again are prepared once.
static sqlite3_stmt *prepared(Store *store, const char *sql)
{
    for (int i = 0; i < store->prepared_count; i++) {
        if (store->prepared[i].sql == sql) {
            return store->prepared[i].statement;
        }
    }
    sqlite3_stmt *statement = NULL;
    const int code =
        sqlite3_prepare_v3(store->db, sql, -1, SQLITE_PREPARE_PERSISTENT, &statement, NULL);
    if (code != SQLITE_OK || store->prepared_count == STATEMENTS_MAX) {
        (void)store_fails(store, code);
        (void)sqlite3_finalize(statement);
        return NULL;
    }
    store->prepared[store->prepared_count++] = (Prepared){sql, statement};
    return statement;
}

Query query_begin(Store *store, const char *sql)
{
    sqlite3_stmt *statement = prepared(store, sql);
    return (Query){.store = store, .statement = statement, .failed = statement == NULL};
}

static void note(Query *query, int code)
{
    if (code != SQLITE_OK && code != SQLITE_ROW && code != SQLITE_DONE) {
        query->failed = true;
        (void)store_fails(query->store, code);
    }
}

void query_int(Query *query, int64_t value)
{
    if (!query->failed) {
        note(query, sqlite3_bind_int64(query->statement, ++query->bound, value));
    }
}

void query_text(Query *query, const char *value)
{
    if (!query->failed) {
        note(query, sqlite3_bind_text(query->statement, ++query->bound, value, -1,
                                      SQLITE_TRANSIENT)); // NOLINT: the library's own constant
    }
}

void query_bytes(Query *query, Document value)
{
    if (!query->failed) {
        note(query, sqlite3_bind_blob64(query->statement, ++query->bound,
                                        value.bytes > 0 ? value.data : "", value.bytes,
                                        SQLITE_STATIC)); // lives until query_end()
    }
}

bool query_row(Query *query)
{
    if (query->failed) {
        return false;
    }
    errno = 0;
    const int code = sqlite3_step(query->statement);
    note(query, code);
    return code == SQLITE_ROW;
}

bool query_end(Query *query)
{
    if (query->statement) {
        (void)sqlite3_reset(query->statement); // a failure was told by the step
        (void)sqlite3_clear_bindings(query->statement);
    }
    return !query->failed;
}

bool query_run(Query *query)
{
    (void)query_row(query);
    return query_end(query);
}

int64_t query_get_int(const Query *query, int column)
{
    return sqlite3_column_int64(query->statement, column);
}

bool query_is_null(const Query *query, int column)
{
    return sqlite3_column_type(query->statement, column) == SQLITE_NULL;
}

const char *query_get_text(const Query *query, int column, Arena *keep)
{
    const unsigned char *text = sqlite3_column_text(query->statement, column);
    return arena_copy_text(keep, (const char *)text);
}

Document query_get_bytes(const Query *query, int column, Arena *keep)
{
    const void *data = sqlite3_column_blob(query->statement, column);
    const size_t bytes = (size_t)sqlite3_column_bytes(query->statement, column);
    char *copy = arena_alloc(keep, bytes + 1, 1); // ends in 0, for those who read it as text
    if (bytes > 0 && data) {
        memcpy(copy, data, bytes);
    }
    return (Document){copy, bytes};
}

bool sql_run(Store *store, const char *sql)
{
    const int code = sqlite3_exec(store->db, sql, NULL, NULL, NULL);
    return code == SQLITE_OK || store_fails(store, sqlite3_extended_errcode(store->db));
}

bool sql_int(Store *store, const char *sql, int64_t *value)
{
    sqlite3_stmt *statement = NULL;
    int code = sqlite3_prepare_v2(store->db, sql, -1, &statement, NULL);
    if (code == SQLITE_OK) {
        code = sqlite3_step(statement);
    }
    if (code == SQLITE_ROW) {
        *value = sqlite3_column_int64(statement, 0);
    } else {
        (void)store_fails(store, code);
    }
    (void)sqlite3_finalize(statement);
    return code == SQLITE_ROW;
}

bool change_begin(Store *store)
{
    Query query = query_begin(store, "BEGIN IMMEDIATE");
    return query_run(&query);
}

bool change_end(Store *store, bool good)
{
    if (good) {
        Query commit = query_begin(store, "COMMIT");
        good = query_run(&commit);
    }
    // After some failures the library has taken everything back by itself already.
    if (!good && !sqlite3_get_autocommit(store->db)) {
        Query back = query_begin(store, "ROLLBACK");
        (void)query_run(&back);
    }
    return good;
}

static int64_t sum_in(Digest digest)
{
    int64_t sum;
    memcpy(&sum, &digest.bits, sizeof sum);
    return sum;
}

int64_t sum_more(int64_t sum, Document more)
{
    Digest digest;
    memcpy(&digest.bits, &sum, sizeof sum);
    digest_add(&digest, more.data, more.bytes);
    return sum_in(digest);
}

int64_t sum_of(Document document)
{
    return sum_more(sum_in(digest_begin()), document);
}

const char *new_uid(Arena *keep)
{
    unsigned char bytes[16];
    sqlite3_randomness((int)sizeof bytes, bytes);
    char *text = arena_alloc(keep, 2 * sizeof bytes + 1, 1);
    for (size_t i = 0; i < sizeof bytes; i++) {
        (void)snprintf(text + 2 * i, 3, "%02x", bytes[i]);
    }
    return text;
}
