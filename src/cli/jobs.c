// The jobs of the workshop file, and the versions of one.
#include "cli/listing.h"
#include "cli/shop.h"

#include "store/history.h"

static void print_jobs(Session *session, const Records *jobs)
{
    Arena *keep = session->keep;
    Listing listing = listing_begin("rllr", keep);
    listing_add(&listing, (const char *const[]){"job", "name", "saved", "versions"});
    for (int i = 0; i < jobs->count; i++) {
        const Record *job = &jobs->items[i];
        listing_add(&listing, (const char *const[]){arena_text(keep, "%lld", (long long)job->id),
                                                    shop_word(job->title, keep),
                                                    shop_time(job->saved_ms, keep),
                                                    arena_text(keep, "%d", job->version_count)});
    }
    listing_print(&listing, stdout);
    if (jobs->count == LISTING_ROWS_MAX - 1) {
        printf("... and perhaps more: give words to look for\n");
    }
}

static void print_jobs_json(Session *session, const Records *jobs)
{
    Json json = {.text.keep = session->keep};
    json_begin_array(&json, NULL);
    for (int i = 0; i < jobs->count; i++) {
        const Record *job = &jobs->items[i];
        json_begin_flat_object(&json, NULL);
        json_int(&json, "job", job->id);
        json_text(&json, "uid", job->uid);
        json_text(&json, "name", job->title);
        json_int(&json, "saved_ms", job->saved_ms);
        json_int(&json, "version", job->present);
        json_int(&json, "versions", job->version_count);
        json_end_object(&json);
    }
    json_end_array(&json);
    (void)fputs(text_string(&json.text), stdout);
}

static bool list_jobs(Session *session, const Arguments *arguments, Store *store)
{
    Text words = {.keep = session->keep};
    for (int i = 0; i < arguments->file_count; i++) {
        text_add(&words, "%s ", arguments->files[i]);
    }
    Records jobs;
    const RecordSearch search = {.kind = RECORD_JOB, .words = text_string(&words)};
    if (!records_find(store, &search, session->keep, &jobs, session->problems)) {
        return false;
    }
    if (arguments->json) {
        print_jobs_json(session, &jobs);
    } else if (jobs.count > 0) {
        jobs.count = jobs.count < LISTING_ROWS_MAX ? jobs.count : LISTING_ROWS_MAX - 1;
        print_jobs(session, &jobs);
    } else {
        printf("No job is found; `seatwright keep JOB` keeps one\n");
    }
    return true;
}

static int run_jobs(Session *session, const Arguments *arguments)
{
    return shop_run(session, arguments, list_jobs);
}

// What a version was made of, where it is not the one before it.
static const char *made_of(const Version *version, Arena *keep)
{
    if (version->base == 0 || version->base == version->number - 1) {
        return "";
    }
    return arena_text(keep, "of version %lld", (long long)version->base);
}

static void print_history(Session *session, const Record *job, const Versions *versions)
{
    Arena *keep = session->keep;
    printf("Job %lld: %s\n\n", (long long)job->id, shop_word(job->title, keep));
    Listing listing = listing_begin("rlrlll", keep);
    listing_add(&listing,
                (const char *const[]){"version", "saved", "bytes", "called", "made", "present"});
    const int shown = versions->count < LISTING_ROWS_MAX ? versions->count : LISTING_ROWS_MAX - 1;
    for (int i = 0; i < shown; i++) {
        const Version *version = &versions->items[i];
        listing_add(&listing,
                    (const char *const[]){
                        arena_text(keep, "%lld", (long long)version->number),
                        shop_time(version->saved_ms, keep), arena_text(keep, "%zu", version->bytes),
                        version->name ? shop_word(version->name, keep) : "", made_of(version, keep),
                        version->number == job->present ? "here" : ""});
    }
    listing_print(&listing, stdout);
    if (shown < versions->count) {
        printf("... and %d older ones\n", versions->count - shown);
    }
}

static void print_history_json(Session *session, const Record *job, const Versions *versions)
{
    Json json = {.text.keep = session->keep};
    json_begin_object(&json, NULL);
    json_int(&json, "job", job->id);
    json_text(&json, "uid", job->uid);
    json_text(&json, "name", job->title);
    json_int(&json, "version", job->present);
    json_begin_array(&json, "versions");
    for (int i = 0; i < versions->count; i++) {
        const Version *version = &versions->items[i];
        json_begin_flat_object(&json, NULL);
        json_int(&json, "version", version->number);
        json_int(&json, "made_of", version->base);
        json_int(&json, "redo", version->again);
        json_int(&json, "saved_ms", version->saved_ms);
        json_int(&json, "bytes", (long long)version->bytes);
        json_text(&json, "called", version->name);
        json_end_object(&json);
    }
    json_end_array(&json);
    json_end_object(&json);
    (void)fputs(text_string(&json.text), stdout);
}

// The step that was asked for, if any.
static bool take_step(Session *session, Store *store, const Record *job, const ShopOrder *order)
{
    Problems *problems = session->problems;
    int64_t present = job->present;
    if (order->undo && order->redo) {
        return problems_say(problems, PROBLEM_BAD_INPUT, "--undo", "stands beside --redo");
    }
    if (order->version > 0 && (order->undo || order->redo)) {
        return problems_say(problems, PROBLEM_BAD_INPUT, "--version",
                            "stands beside --undo or --redo");
    }
    const bool moved =
        order->undo   ? history_undo(store, job->id, job->present, &present, problems)
        : order->redo ? history_redo(store, job->id, job->present, &present, problems)
        : order->version > 0
            ? history_go(store, job->id, (Jump){job->present, order->version}, &present, problems)
            : true;
    return moved && (!order->call || history_name(store, job->id, present, order->call, problems));
}

static bool list_history(Session *session, const Arguments *arguments, Store *store)
{
    Record job;
    Versions versions;
    Problems *problems = session->problems;
    if (!workshop_find(store, RECORD_JOB, arguments->job, session->keep, &job, problems) ||
        !take_step(session, store, &job, &arguments->shop) ||
        !record_get(store, job.id, session->keep, &job, problems) ||
        !history_list(store, job.id, session->keep, &versions, problems)) {
        return false;
    }
    if (arguments->json) {
        print_history_json(session, &job, &versions);
    } else {
        print_history(session, &job, &versions);
    }
    return true;
}

static int run_history(Session *session, const Arguments *arguments)
{
    return shop_run(session, arguments, list_history);
}

const Command jobs_command = {
    .name = "jobs",
    .summary = "list the jobs of the workshop file",
    .help = "seatwright jobs [WORDS] [--json] [--workshop FILE]\n"
            "\n"
            "Lists the jobs, those saved last first; with WORDS those that have all of them in\n"
            "their name, notes, or the names of seats, chairs, hides, offers and leather.\n"
            "\n"
            "  seatwright jobs rowing oak\n"
            "\n"
            "Exit status: 0 done, 1 the system refused.\n",
    .takes_shop = true,
    .takes_json = true,
    .words_most = 100,
    .run = run_jobs,
};

const Command history_command = {
    .name = "history",
    .summary = "list the versions of a job; undo, redo, go to one, name one",
    .help =
        "seatwright history JOB [--undo | --redo | --version N] [--call NAME] [--json]\n"
        "                       [--workshop FILE]\n"
        "\n"
        "Lists all versions of a job. --undo goes back to what the present version was made\n"
        "of, --redo to where undo came from, --version to any; nothing is ever lost by it.\n"
        "--call gives the version that the job then stands at a name. JOB is its number or its\n"
        "name, or words that only one job is found by.\n"
        "\n"
        "  seatwright history 3 --undo\n"
        "  seatwright history 3 --version 2 --call \"as ordered\"\n"
        "\n"
        "Exit status: 0 done, 1 the system refused, 2 several are meant, 3 no such job or\n"
        "version, or nothing to undo, 4 somebody else saved meanwhile.\n",
    .takes_shop = true,
    .takes_json = true,
    .words_least = 1,
    .words_most = 1,
    .run = run_history,
};
