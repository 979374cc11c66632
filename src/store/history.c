#include "store/history.h"

#include "store/sql.h"
#include "store/versions.h"

#include <string.h>

bool history_list(Store *store, int64_t record, Arena *keep, Versions *versions, Problems *problems)
{
    Query query = query_begin(
        store, "SELECT number, coalesce(base, 0), coalesce(again, 0), saved_ms, name, title, "
               "length(document) FROM version WHERE record = ?1 ORDER BY number DESC");
    query_int(&query, record);
    Versions found = {0};
    int room = 0;
    while (query_row(&query)) {
        found.items = arena_room(keep, found.items, found.count, &room, sizeof *found.items);
        found.items[found.count++] = (Version){.number = query_get_int(&query, 0),
                                               .base = query_get_int(&query, 1),
                                               .again = query_get_int(&query, 2),
                                               .saved_ms = query_get_int(&query, 3),
                                               .name = query_get_text(&query, 4, keep),
                                               .title = query_get_text(&query, 5, keep),
                                               .bytes = (size_t)query_get_int(&query, 6)};
    }
    if (!query_end(&query)) {
        return store_refuse(store, "read it", problems);
    }
    *versions = found;
    return found.count > 0 ||
           store_missing(store, problems, "there is no number %lld", (long long)record);
}

// Base and redo of a version. *found false when there is no such version.
static bool links_of(Store *store, int64_t record, int64_t number, Version *links, bool *found)
{
    Query query = query_begin(store, "SELECT coalesce(base, 0), coalesce(again, 0) FROM version "
                                     "WHERE record = ?1 AND number = ?2");
    query_int(&query, record);
    query_int(&query, number);
    *found = query_row(&query);
    if (*found) {
        links->base = query_get_int(&query, 0);
        links->again = query_get_int(&query, 1);
    }
    return query_end(&query);
}

static bool undo(Store *store, int64_t record, int64_t *present, Problems *problems)
{
    Version links = {0};
    bool found = false;
    if (!links_of(store, record, *present, &links, &found)) {
        return false;
    }
    if (links.base == NO_VERSION) {
        return store_missing(store, problems, "there is nothing to undo: version %lld is the first",
                             (long long)*present);
    }
    if (!again_set(store, record, links.base, *present) ||
        !present_set(store, record, links.base)) {
        return false;
    }
    *present = links.base;
    return true;
}

static bool redo(Store *store, int64_t record, int64_t *present, Problems *problems)
{
    Version links = {0};
    bool found = false;
    if (!links_of(store, record, *present, &links, &found)) {
        return false;
    }
    if (links.again == NO_VERSION) {
        return store_missing(store, problems,
                             "there is nothing to redo: nothing follows version %lld",
                             (long long)*present);
    }
    if (!present_set(store, record, links.again)) {
        return false;
    }
    *present = links.again;
    return true;
}

// Redo leads back along the whole way from the first version.
bool history_step_to(Store *store, int64_t record, int64_t number)
{
    Version links = {0};
    bool found = false;
    int64_t at = number;
    if (!links_of(store, record, number, &links, &found)) {
        return false;
    }
    while (links.base != NO_VERSION) { // bases are always older: the tables see to it
        const int64_t base = links.base;
        if (!again_set(store, record, base, at) || !links_of(store, record, base, &links, &found)) {
            return false;
        }
        at = base;
    }
    return present_set(store, record, number);
}

static bool go(Store *store, int64_t record, int64_t to, int64_t *present, Problems *problems)
{
    Version links = {0};
    bool found = false;
    if (!links_of(store, record, to, &links, &found)) {
        return false;
    }
    if (!found) {
        return store_missing(store, problems, "there is no version %lld", (long long)to);
    }
    if (!history_step_to(store, record, to)) {
        return false;
    }
    *present = to;
    return true;
}

typedef enum Move { MOVE_UNDO, MOVE_REDO, MOVE_GO } Move;

static bool move(Store *store, int64_t record, Move how, Jump jump, int64_t *present,
                 Problems *problems)
{
    int64_t stands = *present;
    bool good = change_begin(store) && present_is(store, record, jump.at, &stands, problems);
    int64_t number = stands;
    if (good) {
        good = how == MOVE_UNDO   ? undo(store, record, &number, problems)
               : how == MOVE_REDO ? redo(store, record, &number, problems)
                                  : go(store, record, jump.to, &number, problems);
    }
    good = change_close(store, good, "move among its versions", problems);
    *present = good ? number : stands;
    return good;
}

bool history_undo(Store *store, int64_t record, int64_t at, int64_t *present, Problems *problems)
{
    return move(store, record, MOVE_UNDO, (Jump){.at = at}, present, problems);
}

bool history_redo(Store *store, int64_t record, int64_t at, int64_t *present, Problems *problems)
{
    return move(store, record, MOVE_REDO, (Jump){.at = at}, present, problems);
}

bool history_go(Store *store, int64_t record, Jump jump, int64_t *present, Problems *problems)
{
    return move(store, record, MOVE_GO, jump, present, problems);
}

bool history_name(Store *store, int64_t record, int64_t number, const char *name,
                  Problems *problems)
{
    if (!version_name_is_sound(store, name, problems)) {
        return false;
    }
    bool good = change_begin(store) && version_name(store, record, number, name);
    if (good && sqlite3_changes(store->db) == 0) {
        good = store_missing(store, problems, "there is no version %lld of number %lld",
                             (long long)number, (long long)record);
    }
    return change_close(store, good, "name the version", problems);
}
