#include "store/describe.h"

#include "job/job.h"

static void add_words(Text *words, const char *more)
{
    if (more && *more) {
        text_add(words, "%s\n", more);
    }
}

static void describe_job(const Job *job, Text *words)
{
    add_words(words, job->notes);
    add_words(words, job->leather_name);
    for (int s = 0; s < job->seat_count; s++) {
        add_words(words, job->seats[s].name);
        for (int c = 0; c < job->seats[s].chair_count; c++) {
            add_words(words, job->seats[s].chairs[c].name);
        }
    }
    for (int h = 0; h < job->hide_count; h++) {
        add_words(words, job->hides[h].name);
    }
    for (int o = 0; o < job->offer_count; o++) {
        add_words(words, job->offers[o].name);
    }
}

static void describe_hide(const HideEntry *hide, Text *words)
{
    add_words(words, hide_form_names[hide->form]);
    for (int f = 0; f < hide->flaw_count; f++) {
        add_words(words, hide->flaws[f].name);
    }
}

// A document with mistakes has a name as well: whether it was read wholly does not matter.
static const char *read_job(Document document, Text *words)
{
    Job job = {0};
    Problems *problems = problems_in(words->keep);
    if (!job_read(document.data, document.bytes, "", words->keep, &job, problems) && !job.name) {
        return NULL;
    }
    describe_job(&job, words);
    return job.name;
}

static const char *read_hide(Document document, Text *words)
{
    JobHide hide = {0};
    Problems *problems = problems_in(words->keep);
    if (!job_hide_read(document.data, document.bytes, "", words->keep, &hide, problems) &&
        !hide.hide.name) {
        return NULL;
    }
    describe_hide(&hide.hide, words);
    return hide.hide.name;
}

Description describe(RecordKind kind, Document document, const char *before, Arena *keep)
{
    Text words = {.keep = keep};
    const char *title =
        kind == RECORD_JOB ? read_job(document, &words) : read_hide(document, &words);
    if (!title || !*title) {
        title = before ? before : "without a name";
    }
    return (Description){title, text_string(&words)};
}
