#include "store/keepsakes.h"

#include "store/sql.h"
#include "store/versions.h"

#include <string.h>

const char *const keepsake_kind_names[KEEPSAKE_KIND_COUNT] = {"layout", "offer", "picture"};

static const size_t bytes_max[KEEPSAKE_KIND_COUNT] = {LAYOUT_BYTES_MAX, OFFER_BYTES_MAX,
                                                      PICTURE_BYTES_MAX};

// How files of each sort begin: JPEG (ITU-T T.81 and JFIF), PNG (ISO/IEC 15948), TIFF 6.0,
// WebP (RFC 9649); HEIC (ISO/IEC 23008-12) names its brand behind `ftyp`.
static const struct {
    const char *type;
    size_t at;
    size_t bytes;
    const char *mark;
} picture_marks[] = {
    {"image/jpeg", 0, 3, "\xff\xd8\xff"}, {"image/png", 0, 8, "\x89PNG\r\n\x1a\n"},
    {"image/tiff", 0, 4, "II*\0"},        {"image/tiff", 0, 4, "MM\0*"},
    {"image/webp", 8, 4, "WEBP"},         {"image/heic", 4, 8, "ftypheic"},
    {"image/heic", 4, 8, "ftypheix"},     {"image/heic", 4, 8, "ftypmif1"},
};

const char *keepsake_type(KeepsakeKind kind, Document document)
{
    if (kind != KEEPSAKE_PICTURE) {
        return "application/json";
    }
    for (size_t i = 0; i < sizeof picture_marks / sizeof *picture_marks; i++) {
        if (document.bytes >= picture_marks[i].at + picture_marks[i].bytes &&
            memcmp(document.data + picture_marks[i].at, picture_marks[i].mark,
                   picture_marks[i].bytes) == 0) {
            return picture_marks[i].type;
        }
    }
    return NULL;
}

static bool refuse(const Store *store, const char *found, const char *allowed, Problems *problems)
{
    return problems_add(problems, (Problem){.kind = PROBLEM_BAD_INPUT,
                                            .where = arena_copy_text(problems->keep, store->path),
                                            .found = found,
                                            .allowed = allowed});
}

bool keepsake_is_sound(const Store *store, const NewKeepsake *keepsake, Problems *problems)
{
    Arena *words = problems->keep;
    const size_t length = strlen(keepsake->name);
    if (length == 0 || length > KEEPSAKE_NAME_MAX || !is_one_line(keepsake->name)) {
        return refuse(store, arena_text(words, "a name of %zu bytes", length),
                      arena_text(words, "one line of 1 to %d bytes", (int)KEEPSAKE_NAME_MAX),
                      problems);
    }
    if (keepsake->document.bytes > bytes_max[keepsake->kind]) {
        return refuse(store,
                      arena_text(words, "a %s of %zu bytes", keepsake_kind_names[keepsake->kind],
                                 keepsake->document.bytes),
                      arena_text(words, "up to %zu bytes", bytes_max[keepsake->kind]), problems);
    }
    if (!keepsake_type(keepsake->kind, keepsake->document)) {
        return refuse(store, "is no picture that can be kept", "JPEG, PNG, WebP, HEIC or TIFF",
                      problems);
    }
    return keepsake->kind != KEEPSAKE_LAYOUT || keepsake->version > 0 ||
           refuse(store, "a layout without a version of its job", "the version that was laid",
                  problems);
}

// Within a change: whether what it is to belong to is there.
static bool has_owner(Store *store, const NewKeepsake *keepsake, Problems *problems)
{
    if (keepsake->record == 0 && keepsake->version == 0) {
        return true;
    }
    Query query = query_begin(store, "SELECT 1 FROM version WHERE record = ?1 "
                                     "AND (?2 = 0 OR number = ?2) LIMIT 1");
    query_int(&query, keepsake->record);
    query_int(&query, keepsake->version);
    const bool found = query_row(&query);
    return query_end(&query) &&
           (found || store_missing(store, problems, "there is no version %lld of number %lld",
                                   (long long)keepsake->version, (long long)keepsake->record));
}

// Within a change. Imports are not counted: they end where their file does.
static bool has_room(Store *store, const NewKeepsake *keepsake, Problems *problems)
{
    int64_t count = 0;
    return keepsake->kind != KEEPSAKE_PICTURE ||
           (sql_int(store, "SELECT count(*) FROM keepsake WHERE kind = 'picture'", &count) &&
            (count < PICTURES_MAX ||
             refuse(store,
                    arena_text(problems->keep, "%lld pictures are kept already", (long long)count),
                    arena_text(problems->keep, "up to %d", (int)PICTURES_MAX), problems)));
}

bool keepsake_insert(Store *store, const NewKeepsake *keepsake, const KeepsakeMark *mark)
{
    Query query =
        query_begin(store, "INSERT INTO keepsake (uid, kind, record, version, name, type, kept_ms, "
                           "away_ms, sum, bytes) VALUES (?1, ?2, nullif(?3, 0), nullif(?4, 0), ?5, "
                           "?6, ?7, nullif(?8, 0), ?9, ?10)");
    query_text(&query, mark->uid);
    query_text(&query, keepsake_kind_names[keepsake->kind]);
    query_int(&query, keepsake->record);
    query_int(&query, keepsake->version);
    query_text(&query, keepsake->name);
    query_text(&query, keepsake_type(keepsake->kind, keepsake->document));
    query_int(&query, mark->kept_ms);
    query_int(&query, mark->away_ms);
    query_int(&query, sum_of(keepsake->document));
    query_bytes(&query, keepsake->document);
    return query_run(&query);
}

// Within a change, after it was put: an id that is gone is not given again so.
static bool clear_one(Store *store, const NewKeepsake *keepsake, int64_t id)
{
    Query query =
        query_begin(store, "DELETE FROM keepsake WHERE kind = ?1 AND record IS nullif(?2, "
                           "0) AND version IS nullif(?3, 0) AND name = ?4 AND id = ?5");
    query_text(&query, keepsake_kind_names[keepsake->kind]);
    query_int(&query, keepsake->record);
    query_int(&query, keepsake->version);
    query_text(&query, keepsake->name);
    query_int(&query, id);
    return query_run(&query);
}

static bool put(Store *store, const NewKeepsake *keepsake, int64_t instead, int64_t *id,
                Problems *problems)
{
    if (!keepsake_is_sound(store, keepsake, problems)) {
        return false;
    }
    const ArenaMark mark = arena_mark(store->scratch);
    const KeepsakeMark own = {.uid = new_uid(store->scratch), .kept_ms = store_now_ms(store)};
    bool good = change_begin(store) && has_owner(store, keepsake, problems) &&
                has_room(store, keepsake, problems) && keepsake_insert(store, keepsake, &own);
    const int64_t made = sqlite3_last_insert_rowid(store->db);
    good = good && (instead == 0 || clear_one(store, keepsake, instead));
    good = change_close(store, good, "keep it", problems);
    if (good) {
        *id = made;
    }
    arena_rewind(store->scratch, mark);
    return good;
}

bool keepsake_put(Store *store, const NewKeepsake *keepsake, int64_t *id, Problems *problems)
{
    return put(store, keepsake, 0, id, problems);
}

bool keepsake_put_instead(Store *store, const NewKeepsake *keepsake, int64_t instead, int64_t *id,
                          Problems *problems)
{
    return put(store, keepsake, instead, id, problems);
}

bool keepsakes_find(Store *store, const KeepsakeSearch *search, Arena *keep, Keepsakes *keepsakes,
                    Problems *problems)
{
    Query query = query_begin(
        store, "SELECT id, coalesce(record, 0), coalesce(version, 0), name, type, kept_ms, "
               "length(bytes), away_ms IS NOT NULL, uid FROM keepsake WHERE kind = ?1 "
               "AND (?2 = 0 OR record = ?2) AND (?3 = 0 OR version = ?3) "
               "AND (?4 OR away_ms IS NULL) AND (?5 IS NULL OR uid = ?5) "
               "AND (?6 = 0 OR id = ?6) ORDER BY kept_ms DESC, id DESC");
    query_text(&query, keepsake_kind_names[search->kind]);
    query_int(&query, search->record);
    query_int(&query, search->version);
    query_int(&query, search->away);
    query_text(&query, search->uid);
    query_int(&query, search->id);
    Keepsakes found = {0};
    int room = 0;
    while (query_row(&query)) {
        found.items = arena_room(keep, found.items, found.count, &room, sizeof *found.items);
        found.items[found.count++] = (Keepsake){.id = query_get_int(&query, 0),
                                                .kind = search->kind,
                                                .record = query_get_int(&query, 1),
                                                .version = query_get_int(&query, 2),
                                                .name = query_get_text(&query, 3, keep),
                                                .type = query_get_text(&query, 4, keep),
                                                .kept_ms = query_get_int(&query, 5),
                                                .bytes = (size_t)query_get_int(&query, 6),
                                                .away = query_get_int(&query, 7) != 0,
                                                .uid = query_get_text(&query, 8, keep)};
    }
    if (!query_end(&query)) {
        return store_refuse(store, "read what is kept", problems);
    }
    *keepsakes = found;
    return true;
}

bool keepsake_read(Store *store, int64_t id, Arena *keep, Document *document, Problems *problems)
{
    Query query = query_begin(store, "SELECT sum, bytes FROM keepsake WHERE id = ?1");
    query_int(&query, id);
    const bool found = query_row(&query);
    Document read = {0};
    int64_t sum = 0;
    if (found) {
        sum = query_get_int(&query, 0);
        read = query_get_bytes(&query, 1, keep);
    }
    if (!query_end(&query)) {
        return store_refuse(store, "read it", problems);
    }
    if (!found) {
        return store_missing(store, problems, "there is no keepsake %lld", (long long)id);
    }
    if (sum_of(read) != sum) {
        (void)store_fails(store, SQLITE_CORRUPT);
        return store_refuse(store, "read it as it was kept", problems);
    }
    *document = read;
    return true;
}

static bool put_away(Store *store, int64_t id, bool away)
{
    Query query =
        query_begin(store, "UPDATE keepsake SET away_ms = iif(?2, ?3, NULL) WHERE id = ?1");
    query_int(&query, id);
    query_int(&query, away);
    query_int(&query, store_now_ms(store));
    return query_run(&query);
}

bool keepsake_put_away(Store *store, int64_t id, bool away, Problems *problems)
{
    bool good = change_begin(store) && put_away(store, id, away);
    if (good && sqlite3_changes(store->db) == 0) {
        good = store_missing(store, problems, "there is no keepsake %lld", (long long)id);
    }
    return change_close(store, good, "put it away", problems);
}

static bool give(Store *store, int64_t id, int64_t record)
{
    Query query =
        query_begin(store, "UPDATE keepsake SET record = ?2, version = NULL WHERE id = ?1");
    query_int(&query, id);
    query_int(&query, record);
    return query_run(&query);
}

bool keepsake_give(Store *store, int64_t id, int64_t record, Problems *problems)
{
    bool good = change_begin(store) &&
                has_owner(store, &(NewKeepsake){.record = record}, problems) &&
                give(store, id, record);
    if (good && sqlite3_changes(store->db) == 0) {
        good = store_missing(store, problems, "there is no keepsake %lld", (long long)id);
    }
    return change_close(store, good, "give it away", problems);
}
