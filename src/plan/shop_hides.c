#include "plan/shop_hides.h"

#include "store/keepsakes.h"

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

// Whether a hide says the same in a job and in the workshop. In the job's units, so that what
// differs only by the rounding between units is no change; its name and its price do not matter:
// each job calls it as it likes, and may price it anew.
static bool says_the_same(JobHide in_job, JobHide in_shop, Arena *keep)
{
    in_shop.units = in_job.units;
    in_shop.hide.name = in_job.hide.name;
    in_shop.hide.price = in_job.hide.price;
    return strcmp(written(&in_shop, keep).data, written(&in_job, keep).data) == 0;
}

// Gives the picture under a hide to that hide, so that it goes wherever the hide goes. One that
// another hide has already stays there: this one came from it.
static bool give_picture(Store *store, int64_t id, const HideEntry *hide, Arena *keep,
                         Problems *problems)
{
    Keepsakes found;
    const KeepsakeSearch search = {
        .kind = KEEPSAKE_PICTURE, .uid = hide->picture.uid, .away = true};
    if (!hide->has_picture) {
        return true;
    }
    if (!keepsakes_find(store, &search, keep, &found, problems)) {
        return false;
    }
    Record owner = {.kind = RECORD_JOB};
    return found.count == 0 ||
           ((found.items[0].record == 0 ||
             record_get(store, found.items[0].record, keep, &owner, problems)) &&
            (owner.kind == RECORD_HIDE || keepsake_give(store, found.items[0].id, id, problems)));
}

// Saves a hide as the job has it now, if that says anything new; its name here stays.
static bool update_hide(Store *store, int64_t id, JobHide fresh, Arena *keep, Problems *problems)
{
    HideState state;
    JobHide old;
    if (!hide_state(store, id, keep, &state, problems) ||
        !shop_read_hide(store, id, keep, &old, problems)) {
        return false;
    }
    const bool same = fresh.hide.price == old.hide.price && says_the_same(fresh, old, keep);
    if (state.cut_by || same) {
        return true;
    }
    fresh.hide.name = old.hide.name;
    int64_t present = 0;
    const Save save = {id, state.record.present, written(&fresh, keep), NULL};
    return record_save(store, &save, &present, problems) &&
           give_picture(store, id, &fresh.hide, keep, problems);
}

static bool begin_hide(Store *store, const Record *record, const JobHide *hide, Arena *keep,
                       Problems *problems)
{
    int64_t id = 0;
    return record_begin(store, RECORD_HIDE, written(hide, keep), &id, problems) &&
           hide_put_on_table(store, &(OnTable){record->id, id, hide->hide.name}, problems) &&
           give_picture(store, id, &hide->hide, keep, problems);
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

// The job as far as its hides go. Mistakes elsewhere do not matter; those among the hides are told.
static bool read_hides(Store *store, const Record *record, Arena *keep, Job *job,
                       Problems *problems)
{
    static const char hides[] = "hides";
    Document document;
    Problems *read = problems_in(keep);
    if (!record_read(store, record->id, record->present, keep, &document, problems) ||
        !job_is_document(document.data, document.bytes, record->title, keep, problems)) {
        return false;
    }
    (void)!job_read(document.data, document.bytes, record->title, keep, job, read);
    for (int i = 0; i < read->count; i++) {
        if (strncmp(read->items[i].where, hides, sizeof hides - 1) == 0) {
            problems_add(problems, read->items[i]);
        }
    }
    return problems_none(problems);
}

bool workshop_keep_hides(Store *store, const Record *record, Arena *keep, int *begun,
                         Problems *problems)
{
    Job job = {0};
    return read_hides(store, record, keep, &job, problems) &&
           shop_register(store, record, &job, keep, begun, problems);
}

bool workshop_job_hides(Store *store, const Record *record, Arena *keep, JobHideStates *states,
                        Problems *problems)
{
    Job job = {0};
    OnTables places;
    if (!read_hides(store, record, keep, &job, problems) ||
        !hides_on_tables(store, record->id, 0, keep, &places, problems)) {
        return false;
    }
    JobHideStates found = {.items = ARENA_ARRAY(keep, JobHideState, job.hide_count + 1),
                           .count = job.hide_count};
    for (int h = 0; h < job.hide_count; h++) {
        JobHideState *state = &found.items[h];
        state->name = job.hides[h].name;
        state->kept = shop_hide_called(&places, state->name);
        JobHide in_shop;
        if (state->kept == 0) {
            continue;
        }
        if (!hide_state(store, state->kept, keep, &state->state, problems) ||
            !shop_read_hide(store, state->kept, keep, &in_shop, problems)) {
            return false;
        }
        state->same = says_the_same((JobHide){job.units, job.hides[h]}, in_shop, keep);
    }
    *states = found;
    return true;
}

bool workshop_hide_for(Store *store, int64_t hide, const Record *record, Arena *keep,
                       Document *document, Problems *problems)
{
    JobHide read;
    Job job = {0};
    Document text;
    if (!shop_read_hide(store, hide, keep, &read, problems) ||
        !record_read(store, record->id, record->present, keep, &text, problems)) {
        return false;
    }
    // Units come with the first of what can be read; other mistakes do not matter here.
    (void)!job_read(text.data, text.bytes, record->title, keep, &job, problems_in(keep));
    read.units = job.units;
    *document = written(&read, keep);
    return true;
}
