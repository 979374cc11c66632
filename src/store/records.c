#include "store/records.h"

#include "base/text.h"
#include "store/describe.h"
#include "store/sql.h"
#include "store/versions.h"

#include <string.h>

const char *const record_kind_names[RECORD_KIND_COUNT] = {"job", "hide"};

bool record_size_is_sound(const Store *store, Document document, Problems *problems)
{
    Arena *words = problems->keep;
    return document.bytes <= RECORD_BYTES_MAX ||
           problems_add(
               problems,
               (Problem){.kind = PROBLEM_BAD_INPUT,
                         .where = arena_copy_text(words, store->path),
                         .found = arena_text(words, "a document of %zu bytes", document.bytes),
                         .allowed = arena_text(words, "up to %d bytes", (int)RECORD_BYTES_MAX)});
}

static RecordKind read_kind(const Query *query, int column)
{
    const char *word = (const char *)sqlite3_column_text(query->statement, column);
    return word && strcmp(word, record_kind_names[RECORD_HIDE]) == 0 ? RECORD_HIDE : RECORD_JOB;
}

bool record_put(Store *store, RecordKind kind, Document document, int64_t *id)
{
    const Description about = describe(kind, document, NULL, store->scratch);
    const int64_t now_ms = store_now_ms(store);
    Query query = query_begin(
        store, "INSERT INTO record (uid, kind, present, begun_ms) VALUES (?1, ?2, 1, ?3)");
    query_text(&query, new_uid(store->scratch));
    query_text(&query, record_kind_names[kind]);
    query_int(&query, now_ms);
    if (!query_run(&query)) {
        return false;
    }
    *id = sqlite3_last_insert_rowid(store->db);
    const NewVersion first = {.record = *id,
                              .number = 1,
                              .uid = new_uid(store->scratch),
                              .saved_ms = now_ms,
                              .title = about.title,
                              .words = about.words,
                              .document = document};
    return version_put(store, &first);
}

bool record_begin(Store *store, RecordKind kind, Document document, int64_t *id, Problems *problems)
{
    if (!record_size_is_sound(store, document, problems)) {
        return false;
    }
    const ArenaMark mark = arena_mark(store->scratch);
    int64_t made = 0;
    bool good = change_begin(store) && record_put(store, kind, document, &made);
    good = change_close(store, good, "save it", problems);
    if (good) {
        *id = made;
    }
    arena_rewind(store->scratch, mark);
    return good;
}

// What a version is, for the one that is to follow it.
typedef struct Based {
    RecordKind kind;
    const char *title;
    bool found;
    bool same; // holds the very document
} Based;

static bool look_at_base(Store *store, const Save *save, Based *based)
{
    Query query = query_begin(store, "SELECT kind, title, sum, document FROM version "
                                     "JOIN record ON record.id = version.record "
                                     "WHERE version.record = ?1 AND version.number = ?2");
    query_int(&query, save->record);
    query_int(&query, save->based_on);
    based->found = query_row(&query);
    if (based->found) {
        based->kind = read_kind(&query, 0);
        based->title = query_get_text(&query, 1, store->scratch);
        const void *data = sqlite3_column_blob(query.statement, 3);
        const size_t bytes = (size_t)sqlite3_column_bytes(query.statement, 3);
        based->same = bytes == save->document.bytes &&
                      (bytes == 0 || (data && memcmp(data, save->document.data, bytes) == 0));
    }
    return query_end(&query);
}

static bool add_version(Store *store, const Save *save, const Based *based, int64_t *number)
{
    const Description about = describe(based->kind, save->document, based->title, store->scratch);
    int64_t last = 0;
    if (!version_last(store, save->record, &last)) {
        return false;
    }
    const NewVersion version = {.record = save->record,
                                .number = last + 1,
                                .uid = new_uid(store->scratch),
                                .base = save->based_on,
                                .saved_ms = store_now_ms(store),
                                .name = save->name,
                                .title = about.title,
                                .words = about.words,
                                .document = save->document};
    *number = version.number;
    return version_put(store, &version);
}

// Within a change. *stands is what the record stands at before it, *present after it.
static bool save_present(Store *store, const Save *save, int64_t *stands, int64_t *present,
                         Problems *problems)
{
    Based based = {0};
    if (!present_is(store, save->record, save->based_on, stands, problems) ||
        !look_at_base(store, save, &based)) {
        return false;
    }
    *present = *stands;
    if (based.same) {
        return !save->name || version_name(store, save->record, save->based_on, save->name);
    }
    int64_t number = 0;
    if (!add_version(store, save, &based, &number) ||
        !again_set(store, save->record, save->based_on, number) ||
        !present_set(store, save->record, number)) {
        return false;
    }
    *present = number;
    return true;
}

bool record_save(Store *store, const Save *save, int64_t *present, Problems *problems)
{
    if (!record_size_is_sound(store, save->document, problems) ||
        !version_name_is_sound(store, save->name, problems)) {
        return false;
    }
    const ArenaMark mark = arena_mark(store->scratch);
    int64_t stands = *present;
    int64_t number = *present;
    bool good = change_begin(store) && save_present(store, save, &stands, &number, problems);
    good = change_close(store, good, "save it", problems);
    *present = good ? number : stands;
    arena_rewind(store->scratch, mark);
    return good;
}

static bool save_beside(Store *store, const Save *save, int64_t *number, Problems *problems)
{
    Based based = {0};
    if (!look_at_base(store, save, &based)) {
        return false;
    }
    if (!based.found) {
        return store_missing(store, problems, "there is no version %lld of number %lld",
                             (long long)save->based_on, (long long)save->record);
    }
    return add_version(store, save, &based, number);
}

bool record_save_beside(Store *store, const Save *save, int64_t *number, Problems *problems)
{
    if (!record_size_is_sound(store, save->document, problems) ||
        !version_name_is_sound(store, save->name, problems)) {
        return false;
    }
    const ArenaMark mark = arena_mark(store->scratch);
    int64_t made = 0;
    bool good = change_begin(store) && save_beside(store, save, &made, problems);
    good = change_close(store, good, "save it", problems);
    if (good) {
        *number = made;
    }
    arena_rewind(store->scratch, mark);
    return good;
}

Record record_of_row(const Query *query, Arena *keep)
{
    return (Record){.id = query_get_int(query, 0),
                    .uid = query_get_text(query, 1, keep),
                    .kind = read_kind(query, 2),
                    .title = query_get_text(query, 3, keep),
                    .present = query_get_int(query, 4),
                    .version_count = (int)query_get_int(query, 5),
                    .begun_ms = query_get_int(query, 6),
                    .saved_ms = query_get_int(query, 7),
                    .away = !query_is_null(query, 8)};
}

bool record_get(Store *store, int64_t id, Arena *keep, Record *record, Problems *problems)
{
    Query query = query_begin(store, "SELECT " RECORD_COLUMNS RECORD_TABLES "WHERE record.id = ?1");
    query_int(&query, id);
    const bool found = query_row(&query);
    if (found) {
        *record = record_of_row(&query, keep);
    }
    if (!query_end(&query)) {
        return store_refuse(store, "read it", problems);
    }
    return found || store_missing(store, problems, "there is no number %lld", (long long)id);
}

bool record_read(Store *store, int64_t id, int64_t number, Arena *keep, Document *document,
                 Problems *problems)
{
    Query query =
        query_begin(store, "SELECT coalesce(base, 0), saved_ms, title, words, document, sum "
                           "FROM version JOIN record ON record.id = version.record "
                           "WHERE record.id = ?1 AND number = iif(?2 = 0, present, ?2)");
    query_int(&query, id);
    query_int(&query, number);
    const bool found = query_row(&query);
    const ArenaMark mark = arena_mark(store->scratch);
    NewVersion version = {0};
    bool same = false;
    if (found) {
        version = (NewVersion){.base = query_get_int(&query, 0),
                               .saved_ms = query_get_int(&query, 1),
                               .title = query_get_text(&query, 2, store->scratch),
                               .words = query_get_text(&query, 3, store->scratch),
                               .document = query_get_bytes(&query, 4, keep)};
        same = version_sum(&version, store->scratch) == query_get_int(&query, 5);
    }
    arena_rewind(store->scratch, mark);
    if (!query_end(&query)) {
        return store_refuse(store, "read it", problems);
    }
    if (!found) {
        return number == 0
                   ? store_missing(store, problems, "there is no number %lld", (long long)id)
                   : store_missing(store, problems, "there is no version %lld of number %lld",
                                   (long long)number, (long long)id);
    }
    if (!same) {
        (void)store_fails(store, SQLITE_CORRUPT);
        return store_refuse(store, "read it as it was saved", problems);
    }
    *document = version.document;
    return true;
}

// A word as a LIKE pattern that finds it anywhere.
static const char *pattern_of(const char *word, size_t length, Arena *keep)
{
    Text pattern = {.keep = keep};
    text_add(&pattern, "%%");
    for (size_t i = 0; i < length; i++) {
        if (strchr("%_\\", word[i])) {
            text_add(&pattern, "\\");
        }
        text_add_bytes(&pattern, &word[i], 1);
    }
    text_add(&pattern, "%%");
    return text_string(&pattern);
}

enum { SEARCH_WORDS_MAX = 8 };

// The first words; further ones narrow nothing.
static int split_words(const char *words, const char **patterns, Arena *keep)
{
    int count = 0;
    for (const char *at = words ? words : ""; *at && count < SEARCH_WORDS_MAX;) {
        const size_t blank = strspn(at, " \t\n");
        const size_t length = strcspn(at + blank, " \t\n");
        if (length > 0) {
            patterns[count++] = pattern_of(at + blank, length, keep);
        }
        at += blank + length;
    }
    return count;
}

bool records_find(Store *store, const RecordSearch *search, Arena *keep, Records *records,
                  Problems *problems)
{
    // Patterns that are not given are '%', which is found in every text.
    Query query = query_begin(store, "SELECT " RECORD_COLUMNS RECORD_TABLES
                                     "WHERE kind = ?1 AND (away_ms IS NULL OR ?2) "
                                     "AND title || char(10) || words LIKE ?3 ESCAPE '\\' "
                                     "AND title || char(10) || words LIKE ?4 ESCAPE '\\' "
                                     "AND title || char(10) || words LIKE ?5 ESCAPE '\\' "
                                     "AND title || char(10) || words LIKE ?6 ESCAPE '\\' "
                                     "AND title || char(10) || words LIKE ?7 ESCAPE '\\' "
                                     "AND title || char(10) || words LIKE ?8 ESCAPE '\\' "
                                     "AND title || char(10) || words LIKE ?9 ESCAPE '\\' "
                                     "AND title || char(10) || words LIKE ?10 ESCAPE '\\' "
                                     "ORDER BY saved_ms DESC, record.id DESC");
    const char *patterns[SEARCH_WORDS_MAX];
    const int given = split_words(search->words, patterns, keep);
    query_text(&query, record_kind_names[search->kind]);
    query_int(&query, search->away);
    for (int i = 0; i < SEARCH_WORDS_MAX; i++) {
        query_text(&query, i < given ? patterns[i] : "%");
    }
    Records found = {0};
    int room = 0;
    while (query_row(&query)) {
        found.items = arena_room(keep, found.items, found.count, &room, sizeof *found.items);
        found.items[found.count++] = record_of_row(&query, keep);
    }
    if (!query_end(&query)) {
        return store_refuse(store, "search it", problems);
    }
    *records = found;
    return true;
}

static bool put_away(Store *store, int64_t id, bool away)
{
    Query query = query_begin(store, "UPDATE record SET away_ms = iif(?2, ?3, NULL) WHERE id = ?1");
    query_int(&query, id);
    query_int(&query, away);
    query_int(&query, store_now_ms(store));
    return query_run(&query);
}

bool record_put_away(Store *store, int64_t id, bool away, Problems *problems)
{
    bool good = change_begin(store) && put_away(store, id, away);
    const bool found = good && sqlite3_changes(store->db) > 0;
    if (good && !found) {
        good = store_missing(store, problems, "there is no number %lld", (long long)id);
    }
    return change_close(store, good, "put it away", problems);
}
