// What ties records together, and what is kept of them.
#include "store/merge.h"

#include "store/keepsakes.h"
#include "store/versions.h"

#include <string.h>

// Whether a statement with one text finds a row; *id is its first value.
static bool find_uid(Store *store, const char *sql, const char *uid, int64_t *id, bool *found)
{
    Query query = query_begin(store, sql);
    query_text(&query, uid);
    *found = query_row(&query);
    if (*found) {
        *id = query_get_int(&query, 0);
    }
    return query_end(&query);
}

static bool is_cut(Store *store, int64_t hide, bool *cut)
{
    Query query = query_begin(store, "SELECT 1 FROM cut WHERE hide = ?1");
    query_int(&query, hide);
    *cut = query_row(&query);
    return query_end(&query);
}

static bool put_remnants(Merge *merge, int64_t cut_from, int64_t cut_to)
{
    Query rows = query_begin(merge->from, "SELECT hide FROM remnant WHERE cut = ?1");
    query_int(&rows, cut_from);
    bool good = true;
    while (good && query_row(&rows)) {
        const RecordPair *remnant = merged_record(merge, query_get_int(&rows, 0));
        if (remnant) {
            Query put =
                query_begin(merge->to, "INSERT OR IGNORE INTO remnant (hide, cut) VALUES (?1, ?2)");
            query_int(&put, remnant->to);
            query_int(&put, cut_to);
            good = query_run(&put);
        }
    }
    return query_end(&rows) && good;
}

// The cut of a row: id, uid, hide, job, version, time.
static bool merge_cut(Merge *merge, const Query *row)
{
    const char *uid = query_get_text(row, 1, merge->to->scratch);
    const RecordPair *hide = merged_record(merge, query_get_int(row, 2));
    const RecordPair *job = merged_record(merge, query_get_int(row, 3));
    const int64_t version = job ? merged_number(job, query_get_int(row, 4)) : NO_VERSION;
    if (!hide || version == NO_VERSION) {
        return true; // of a job or hide that is not wanted
    }
    int64_t id = 0;
    bool known = false;
    bool cut = false;
    if (!find_uid(merge->to, "SELECT id FROM cut WHERE uid = ?1", uid, &id, &known) ||
        !is_cut(merge->to, hide->to, &cut)) {
        return false;
    }
    if (!known && cut) {
        merge->report.cuts_left_out++;
        return true;
    }
    if (!known) {
        Query put = query_begin(merge->to, "INSERT INTO cut (uid, hide, job, version, cut_ms) "
                                           "VALUES (?1, ?2, ?3, ?4, ?5)");
        query_text(&put, uid);
        query_int(&put, hide->to);
        query_int(&put, job->to);
        query_int(&put, version);
        query_int(&put, query_get_int(row, 5));
        if (!query_run(&put)) {
            return false;
        }
        id = sqlite3_last_insert_rowid(merge->to->db);
    }
    return put_remnants(merge, query_get_int(row, 0), id);
}

static bool merge_table(Merge *merge, const Query *row)
{
    const RecordPair *job = merged_record(merge, query_get_int(row, 0));
    const RecordPair *hide = merged_record(merge, query_get_int(row, 1));
    if (!job || !hide) {
        return true;
    }
    Query put = query_begin(
        merge->to, "INSERT OR IGNORE INTO on_table (job, hide, called) VALUES (?1, ?2, ?3)");
    query_int(&put, job->to);
    query_int(&put, hide->to);
    query_text(&put, query_get_text(row, 2, merge->to->scratch));
    return query_run(&put);
}

static KeepsakeKind read_kind(const char *word)
{
    return strcmp(word, keepsake_kind_names[KEEPSAKE_PICTURE]) == 0 ? KEEPSAKE_PICTURE
           : strcmp(word, keepsake_kind_names[KEEPSAKE_OFFER]) == 0 ? KEEPSAKE_OFFER
                                                                    : KEEPSAKE_LAYOUT;
}

static bool is_named(const Merge *merge, int64_t picture)
{
    for (int i = 0; i < merge->picture_count; i++) {
        if (merge->pictures[i] == picture) {
            return true;
        }
    }
    return false;
}

enum { UID_LENGTH = 32 };

static bool is_uid(const char *text)
{
    int length = 0;
    while (length < UID_LENGTH && text[length] && strchr("0123456789abcdef", text[length])) {
        length++;
    }
    return length == UID_LENGTH;
}

static bool note_picture(Merge *merge, const char *uid)
{
    int64_t id = 0;
    bool found = false;
    if (!find_uid(merge->from, "SELECT id FROM keepsake WHERE uid = ?1 AND kind = 'picture'", uid,
                  &id, &found)) {
        return false;
    }
    if (found && !is_named(merge, id)) {
        merge->pictures = arena_room(merge->keep, merge->pictures, merge->picture_count,
                                     &merge->picture_room, sizeof *merge->pictures);
        merge->pictures[merge->picture_count++] = id;
    }
    return true;
}

// Every text in quotes that is the uid of a picture.
static bool note_pictures(Merge *merge, Document document)
{
    char uid[UID_LENGTH + 1] = "";
    for (size_t i = 0; i + UID_LENGTH + 1 < document.bytes; i++) {
        const char *text = document.data + i + 1;
        if (document.data[i] == '"' && text[UID_LENGTH] == '"' && is_uid(text)) {
            memcpy(uid, text, UID_LENGTH);
            if (!note_picture(merge, uid)) {
                return false;
            }
        }
    }
    return true;
}

// A remnant names the picture of the hide that it was a part of, which may be no business of
// those that are wanted otherwise: another job cut it.
static bool note_all_pictures(Merge *merge)
{
    Arena *scratch = merge->to->scratch;
    bool good = true;
    for (int i = 0; good && i < merge->record_count; i++) {
        Query rows = query_begin(merge->from, "SELECT document FROM version WHERE record = ?1");
        query_int(&rows, merge->records[i].from);
        while (good && query_row(&rows)) {
            const ArenaMark mark = arena_mark(scratch);
            good = note_pictures(merge, query_get_bytes(&rows, 0, scratch));
            arena_rewind(scratch, mark);
        }
        good = query_end(&rows) && good;
    }
    return good;
}

// The keepsake of a row: uid, kind, record, version, name, time, away, bytes, id.
static bool merge_keepsake(Merge *merge, const Query *row)
{
    Arena *scratch = merge->to->scratch;
    const KeepsakeMark mark = {query_get_text(row, 0, scratch), query_get_int(row, 5),
                               query_get_int(row, 6)};
    const int64_t record = query_get_int(row, 2);
    const RecordPair *owner = record ? merged_record(merge, record) : NULL;
    int64_t id = 0;
    bool known = false;
    const bool belongs = merge->wanted ? is_named(merge, query_get_int(row, 8)) : record == 0;
    if (!owner && !belongs) {
        return true;
    }
    if (!find_uid(merge->to, "SELECT id FROM keepsake WHERE uid = ?1", mark.uid, &id, &known)) {
        return false;
    }
    const NewKeepsake keepsake = {
        .kind = read_kind(query_get_text(row, 1, scratch)),
        .record = owner ? owner->to : 0,
        .version = owner ? merged_number(owner, query_get_int(row, 3)) : 0,
        .name = query_get_text(row, 4, scratch),
        .document = known ? (Document){0} : query_get_bytes(row, 7, scratch)};
    if (known) {
        return true;
    }
    merge->report.keepsakes++;
    return keepsake_is_sound(merge->from, &keepsake, merge->problems) &&
           keepsake_insert(merge->to, &keepsake, &mark);
}

// The tick of a row: job, step, done, time, device.
static bool merge_tick(Merge *merge, const Query *row)
{
    Arena *scratch = merge->to->scratch;
    const RecordPair *job = merged_record(merge, query_get_int(row, 0));
    const Tick tick = {.step = query_get_text(row, 1, scratch),
                       .done = query_get_int(row, 2) != 0,
                       .ticked_ms = query_get_int(row, 3),
                       .device = query_get_text(row, 4, scratch)};
    if (!job) {
        return true;
    }
    return tick_is_sound(&tick) ? tick_insert(merge->to, job->to, &tick)
                                : merge_refuse(merge, "a tick has no step's name or no time");
}

static bool merge_rows(Merge *merge, const char *sql, bool (*one)(Merge *merge, const Query *row))
{
    Query rows = query_begin(merge->from, sql);
    bool good = true;
    while (good && query_row(&rows)) {
        const ArenaMark mark = arena_mark(merge->to->scratch);
        good = one(merge, &rows);
        arena_rewind(merge->to->scratch, mark);
    }
    return query_end(&rows) && good;
}

bool merge_links(Merge *merge)
{
    return merge_rows(merge, "SELECT id, uid, hide, job, version, cut_ms FROM cut", merge_cut) &&
           merge_rows(merge, "SELECT job, hide, called FROM on_table", merge_table) &&
           merge_rows(merge, "SELECT job, step, done, ticked_ms, device FROM tick", merge_tick) &&
           (!merge->wanted || note_all_pictures(merge)) &&
           merge_rows(merge,
                      "SELECT uid, kind, coalesce(record, 0), coalesce(version, 0), name, "
                      "kept_ms, coalesce(away_ms, 0), bytes, id FROM keepsake",
                      merge_keepsake);
}
