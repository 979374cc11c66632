#include "store/versions.h"

#include "store/sql.h"

#include <string.h>

int64_t version_sum(const NewVersion *version, Arena *scratch)
{
    const char *rest = arena_text(scratch, "\n%s\n%s\n%lld %lld", version->title, version->words,
                                  (long long)version->base, (long long)version->saved_ms);
    return sum_more(sum_of(version->document), (Document){rest, strlen(rest)});
}

bool version_put(Store *store, const NewVersion *version)
{
    Query query = query_begin(
        store, "INSERT INTO version (record, number, uid, base, saved_ms, name, title, words, "
               "sum, document) VALUES (?1, ?2, ?3, nullif(?4, 0), ?5, ?6, ?7, ?8, ?9, ?10)");
    query_int(&query, version->record);
    query_int(&query, version->number);
    query_text(&query, version->uid);
    query_int(&query, version->base);
    query_int(&query, version->saved_ms);
    query_text(&query, version->name);
    query_text(&query, version->title);
    query_text(&query, version->words);
    query_int(&query, version_sum(version, store->scratch));
    query_bytes(&query, version->document);
    return query_run(&query);
}

bool present_get(Store *store, int64_t record, int64_t *present, bool *found)
{
    Query query = query_begin(store, "SELECT present FROM record WHERE id = ?1");
    query_int(&query, record);
    *found = query_row(&query);
    if (*found) {
        *present = query_get_int(&query, 0);
    }
    return query_end(&query);
}

bool present_set(Store *store, int64_t record, int64_t number)
{
    Query query = query_begin(store, "UPDATE record SET present = ?2 WHERE id = ?1");
    query_int(&query, record);
    query_int(&query, number);
    return query_run(&query);
}

bool again_set(Store *store, int64_t record, int64_t number, int64_t again)
{
    Query query =
        query_begin(store, "UPDATE version SET again = ?3 WHERE record = ?1 AND number = ?2");
    query_int(&query, record);
    query_int(&query, number);
    query_int(&query, again);
    return query_run(&query);
}

bool version_last(Store *store, int64_t record, int64_t *number)
{
    Query query =
        query_begin(store, "SELECT coalesce(max(number), 0) FROM version WHERE record = ?1");
    query_int(&query, record);
    if (query_row(&query)) {
        *number = query_get_int(&query, 0);
    }
    return query_end(&query) && (*number < VERSIONS_MAX || store_fails(store, SQLITE_CORRUPT));
}

bool store_missing(const Store *store, Problems *problems, const char *format, ...)
{
    va_list values;
    va_start(values, format);
    const char *found = arena_text_list(problems->keep, format, values);
    va_end(values);
    return problems_add(problems, (Problem){.kind = PROBLEM_NOT_FOUND,
                                            .where = arena_copy_text(problems->keep, store->path),
                                            .found = found});
}

bool store_conflict(const Store *store, int64_t thought, int64_t present, Problems *problems)
{
    Arena *words = problems->keep;
    return problems_add(
        problems,
        (Problem){.kind = PROBLEM_CONFLICT,
                  .where = arena_copy_text(words, store->path),
                  .found =
                      arena_text(words, "version %lld was edited, but version %lld stands there",
                                 (long long)thought, (long long)present),
                  .remedy = "somebody else saved meanwhile: look at their version first; neither "
                            "is lost"});
}

bool record_is(Store *store, int64_t id, RecordKind kind, Problems *problems)
{
    Query query = query_begin(store, "SELECT 1 FROM record WHERE id = ?1 AND kind = ?2");
    query_int(&query, id);
    query_text(&query, record_kind_names[kind]);
    const bool found = query_row(&query);
    return query_end(&query) && (found || store_missing(store, problems, "there is no %s %lld",
                                                        record_kind_names[kind], (long long)id));
}

bool present_is(Store *store, int64_t record, int64_t thought, int64_t *present, Problems *problems)
{
    bool found = false;
    if (!present_get(store, record, present, &found)) {
        return false;
    }
    if (!found) {
        return store_missing(store, problems, "there is no number %lld", (long long)record);
    }
    return *present == thought || store_conflict(store, thought, *present, problems);
}

bool change_close(Store *store, bool good, const char *what, Problems *problems)
{
    if (change_end(store, good)) {
        return true;
    }
    return store->failure != SQLITE_OK && store_refuse(store, what, problems);
}

bool is_one_line(const char *text)
{
    for (const char *c = text; *c; c++) {
        if ((unsigned char)*c < ' ' || *c == 0x7f) {
            return false;
        }
    }
    return true;
}

bool version_name_is_sound(const Store *store, const char *name, Problems *problems)
{
    Arena *words = problems->keep;
    return !name || (*name && strlen(name) <= VERSION_NAME_MAX && is_one_line(name)) ||
           problems_add(
               problems,
               (Problem){.kind = PROBLEM_BAD_INPUT,
                         .where = arena_copy_text(words, store->path),
                         .found = arena_text(words, "a version's name of %zu bytes", strlen(name)),
                         .allowed = arena_text(words, "one line of 1 to %d bytes",
                                               (int)VERSION_NAME_MAX)});
}

bool version_name(Store *store, int64_t record, int64_t number, const char *name)
{
    Query query =
        query_begin(store, "UPDATE version SET name = ?3 WHERE record = ?1 AND number = ?2");
    query_int(&query, record);
    query_int(&query, number);
    query_text(&query, name);
    return query_run(&query);
}
