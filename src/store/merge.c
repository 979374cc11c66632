#include "store/merge.h"

#include "store/describe.h"
#include "store/history.h"
#include "store/versions.h"

#include <string.h>

bool merge_refuse(const Merge *merge, const char *format, ...)
{
    va_list values;
    va_start(values, format);
    const char *found = arena_text_list(merge->problems->keep, format, values);
    va_end(values);
    return problems_add(merge->problems, (Problem){.kind = PROBLEM_BAD_INPUT,
                                                   .where = arena_copy_text(merge->problems->keep,
                                                                            merge->from->path),
                                                   .found = found});
}

const RecordPair *merged_record(const Merge *merge, int64_t from)
{
    int low = 0;
    int high = merge->record_count;
    while (low < high) {
        const int middle = low + (high - low) / 2;
        if (merge->records[middle].from < from) {
            low = middle + 1;
        } else {
            high = middle;
        }
    }
    const bool found = low < merge->record_count && merge->records[low].from == from;
    return found ? &merge->records[low] : NULL;
}

int64_t merged_number(const RecordPair *record, int64_t from)
{
    int low = 0;
    int high = record->count;
    while (low < high) {
        const int middle = low + (high - low) / 2;
        if (record->numbers[middle].from < from) {
            low = middle + 1;
        } else {
            high = middle;
        }
    }
    return low < record->count && record->numbers[low].from == from ? record->numbers[low].to
                                                                    : NO_VERSION;
}

static bool is_wanted(const Merge *merge, int64_t id)
{
    for (int i = 0; i < merge->wanted_count; i++) {
        if (merge->wanted[i] == id) {
            return true;
        }
    }
    return merge->wanted == NULL;
}

// A record of `from` as it is read.
typedef struct Incoming {
    int64_t id;
    const char *uid;
    RecordKind kind;
    int64_t present;
    int64_t begun_ms;
    int64_t away_ms; // 0: not put away
} Incoming;

static bool find_here(Merge *merge, const Incoming *incoming, int64_t *id, bool *known)
{
    Query query = query_begin(merge->to, "SELECT id, kind FROM record WHERE uid = ?1");
    query_text(&query, incoming->uid);
    *known = query_row(&query);
    bool same_kind = true;
    if (*known) {
        *id = query_get_int(&query, 0);
        same_kind = strcmp(query_get_text(&query, 1, merge->to->scratch),
                           record_kind_names[incoming->kind]) == 0;
    }
    return query_end(&query) &&
           (same_kind || merge_refuse(merge, "number %lld is a %s, but here it is another thing",
                                      (long long)incoming->id, record_kind_names[incoming->kind]));
}

static bool put_record(Merge *merge, const Incoming *incoming, int64_t *id)
{
    Query query = query_begin(merge->to, "INSERT INTO record (uid, kind, present, begun_ms, "
                                         "away_ms) VALUES (?1, ?2, ?3, ?4, nullif(?5, 0))");
    query_text(&query, incoming->uid);
    query_text(&query, record_kind_names[incoming->kind]);
    query_int(&query, incoming->present);
    query_int(&query, incoming->begun_ms);
    query_int(&query, incoming->away_ms);
    const bool put = query_run(&query);
    *id = sqlite3_last_insert_rowid(merge->to->db);
    merge->report.jobs += incoming->kind == RECORD_JOB;
    merge->report.hides += incoming->kind == RECORD_HIDE;
    return put;
}

static bool version_here(Merge *merge, const char *uid, int64_t record, int64_t *number)
{
    Query query = query_begin(merge->to, "SELECT record, number FROM version WHERE uid = ?1");
    query_text(&query, uid);
    bool sound = true;
    *number = NO_VERSION;
    if (query_row(&query)) {
        sound = query_get_int(&query, 0) == record;
        *number = query_get_int(&query, 1);
    }
    return query_end(&query) &&
           (sound || merge_refuse(merge, "a version belongs to another job or hide here"));
}

// Names that are printed must be names; whoever made the file may have put anything there.
static const char *plain_or_null(const char *text)
{
    return text && is_one_line(text) && *text && strlen(text) <= VERSION_NAME_MAX ? text : NULL;
}

static void add_number(Merge *merge, RecordPair *pair, NumberPair numbers)
{
    pair->numbers =
        arena_room(merge->keep, pair->numbers, pair->count, &pair->room, sizeof *pair->numbers);
    pair->numbers[pair->count++] = numbers;
}

// The version of a row: number, uid, base, saved, name, title, document.
static bool merge_version(Merge *merge, const Query *row, RecordKind kind, RecordPair *pair,
                          int64_t *last)
{
    Arena *scratch = merge->to->scratch;
    NewVersion version = {.record = pair->to, .uid = query_get_text(row, 1, scratch)};
    const int64_t from = query_get_int(row, 0);
    if (!version_here(merge, version.uid, pair->to, &version.number)) {
        return false;
    }
    if (version.number != NO_VERSION) {
        add_number(merge, pair, (NumberPair){from, version.number});
        return true;
    }
    if (from >= VERSIONS_MAX) {
        return merge_refuse(merge, "has a version %lld, which nobody has saved", (long long)from);
    }
    version.number = *last >= from ? *last + 1 : from; // a new record keeps its numbers
    version.base = merged_number(pair, query_get_int(row, 2));
    version.saved_ms = query_get_int(row, 3);
    version.name = plain_or_null(query_get_text(row, 4, scratch));
    version.document = query_get_bytes(row, 6, scratch);
    if (!record_size_is_sound(merge->from, version.document, merge->problems)) {
        return false;
    }
    const Description about =
        describe(kind, version.document, plain_or_null(query_get_text(row, 5, scratch)), scratch);
    version.title = about.title;
    version.words = about.words;
    *last = version.number;
    merge->report.versions++;
    add_number(merge, pair, (NumberPair){from, version.number});
    return version_put(merge->to, &version);
}

static bool merge_versions(Merge *merge, const Incoming *incoming, RecordPair *pair)
{
    int64_t last = 0;
    if (!version_last(merge->to, pair->to, &last)) {
        return false;
    }
    Query rows =
        query_begin(merge->from, "SELECT number, uid, coalesce(base, 0), saved_ms, name, title, "
                                 "document FROM version WHERE record = ?1 ORDER BY number");
    query_int(&rows, incoming->id);
    bool good = true;
    while (good && query_row(&rows)) {
        const ArenaMark mark = arena_mark(merge->to->scratch);
        good = merge_version(merge, &rows, incoming->kind, pair, &last);
        arena_rewind(merge->to->scratch, mark);
    }
    return query_end(&rows) && good;
}

// Redo of the versions that had none here.
static bool merge_again(Merge *merge, const RecordPair *pair)
{
    Query rows = query_begin(merge->from, "SELECT number, again FROM version WHERE record = ?1 "
                                          "AND again IS NOT NULL");
    query_int(&rows, pair->from);
    bool good = true;
    while (good && query_row(&rows)) {
        const int64_t number = merged_number(pair, query_get_int(&rows, 0));
        const int64_t again = merged_number(pair, query_get_int(&rows, 1));
        Query set = query_begin(merge->to, "UPDATE version SET again = ?3 WHERE record = ?1 "
                                           "AND number = ?2 AND again IS NULL AND number < ?3");
        query_int(&set, pair->to);
        query_int(&set, number);
        query_int(&set, again);
        good = query_run(&set);
    }
    return query_end(&rows) && good;
}

// Whether `older` is what `number` was made of, by however many steps.
static bool comes_from(Store *store, int64_t record, NumberPair pair, bool *does)
{
    Query query = query_begin(store, "WITH RECURSIVE line (number) AS (SELECT ?2 UNION "
                                     "SELECT base FROM line JOIN version ON record = ?1 "
                                     "AND version.number = line.number WHERE base IS NOT NULL) "
                                     "SELECT 1 FROM line WHERE number = ?3");
    query_int(&query, record);
    query_int(&query, pair.to);
    query_int(&query, pair.from);
    *does = query_row(&query);
    return query_end(&query);
}

// A record that was known stands where the newer side has it, or stays.
static bool merge_present(Merge *merge, const Incoming *incoming, const RecordPair *pair)
{
    const int64_t there = merged_number(pair, incoming->present);
    int64_t here = 0;
    bool found = false;
    bool ahead = false;
    bool behind = false;
    if (!present_get(merge->to, pair->to, &here, &found) ||
        !comes_from(merge->to, pair->to, (NumberPair){here, there}, &ahead) ||
        !comes_from(merge->to, pair->to, (NumberPair){there, here}, &behind)) {
        return false;
    }
    if (ahead && here != there) {
        merge->report.moved++;
        return history_step_to(merge->to, pair->to, there);
    }
    merge->report.apart += !ahead && !behind;
    return true;
}

static bool merge_record(Merge *merge, const Incoming *incoming)
{
    RecordPair pair = {.from = incoming->id};
    bool known = false;
    if (!find_here(merge, incoming, &pair.to, &known) ||
        (!known && !put_record(merge, incoming, &pair.to)) ||
        !merge_versions(merge, incoming, &pair) || !merge_again(merge, &pair)) {
        return false;
    }
    if (known && !merge_present(merge, incoming, &pair)) {
        return false;
    }
    merge->records = arena_room(merge->keep, merge->records, merge->record_count,
                                &merge->record_room, sizeof *merge->records);
    merge->records[merge->record_count++] = pair;
    return true;
}

bool merge_all(Merge *merge)
{
    Query rows = query_begin(merge->from, "SELECT id, uid, kind = 'hide', present, begun_ms, "
                                          "coalesce(away_ms, 0) FROM record ORDER BY id");
    bool good = true;
    while (good && query_row(&rows)) {
        const ArenaMark mark = arena_mark(merge->from->scratch);
        const Incoming incoming = {.id = query_get_int(&rows, 0),
                                   .uid = query_get_text(&rows, 1, merge->from->scratch),
                                   .kind = query_get_int(&rows, 2) ? RECORD_HIDE : RECORD_JOB,
                                   .present = query_get_int(&rows, 3),
                                   .begun_ms = query_get_int(&rows, 4),
                                   .away_ms = query_get_int(&rows, 5)};
        good = !is_wanted(merge, incoming.id) || merge_record(merge, &incoming);
        arena_rewind(merge->from->scratch, mark);
    }
    return query_end(&rows) && good && merge_links(merge);
}
