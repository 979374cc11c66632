#include "store/schema.h"

#include "base/text.h"

#include <assert.h>
#include <string.h>

// One step for each version, never changed once it has been in anybody's hands: files are
// brought up to date by the steps that they lack.
static const char *const steps[STORE_VERSION] = {
    // 1: jobs and hides as records, each with its versions.
    "CREATE TABLE record (\n"
    "    id INTEGER PRIMARY KEY,\n"
    "    uid TEXT NOT NULL UNIQUE CHECK (length(uid) = 32),\n"
    "    kind TEXT NOT NULL CHECK (kind IN ('job', 'hide')),\n"
    "    present INTEGER NOT NULL,\n"
    "    begun_ms INTEGER NOT NULL,\n"
    "    away_ms INTEGER,\n"
    "    FOREIGN KEY (id, present) REFERENCES version (record, number)\n"
    "        DEFERRABLE INITIALLY DEFERRED\n"
    ") STRICT;\n"
    "CREATE TABLE version (\n"
    "    record INTEGER NOT NULL REFERENCES record (id),\n"
    "    number INTEGER NOT NULL CHECK (number >= 1),\n"
    "    uid TEXT NOT NULL UNIQUE CHECK (length(uid) = 32),\n"
    "    base INTEGER CHECK (base < number),\n"
    "    again INTEGER CHECK (again > number),\n"
    "    saved_ms INTEGER NOT NULL,\n"
    "    name TEXT,\n"
    "    title TEXT NOT NULL,\n"
    "    words TEXT NOT NULL,\n"
    "    sum INTEGER NOT NULL,\n"
    "    document BLOB NOT NULL,\n"
    "    PRIMARY KEY (record, number),\n"
    "    FOREIGN KEY (record, base) REFERENCES version (record, number),\n"
    "    FOREIGN KEY (record, again) REFERENCES version (record, number)\n"
    ") STRICT;\n",
    // 2: what is cut from what, what lies on whose table, and what else is kept.
    "CREATE TABLE cut (\n"
    "    id INTEGER PRIMARY KEY,\n"
    "    uid TEXT NOT NULL UNIQUE CHECK (length(uid) = 32),\n"
    "    hide INTEGER NOT NULL UNIQUE REFERENCES record (id),\n"
    "    job INTEGER NOT NULL,\n"
    "    version INTEGER NOT NULL,\n"
    "    cut_ms INTEGER NOT NULL,\n"
    "    FOREIGN KEY (job, version) REFERENCES version (record, number)\n"
    ") STRICT;\n"
    "CREATE TABLE remnant (\n"
    "    hide INTEGER PRIMARY KEY REFERENCES record (id),\n"
    "    cut INTEGER NOT NULL REFERENCES cut (id)\n"
    ") STRICT;\n"
    "CREATE TABLE on_table (\n"
    "    job INTEGER NOT NULL REFERENCES record (id),\n"
    "    hide INTEGER NOT NULL REFERENCES record (id),\n"
    "    called TEXT NOT NULL,\n"
    "    PRIMARY KEY (job, hide),\n"
    "    UNIQUE (job, called)\n"
    ") STRICT;\n"
    "CREATE TABLE keepsake (\n"
    "    id INTEGER PRIMARY KEY,\n"
    "    uid TEXT NOT NULL UNIQUE CHECK (length(uid) = 32),\n"
    "    kind TEXT NOT NULL CHECK (kind IN ('layout', 'offer', 'picture')),\n"
    "    record INTEGER REFERENCES record (id),\n"
    "    version INTEGER,\n"
    "    name TEXT NOT NULL,\n"
    "    type TEXT NOT NULL,\n"
    "    kept_ms INTEGER NOT NULL,\n"
    "    away_ms INTEGER,\n"
    "    sum INTEGER NOT NULL,\n"
    "    bytes BLOB NOT NULL,\n"
    "    FOREIGN KEY (record, version) REFERENCES version (record, number)\n"
    ") STRICT;\n"
    "CREATE INDEX keepsake_of ON keepsake (record, version, kind);\n"
    "CREATE INDEX remnant_of ON remnant (cut);\n"
    "CREATE INDEX table_of ON on_table (hide);\n",
    // 3: what is done at the bench.
    "CREATE TABLE tick (\n"
    "    job INTEGER NOT NULL REFERENCES record (id),\n"
    "    step TEXT NOT NULL,\n"
    "    done INTEGER NOT NULL CHECK (done IN (0, 1)),\n"
    "    ticked_ms INTEGER NOT NULL,\n"
    "    device TEXT NOT NULL,\n"
    "    PRIMARY KEY (job, step)\n"
    ") STRICT;\n",
    // 4: who was let in over the network.
    "CREATE TABLE device (\n"
    "    id INTEGER PRIMARY KEY AUTOINCREMENT,\n"
    "    name TEXT NOT NULL,\n"
    "    digest BLOB NOT NULL UNIQUE CHECK (length(digest) = 32),\n"
    "    paired_ms INTEGER NOT NULL,\n"
    "    seen_ms INTEGER NOT NULL\n"
    ") STRICT;\n",
};

static bool set_version(Store *store, int version)
{
    // Pragmas take no bound values; this one is a number of our own.
    const ArenaMark mark = arena_mark(store->scratch);
    const bool set = sql_run(
        store, arena_text(store->scratch, "PRAGMA application_id = %d; PRAGMA user_version = %d",
                          STORE_APPLICATION_ID, version));
    arena_rewind(store->scratch, mark);
    return set;
}

bool schema_bring(Store *store, int from, int to)
{
    assert(0 <= from && from <= to && to <= STORE_VERSION);
    for (int version = from; version < to; version++) {
        if (!sql_run(store, steps[version])) {
            return false;
        }
    }
    return set_version(store, to);
}

// Everything that stands in a file's schema, as one text.
static bool schema_text(Store *store, Arena *keep, const char **text)
{
    Text all = {.keep = keep};
    Query query = query_begin(
        store, "SELECT type, name, tbl_name, coalesce(sql, '') FROM sqlite_schema ORDER BY name");
    while (query_row(&query)) {
        for (int i = 0; i < 4; i++) {
            text_add(&all, "%s\x1f", query_get_text(&query, i, keep));
        }
    }
    *text = text_string(&all);
    return query_end(&query);
}

bool schema_is(Store *store, int version, bool *same)
{
    Store *model = store_create(":memory:", NULL);
    if (!model) {
        return store_fails(store, SQLITE_NOMEM);
    }
    const char *wanted = "";
    const char *found = "";
    const bool modelled = store_connect(model, ":memory:", SQLITE_OPEN_READWRITE) &&
                          schema_bring(model, 0, version) &&
                          schema_text(model, model->scratch, &wanted);
    const bool looked =
        modelled ? schema_text(store, model->scratch, &found) : store_fails(store, SQLITE_NOMEM);
    *same = looked && strcmp(wanted, found) == 0;
    store_close(model);
    return looked;
}
