#include "store/hides.h"

#include "store/sql.h"
#include "store/versions.h"

#define STATES                                                                                     \
    "SELECT " RECORD_COLUMNS ", coalesce(own.job, 0), coalesce(own.version, 0), "                  \
    "coalesce(own.cut_ms, 0), coalesce(made.hide, 0), coalesce(made.job, 0)" RECORD_TABLES         \
    "LEFT JOIN cut AS own ON own.hide = record.id "                                                \
    "LEFT JOIN remnant ON remnant.hide = record.id "                                               \
    "LEFT JOIN cut AS made ON made.id = remnant.cut "

static HideState read_state(const Query *query, Arena *keep)
{
    enum { OWN = RECORD_COLUMN_COUNT };
    return (HideState){.record = record_of_row(query, keep),
                       .cut_by = query_get_int(query, OWN),
                       .cut_as = query_get_int(query, OWN + 1),
                       .cut_ms = query_get_int(query, OWN + 2),
                       .left_of = query_get_int(query, OWN + 3),
                       .left_by = query_get_int(query, OWN + 4)};
}

// All rows of a query that is bound already.
static bool read_states(Query *query, Arena *keep, HideStates *states, Problems *problems)
{
    HideStates found = {0};
    int room = 0;
    while (query_row(query)) {
        found.items = arena_room(keep, found.items, found.count, &room, sizeof *found.items);
        found.items[found.count++] = read_state(query, keep);
    }
    if (!query_end(query)) {
        return store_refuse(query->store, "read the hides", problems);
    }
    *states = found;
    return true;
}

bool hides_list(Store *store, HidesWanted wanted, Arena *keep, HideStates *hides,
                Problems *problems)
{
    Query query = query_begin(
        store, STATES "WHERE kind = 'hide' AND (?1 OR (own.id IS NULL AND away_ms IS NULL)) "
                      "ORDER BY saved_ms DESC, record.id DESC");
    query_int(&query, wanted == HIDES_ALL);
    return read_states(&query, keep, hides, problems);
}

bool hide_state(Store *store, int64_t hide, Arena *keep, HideState *state, Problems *problems)
{
    Query query = query_begin(store, STATES "WHERE kind = 'hide' AND record.id = ?1");
    query_int(&query, hide);
    HideStates found = {0};
    if (!read_states(&query, keep, &found, problems)) {
        return false;
    }
    if (found.count == 0) {
        return store_missing(store, problems, "there is no hide %lld", (long long)hide);
    }
    *state = found.items[0];
    return true;
}

bool hide_remnants(Store *store, int64_t hide, Arena *keep, HideStates *remnants,
                   Problems *problems)
{
    Query query = query_begin(store, STATES "WHERE made.hide = ?1 ORDER BY record.id");
    query_int(&query, hide);
    return read_states(&query, keep, remnants, problems);
}

// Within a change.
static bool put_on_table(Store *store, const OnTable *place, Problems *problems)
{
    if (!record_is(store, place->job, RECORD_JOB, problems) ||
        !record_is(store, place->hide, RECORD_HIDE, problems)) {
        return false;
    }
    Query other = query_begin(
        store, "SELECT hide FROM on_table WHERE job = ?1 AND called = ?2 AND hide <> ?3");
    query_int(&other, place->job);
    query_text(&other, place->called);
    query_int(&other, place->hide);
    const bool taken = query_row(&other);
    if (!query_end(&other)) {
        return false;
    }
    if (taken) {
        return problems_say(problems, PROBLEM_CONFLICT, store->path,
                            "job %lld has another hide called \"%s\"", (long long)place->job,
                            place->called);
    }
    Query put = query_begin(store, "INSERT INTO on_table (job, hide, called) VALUES (?1, ?2, ?3) "
                                   "ON CONFLICT (job, hide) DO UPDATE SET called = ?3");
    query_int(&put, place->job);
    query_int(&put, place->hide);
    query_text(&put, place->called);
    return query_run(&put);
}

bool hide_put_on_table(Store *store, const OnTable *place, Problems *problems)
{
    const bool good = change_begin(store) && put_on_table(store, place, problems);
    return change_close(store, good, "put the hide on the table", problems);
}

static bool take_off(Store *store, int64_t job, int64_t hide)
{
    Query query = query_begin(store, "DELETE FROM on_table WHERE job = ?1 AND hide = ?2");
    query_int(&query, job);
    query_int(&query, hide);
    return query_run(&query);
}

bool hide_take_off_table(Store *store, int64_t job, int64_t hide, Problems *problems)
{
    const bool good = change_begin(store) && take_off(store, job, hide);
    return change_close(store, good, "take the hide off the table", problems);
}

bool hides_on_tables(Store *store, int64_t job, int64_t hide, Arena *keep, OnTables *places,
                     Problems *problems)
{
    Query query = query_begin(store, "SELECT job, hide, called FROM on_table "
                                     "WHERE (?1 = 0 OR job = ?1) AND (?2 = 0 OR hide = ?2) "
                                     "ORDER BY job, called");
    query_int(&query, job);
    query_int(&query, hide);
    OnTables found = {0};
    int room = 0;
    while (query_row(&query)) {
        found.items = arena_room(keep, found.items, found.count, &room, sizeof *found.items);
        found.items[found.count++] = (OnTable){.job = query_get_int(&query, 0),
                                               .hide = query_get_int(&query, 1),
                                               .called = query_get_text(&query, 2, keep)};
    }
    if (!query_end(&query)) {
        return store_refuse(store, "read the tables", problems);
    }
    *places = found;
    return true;
}

static bool is_whole(Store *store, int64_t hide, Problems *problems)
{
    Query query = query_begin(store, "SELECT job, version FROM cut WHERE hide = ?1");
    query_int(&query, hide);
    const bool cut = query_row(&query);
    const long long job = cut ? (long long)query_get_int(&query, 0) : 0;
    const long long version = cut ? (long long)query_get_int(&query, 1) : 0;
    return query_end(&query) &&
           (!cut || problems_say(problems, PROBLEM_CONFLICT, store->path,
                                 "hide %lld was cut before, for version %lld of job %lld",
                                 (long long)hide, version, job));
}

static bool is_version(Store *store, int64_t job, int64_t version, Problems *problems)
{
    Query query = query_begin(store, "SELECT 1 FROM version WHERE record = ?1 AND number = ?2");
    query_int(&query, job);
    query_int(&query, version);
    const bool found = query_row(&query);
    return query_end(&query) &&
           (found || store_missing(store, problems, "there is no version %lld of job %lld",
                                   (long long)version, (long long)job));
}

static bool put_cut(Store *store, const JobCut *job, int64_t hide, int64_t *cut)
{
    Query query = query_begin(store, "INSERT INTO cut (uid, hide, job, version, cut_ms) "
                                     "VALUES (?1, ?2, ?3, ?4, ?5)");
    query_text(&query, new_uid(store->scratch));
    query_int(&query, hide);
    query_int(&query, job->job);
    query_int(&query, job->version);
    query_int(&query, store_now_ms(store));
    const bool put = query_run(&query);
    *cut = sqlite3_last_insert_rowid(store->db);
    return put;
}

static bool put_remnant(Store *store, Document document, int64_t cut, int64_t *id)
{
    if (!record_put(store, RECORD_HIDE, document, id)) {
        return false;
    }
    Query query = query_begin(store, "INSERT INTO remnant (hide, cut) VALUES (?1, ?2)");
    query_int(&query, *id);
    query_int(&query, cut);
    return query_run(&query);
}

// Within a change. `remnants`: as hides_cut() has it, from this hide's first.
static bool cut_one(Store *store, const JobCut *job, const HideCut *hide, int64_t *remnants,
                    Problems *problems)
{
    int64_t cut = 0;
    if (!record_is(store, hide->hide, RECORD_HIDE, problems) ||
        !is_whole(store, hide->hide, problems) || !put_cut(store, job, hide->hide, &cut)) {
        return false;
    }
    for (int i = 0; i < hide->remnant_count; i++) {
        int64_t id = 0;
        if (!record_size_is_sound(store, hide->remnants[i], problems) ||
            !put_remnant(store, hide->remnants[i], cut, &id)) {
            return false;
        }
        if (remnants) {
            remnants[i] = id;
        }
    }
    return true;
}

// Within a change.
static bool keep_layout(Store *store, const JobCut *cut, Problems *problems)
{
    const NewKeepsake layout = {KEEPSAKE_LAYOUT, cut->job, cut->version, "as it was cut",
                                cut->layout};
    if (layout.document.bytes == 0) {
        return true;
    }
    const KeepsakeMark mark = {.uid = new_uid(store->scratch), .kept_ms = store_now_ms(store)};
    return keepsake_is_sound(store, &layout, problems) && keepsake_insert(store, &layout, &mark);
}

bool hides_cut(Store *store, const JobCut *cut, int64_t *remnants, Problems *problems)
{
    const ArenaMark mark = arena_mark(store->scratch);
    bool good = change_begin(store) && record_is(store, cut->job, RECORD_JOB, problems) &&
                is_version(store, cut->job, cut->version, problems);
    int put = 0;
    for (int i = 0; i < cut->count && good; i++) {
        good = cut_one(store, cut, &cut->cuts[i], remnants ? &remnants[put] : NULL, problems);
        put += cut->cuts[i].remnant_count;
    }
    good = good && keep_layout(store, cut, problems);
    good = change_close(store, good, "record the cut", problems);
    arena_rewind(store->scratch, mark);
    return good;
}
