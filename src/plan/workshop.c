// The workshop file, its jobs and the hides that they bring.
#include "plan/workshop.h"

#include "base/number.h"
#include "plan/files.h"
#include "plan/shop_hides.h"
#include "store/history.h"

#include <stdlib.h>
#include <string.h>

const char *workshop_usual_path(Arena *keep, Problems *problems)
{
    const char *data = getenv("XDG_DATA_HOME"); // NOLINT(concurrency-mt-unsafe): nobody sets it
    if (data && data[0] == '/') {               // the specification has others ignored
        return arena_text(keep, "%s/seatwright/workshop.db", data);
    }
    const char *home = getenv("HOME"); // NOLINT(concurrency-mt-unsafe)
    if (home && home[0] == '/') {
        return arena_text(keep, "%s/.local/share/seatwright/workshop.db", home);
    }
    (void)problems_add(problems, (Problem){.kind = PROBLEM_BAD_INPUT,
                                           .where = "workshop",
                                           .found = "no place is known for the workshop file",
                                           .remedy = "name one with --workshop FILE"});
    return NULL;
}

Store *workshop_open(const char *path, Arena *keep, Problems *problems)
{
    if (!path) {
        path = workshop_usual_path(keep, problems);
        if (!path) {
            return NULL;
        }
        const char *end = strrchr(path, '/');
        if (!folder_make(arena_text(keep, "%.*s", (int)(end - path), path), problems)) {
            return NULL;
        }
    }
    return store_open(path, NULL, problems);
}

// A number, as it is listed; 0 when the word is none.
static int64_t read_number(const char *word)
{
    int64_t number = 0;
    return digits_read(word, strlen(word), &number) ? number : 0;
}

static bool refuse_found(const Store *store, RecordKind kind, const char *word,
                         const Records *found, Problems *problems)
{
    Arena *words = problems->keep;
    const char *what = record_kind_names[kind];
    Text names = {.keep = words};
    for (int i = 0; i < found->count && i < 6; i++) {
        text_add(&names, "%s%lld (%s)", i > 0 ? ", " : "", (long long)found->items[i].id,
                 found->items[i].title);
    }
    return problems_add(
        problems,
        (Problem){.kind = found->count == 0 ? PROBLEM_NOT_FOUND : PROBLEM_BAD_INPUT,
                  .where = arena_copy_text(words, store_path(store)),
                  .found = found->count == 0
                               ? arena_text(words, "no %s is found by \"%s\"", what, word)
                               : arena_text(words, "%d are found by \"%s\"", found->count, word),
                  .allowed = found->count == 0 ? NULL : text_string(&names),
                  .remedy = kind == RECORD_JOB ? "`seatwright jobs` lists them with their numbers"
                                               : "`seatwright leather` lists them with their "
                                                 "numbers"});
}

bool workshop_find(Store *store, RecordKind kind, const char *word, Arena *keep, Record *record,
                   Problems *problems)
{
    Records all;
    Records found;
    if (!records_find(store, &(RecordSearch){.kind = kind, .away = true}, keep, &all, problems) ||
        !records_find(store, &(RecordSearch){.kind = kind, .words = word}, keep, &found,
                      problems)) {
        return false;
    }
    const int64_t number = read_number(word);
    const Record *named = NULL;
    int same_name = 0;
    for (int i = 0; i < all.count; i++) {
        if (all.items[i].id == number) {
            *record = all.items[i];
            return true;
        }
        if (strcmp(all.items[i].title, word) == 0) {
            named = &all.items[i];
            same_name++;
        }
    }
    if (same_name == 1 || (same_name == 0 && found.count == 1)) {
        *record = named ? *named : found.items[0];
        return true;
    }
    return refuse_found(store, kind, word, &found, problems);
}

// The job of just that name, if there is one; of several the one saved last.
static bool find_named(Store *store, const char *name, Arena *keep, Record *record, bool *found,
                       Problems *problems)
{
    Records all;
    if (!records_find(store, &(RecordSearch){.kind = RECORD_JOB, .away = true}, keep, &all,
                      problems)) {
        return false;
    }
    *found = false;
    for (int i = 0; i < all.count && !*found; i++) {
        *found = strcmp(all.items[i].title, name) == 0;
        *record = all.items[i];
    }
    return true;
}

static bool keep_version(Store *store, const KeepOrder *order, Document document, Arena *keep,
                         KeptJob *kept, Problems *problems)
{
    int64_t id = kept->record.id;
    if (kept->begun) {
        if (!record_begin(store, RECORD_JOB, document, &id, problems) ||
            (order->call && !history_name(store, id, 1, order->call, problems))) {
            return false;
        }
        kept->changed = true;
    } else {
        int64_t present = kept->record.present;
        const Save save = {id, present, document, order->call};
        if (!record_save(store, &save, &present, problems)) {
            return false;
        }
        kept->changed = present != kept->record.present;
    }
    return record_get(store, id, keep, &kept->record, problems);
}

bool workshop_keep(Store *store, const KeepOrder *order, Arena *keep, KeptJob *kept,
                   Problems *problems)
{
    const char *text = NULL;
    size_t bytes = 0;
    if (!file_read(order->path, JOB_BYTES_MAX, keep, &text, &bytes, problems)) {
        return false;
    }
    Job job = {0};
    const bool sound = job_read(text, bytes, order->path, keep, &job, problems);
    if (!job.name || !*job.name) {
        return sound && problems_say(problems, PROBLEM_BAD_INPUT, "name", "is missing");
    }
    bool found = false;
    *kept = (KeptJob){0};
    Problems *troubles = problems_in(keep); // apart from the job's own mistakes
    bool good = find_named(store, job.name, keep, &kept->record, &found, troubles);
    kept->begun = !found;
    if (good && found && order->if_new) {
        return true;
    }
    good = good && keep_version(store, order, (Document){text, bytes}, keep, kept, troubles) &&
           (!sound || shop_register(store, &kept->record, &job, keep, &kept->hides, troubles));
    if (!good) {
        *problems = *troubles; // what is wrong with the job matters less now
    }
    return good;
}

bool workshop_restore(const char *path, Arena *keep, Backup *backup, const char **aside,
                      Problems *problems)
{
    path = path ? path : workshop_usual_path(keep, problems);
    if (!path) {
        return false;
    }
    if (file_is_good(path, problems_in(keep))) {
        return problems_add(problems, (Problem){.kind = PROBLEM_CONFLICT,
                                                .where = arena_copy_text(problems->keep, path),
                                                .found = "the file is good; nothing is put in its "
                                                         "place",
                                                .remedy = "older versions of a job are in its "
                                                          "history"});
    }
    if (!backup_newest_good(path, keep, backup)) {
        return problems_say(problems, PROBLEM_NOT_FOUND, path, "there is no good backup of it");
    }
    return backup_restore(path, backup, keep, aside, problems);
}
