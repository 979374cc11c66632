#include "store/ticks.h"

#include "store/sql.h"
#include "store/versions.h"

#include <string.h>

static bool is_name(const char *step)
{
    const size_t length = strlen(step);
    return length > 0 && length <= TICK_STEP_MAX &&
           strspn(step, "abcdefghijklmnopqrstuvwxyz0123456789-") == length;
}

bool tick_is_sound(const Tick *tick)
{
    static const int64_t LAST_MS = 253402300799999; // of the year 9999
    return is_name(tick->step) && tick->ticked_ms >= 0 && tick->ticked_ms <= LAST_MS &&
           strlen(tick->device) <= TICK_DEVICE_MAX && is_one_line(tick->device);
}

static bool refuse(int index, const char *found, Problems *problems)
{
    Arena *words = problems->keep;
    return problems_add(
        problems,
        (Problem){.kind = PROBLEM_BAD_INPUT,
                  .where = arena_text(words, "ticks[%d]", index),
                  .found = found,
                  .allowed = arena_text(words,
                                        "a step of 1 to %d lower-case letters, digits and hyphens; "
                                        "a time since 1970; a device of at most %d bytes",
                                        (int)TICK_STEP_MAX, (int)TICK_DEVICE_MAX)});
}

// Later first; the rest only so that all agree. Texts are compared byte by byte.
bool tick_insert(Store *store, int64_t job, const Tick *tick)
{
    Query query = query_begin(
        store, "INSERT INTO tick (job, step, done, ticked_ms, device) VALUES (?1, ?2, ?3, ?4, ?5) "
               "ON CONFLICT (job, step) DO UPDATE SET done = excluded.done, "
               "ticked_ms = excluded.ticked_ms, device = excluded.device "
               "WHERE (excluded.ticked_ms, excluded.device, excluded.done) > "
               "(tick.ticked_ms, tick.device, tick.done)");
    query_int(&query, job);
    query_text(&query, tick->step);
    query_int(&query, tick->done);
    query_int(&query, tick->ticked_ms);
    query_text(&query, tick->device);
    return query_run(&query);
}

static bool count_ticks(Store *store, int64_t job, int64_t *count)
{
    Query query = query_begin(store, "SELECT count(*) FROM tick WHERE job = ?1");
    query_int(&query, job);
    *count = query_row(&query) ? query_get_int(&query, 0) : 0;
    return query_end(&query);
}

// Files that were put together may hold more than may be put here; those can still be changed.
static bool are_few(Store *store, int64_t job, int64_t before, Problems *problems)
{
    int64_t count = 0;
    return count_ticks(store, job, &count) &&
           (count <= TICKS_MAX || count <= before ||
            problems_add(
                problems,
                (Problem){.kind = PROBLEM_BAD_INPUT,
                          .where = "ticks",
                          .found =
                              arena_text(problems->keep, "%lld steps of one job", (long long)count),
                          .allowed = arena_text(problems->keep, "up to %d", (int)TICKS_MAX)}));
}

bool ticks_put(Store *store, int64_t job, Ticks ticks, Problems *problems)
{
    for (int i = 0; i < ticks.count; i++) {
        if (!tick_is_sound(&ticks.items[i])) {
            return refuse(i, "this is no tick", problems);
        }
    }
    int64_t before = 0;
    bool good = change_begin(store) && record_is(store, job, RECORD_JOB, problems) &&
                count_ticks(store, job, &before);
    for (int i = 0; good && i < ticks.count; i++) {
        good = tick_insert(store, job, &ticks.items[i]);
    }
    return change_close(store, good && are_few(store, job, before, problems), "keep the ticks",
                        problems);
}

bool ticks_list(Store *store, int64_t job, Arena *keep, Ticks *ticks, Problems *problems)
{
    Query query = query_begin(store, "SELECT step, done, ticked_ms, device FROM tick "
                                     "WHERE job = ?1 ORDER BY step");
    Ticks found = {0};
    int room = 0;
    query_int(&query, job);
    while (query_row(&query)) {
        found.items = arena_room(keep, found.items, found.count, &room, sizeof *found.items);
        found.items[found.count++] = (Tick){.step = query_get_text(&query, 0, keep),
                                            .done = query_get_int(&query, 1) != 0,
                                            .ticked_ms = query_get_int(&query, 2),
                                            .device = query_get_text(&query, 3, keep)};
    }
    if (!query_end(&query)) {
        return store_refuse(store, "read the ticks", problems);
    }
    *ticks = found;
    return true;
}
