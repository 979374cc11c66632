#include "store/devices.h"

#include "store/sql.h"
#include "store/versions.h"

#include <string.h>

bool devices_list(Store *store, Arena *keep, Devices *devices, Problems *problems)
{
    Devices found = {0};
    int room = 0;
    Query query =
        query_begin(store, "SELECT id, name, digest, paired_ms, seen_ms FROM device ORDER BY id");
    while (query_row(&query)) {
        const Document digest = query_get_bytes(&query, 2, keep);
        Device device = {.id = query_get_int(&query, 0),
                         .name = query_get_text(&query, 1, keep),
                         .paired_ms = query_get_int(&query, 3),
                         .seen_ms = query_get_int(&query, 4)};
        memcpy(device.digest, digest.data, SHA256_BYTES); // the table holds no other length
        found.items = arena_room(keep, found.items, found.count, &room, sizeof *found.items);
        found.items[found.count++] = device;
    }
    if (!query_end(&query)) {
        return store_refuse(store, "read the devices", problems);
    }
    *devices = found;
    return true;
}

static bool put(Store *store, Device *device, Problems *problems)
{
    int64_t count = 0;
    if (!sql_int(store, "SELECT count(*) FROM device", &count)) {
        return false;
    }
    if (count >= DEVICES_MAX) {
        return problems_say(problems, PROBLEM_CONFLICT, "device",
                            "%d devices are paired already; put one out first", (int)DEVICES_MAX);
    }
    Query query = query_begin(store, "INSERT INTO device (name, digest, paired_ms, seen_ms) "
                                     "VALUES (?1, ?2, ?3, ?3)");
    query_text(&query, device->name);
    query_bytes(&query, (Document){(const char *)device->digest, SHA256_BYTES});
    query_int(&query, device->paired_ms);
    return query_run(&query) && sql_int(store, "SELECT last_insert_rowid()", &device->id);
}

bool device_put(Store *store, Device *device, Problems *problems)
{
    device->paired_ms = store_now_ms(store);
    device->seen_ms = device->paired_ms;
    const bool begun = change_begin(store);
    return change_close(store, begun && put(store, device, problems), "pair it", problems);
}

bool device_seen(Store *store, int64_t id, int64_t seen_ms, Problems *problems)
{
    Query query = query_begin(store, "UPDATE device SET seen_ms = ?2 WHERE id = ?1");
    query_int(&query, id);
    query_int(&query, seen_ms);
    return query_run(&query) || store_refuse(store, "note it", problems);
}

static bool drop(Store *store, int64_t id, Problems *problems)
{
    Query query = query_begin(store, "DELETE FROM device WHERE ?1 IN (id, 0)");
    query_int(&query, id);
    int64_t changed = 0;
    if (!query_run(&query) || !sql_int(store, "SELECT changes()", &changed)) {
        return false;
    }
    return changed > 0 || id == 0 ||
           store_missing(store, problems, "there is no device %lld", (long long)id);
}

bool devices_left_out(Store *store, const char *copy)
{
    Query query = query_begin(store, "ATTACH ?1 AS copy");
    query_text(&query, copy);
    if (!query_run(&query)) {
        return false;
    }
    int64_t tables = 0;
    bool good =
        sql_int(store, "SELECT count(*) FROM copy.sqlite_schema WHERE name = 'device'", &tables);
    if (good && tables > 0) {
        good = sql_run(store, "PRAGMA copy.secure_delete = ON") &&
               sql_run(store, "DELETE FROM copy.device");
    }
    return sql_run(store, "DETACH copy") && good;
}

bool device_drop(Store *store, int64_t id, Problems *problems)
{
    const bool begun = change_begin(store);
    return change_close(store, begun && drop(store, id, problems), "put it out", problems);
}
