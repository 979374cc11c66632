// Whether what is stored is what was stored.
#include "store/damage.h"

#include "store/schema.h"
#include "store/versions.h"

#include <string.h>

static bool damaged(Store *store, const char *what, Problems *problems)
{
    return problems_add(
        problems,
        (Problem){.kind = PROBLEM_SYSTEM,
                  .where = arena_copy_text(problems->keep, store->path),
                  .found = arena_text(problems->keep, "the file is damaged: %s", what),
                  .remedy = "`seatwright restore` puts the newest good backup in its place"});
}

static bool refuse(Store *store, Problems *problems, bool *damage)
{
    *damage = store_failed_by_damage(store);
    return store_refuse(store, "read it", problems);
}

static bool check_structure(Store *store, Problems *problems, bool *damage)
{
    // The first complaint will do; `ok` when there is none.
    Query query = query_begin(store, "PRAGMA integrity_check(1)");
    const char *word = query_row(&query) ? query_get_text(&query, 0, problems->keep) : NULL;
    if (!query_end(&query) || !word) {
        return refuse(store, problems, damage);
    }
    if (strcmp(word, "ok") != 0) {
        *damage = true;
        return damaged(store, word, problems);
    }
    Query links = query_begin(store, "PRAGMA foreign_key_check");
    const char *table = query_row(&links) ? query_get_text(&links, 0, problems->keep) : NULL;
    if (!query_end(&links)) {
        return refuse(store, problems, damage);
    }
    if (table) {
        *damage = true;
        return damaged(
            store,
            arena_text(problems->keep, "an entry of \"%s\" points to what is not there", table),
            problems);
    }
    return true;
}

static bool told(Store *store, const char *what, long long number, const char *name,
                 Problems *problems, bool *damage)
{
    *damage = true;
    return damaged(store,
                   arena_text(problems->keep, "%s %lld of \"%s\" is not as it was saved", what,
                              number, name ? name : ""),
                   problems);
}

static bool check_versions(Store *store, Problems *problems, bool *damage)
{
    Query query = query_begin(store, "SELECT number, coalesce(base, 0), saved_ms, title, words, "
                                     "document, sum FROM version");
    bool good = true;
    while (good && query_row(&query)) {
        const ArenaMark mark = arena_mark(store->scratch);
        const NewVersion version = {.base = query_get_int(&query, 1),
                                    .saved_ms = query_get_int(&query, 2),
                                    .title = query_get_text(&query, 3, store->scratch),
                                    .words = query_get_text(&query, 4, store->scratch),
                                    .document = {sqlite3_column_blob(query.statement, 5),
                                                 (size_t)sqlite3_column_bytes(query.statement, 5)}};
        if (!version.title || !version.words ||
            version_sum(&version, store->scratch) != query_get_int(&query, 6)) {
            good = told(store, "version", (long long)query_get_int(&query, 0), version.title,
                        problems, damage);
        }
        arena_rewind(store->scratch, mark);
    }
    return query_end(&query) ? good : refuse(store, problems, damage);
}

static bool check_keepsakes(Store *store, Problems *problems, bool *damage)
{
    Query query = query_begin(store, "SELECT id, sum, bytes, name FROM keepsake");
    bool good = true;
    while (good && query_row(&query)) {
        const Document document = {sqlite3_column_blob(query.statement, 2),
                                   (size_t)sqlite3_column_bytes(query.statement, 2)};
        if (sum_of(document) != query_get_int(&query, 1)) {
            good = told(store, "keepsake", (long long)query_get_int(&query, 0),
                        query_get_text(&query, 3, problems->keep), problems, damage);
        }
    }
    return query_end(&query) ? good : refuse(store, problems, damage);
}

bool damage_none(Store *store, int version, Problems *problems, bool *damage)
{
    *damage = false;
    if (!check_structure(store, problems, damage)) {
        return false;
    }
    bool same = false;
    if (!schema_is(store, version, &same)) {
        return refuse(store, problems, damage);
    }
    if (!same) {
        *damage = true;
        return damaged(store, "its tables are not the ones of its version", problems);
    }
    return check_versions(store, problems, damage) &&
           (version < 2 || check_keepsakes(store, problems, damage));
}

bool store_check(Store *store, Problems *problems)
{
    bool damage = false;
    return damage_none(store, STORE_VERSION, problems, &damage);
}
