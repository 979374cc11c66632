#include "plan/shop_hides.h"

#include <string.h>

int64_t shop_hide_called(const OnTables *places, const char *called)
{
    for (int i = 0; i < places->count; i++) {
        if (strcmp(places->items[i].called, called) == 0) {
            return places->items[i].hide;
        }
    }
    return 0;
}

bool shop_read_hide(Store *store, int64_t hide, Arena *keep, JobHide *read, Problems *problems)
{
    Document document;
    return record_read(store, hide, 0, keep, &document, problems) &&
           job_hide_read(document.data, document.bytes, "hide", keep, read, problems);
}

static Document written(const JobHide *hide, Arena *keep)
{
    Text text = {.keep = keep};
    job_hide_write(hide, &text);
    return (Document){text_string(&text), text.length};
}

// Saves a hide as the job has it now, if that says anything new. In the job's units, so that
// what differs only by the rounding between units is no change; its name here stays.
static bool update_hide(Store *store, int64_t id, JobHide fresh, Arena *keep, Problems *problems)
{
    HideState state;
    JobHide old;
    if (!hide_state(store, id, keep, &state, problems) ||
        !shop_read_hide(store, id, keep, &old, problems)) {
        return false;
    }
    fresh.hide.name = old.hide.name;
    old.units = fresh.units;
    const Document before = written(&old, keep);
    const Document now = written(&fresh, keep);
    if (state.cut_by || strcmp(before.data, now.data) == 0) {
        return true;
    }
    int64_t present = 0;
    const Save save = {id, state.record.present, now, NULL};
    return record_save(store, &save, &present, problems);
}

static bool begin_hide(Store *store, const Record *record, const JobHide *hide, Arena *keep,
                       Problems *problems)
{
    int64_t id = 0;
    return record_begin(store, RECORD_HIDE, written(hide, keep), &id, problems) &&
           hide_put_on_table(store, &(OnTable){record->id, id, hide->hide.name}, problems);
}

bool shop_register(Store *store, const Record *record, const Job *job, Arena *keep, int *begun,
                   Problems *problems)
{
    OnTables places;
    if (!hides_on_tables(store, record->id, 0, keep, &places, problems)) {
        return false;
    }
    *begun = 0;
    for (int h = 0; h < job->hide_count; h++) {
        const JobHide hide = {job->units, job->hides[h]};
        const int64_t id = shop_hide_called(&places, hide.hide.name);
        if (id ? !update_hide(store, id, hide, keep, problems)
               : !begin_hide(store, record, &hide, keep, problems)) {
            return false;
        }
        *begun += id == 0;
    }
    for (int i = 0; i < places.count; i++) {
        bool there = false;
        for (int h = 0; h < job->hide_count; h++) {
            there = there || strcmp(job->hides[h].name, places.items[i].called) == 0;
        }
        if (!there && !hide_take_off_table(store, record->id, places.items[i].hide, problems)) {
            return false;
        }
    }
    return true;
}

static bool refuse_take(const Store *store, ProblemKind kind, const char *found, Problems *problems)
{
    return problems_say(problems, kind, store_path(store), "%s", found);
}

// The job's hides and one more.
static bool add_hide(const Store *store, Job *job, HideEntry entry, Arena *keep, Problems *problems)
{
    bool priced = false;
    for (int h = 0; h < job->hide_count; h++) {
        priced = priced || job->hides[h].price > 0;
        if (strcmp(job->hides[h].name, entry.name) == 0) {
            return refuse_take(
                store, PROBLEM_CONFLICT,
                arena_text(keep, "the job has a hide called \"%s\" already", entry.name), problems);
        }
    }
    if (job->hide_count == JOB_HIDES_MAX) {
        return refuse_take(
            store, PROBLEM_BAD_INPUT,
            arena_text(keep, "the job has %d hides, as many as it may", JOB_HIDES_MAX), problems);
    }
    if (!priced && job->hide_count > 0) {
        entry.price = 0; // a price counts only beside the prices of all others
    }
    HideEntry *hides = ARENA_ARRAY(keep, HideEntry, job->hide_count + 1);
    for (int h = 0; h < job->hide_count; h++) {
        hides[h] = job->hides[h];
    }
    hides[job->hide_count++] = entry;
    job->hides = hides;
    return true;
}

bool workshop_take(Store *store, const Record *job, const Record *hide, Arena *keep,
                   int64_t *version, Problems *problems)
{
    HideState state;
    Document document;
    JobHide entry;
    Job read = {0};
    if (!hide_state(store, hide->id, keep, &state, problems) ||
        !record_read(store, job->id, job->present, keep, &document, problems) ||
        !shop_read_hide(store, hide->id, keep, &entry, problems)) {
        return false;
    }
    if (state.cut_by) {
        return refuse_take(store, PROBLEM_CONFLICT,
                           arena_text(keep, "hide %lld has been cut, for job %lld",
                                      (long long)hide->id, (long long)state.cut_by),
                           problems);
    }
    if (!job_read(document.data, document.bytes, job->title, keep, &read, problems) ||
        !add_hide(store, &read, entry.hide, keep, problems)) {
        return false;
    }
    Text text = {.keep = keep};
    Job again;
    job_write(&read, &text);
    const Save save = {job->id, job->present, {text_string(&text), text.length}, NULL};
    const OnTable place = {job->id, hide->id, entry.hide.name};
    // What the whole says that the parts did not: prices of some hides only.
    return job_read(text_string(&text), text.length, job->title, keep, &again, problems) &&
           record_save(store, &save, version, problems) &&
           hide_put_on_table(store, &place, problems);
}
