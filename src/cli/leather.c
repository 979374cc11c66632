// Hides and remnants of the workshop file: what is at hand, to a job's table, and cut.
#include "cli/listing.h"
#include "cli/shop.h"

static const char *origin(const Leather *leather, Arena *keep)
{
    const HideState *state = &leather->state;
    return state->left_of ? arena_text(keep, "left of %lld by job %lld", (long long)state->left_of,
                                       (long long)state->left_by)
                          : "";
}

// The jobs on whose tables it lies.
static const char *tables_of(const OnTables *places, int64_t hide, Arena *keep)
{
    Text text = {.keep = keep};
    for (int i = 0; i < places->count; i++) {
        if (places->items[i].hide == hide) {
            text_add(&text, "%s%lld", text.length > 0 ? ", " : "", (long long)places->items[i].job);
        }
    }
    return text_string(&text);
}

static void print_leather(Session *session, const LeatherList *list, const OnTables *places)
{
    Arena *keep = session->keep;
    Listing listing = listing_begin("rllrlll", keep);
    listing_add(&listing, (const char *const[]){"hide", "name", "form", "area", "largest rectangle",
                                                "on jobs", "came"});
    for (int i = 0; i < list->count && i < LISTING_ROWS_MAX - 1; i++) {
        const Leather *leather = &list->items[i];
        const int64_t id = leather->state.record.id;
        listing_add(&listing, (const char *const[]){
                                  arena_text(keep, "%lld", (long long)id),
                                  shop_word(leather->state.record.title, keep),
                                  hide_form_word(&leather->hide),
                                  area_text(leather->hide.area_mm2, leather->units.area, keep),
                                  remnant_rectangle_text(&leather->clear, list->useful_mm,
                                                         leather->units.length, keep),
                                  tables_of(places, id, keep), origin(leather, keep)});
    }
    listing_print(&listing, stdout);
    if (list->count > LISTING_ROWS_MAX - 1) {
        printf("... and %d more; --json lists all\n", list->count - (LISTING_ROWS_MAX - 1));
    }
}

static void print_leather_json(Session *session, const LeatherList *list, const OnTables *places)
{
    Json json = {.text.keep = session->keep};
    json_begin_array(&json, NULL);
    for (int i = 0; i < list->count; i++) {
        const Leather *leather = &list->items[i];
        const HideState *state = &leather->state;
        const Box box = leather->clear.rectangle;
        json_begin_object(&json, NULL);
        json_int(&json, "hide", state->record.id);
        json_text(&json, "uid", state->record.uid);
        json_text(&json, "name", state->record.title);
        json_text(&json, "form", hide_form_word(&leather->hide));
        json_rounded(&json, "area_mm2", leather->hide.area_mm2, 2);
        json_rounded(&json, "rectangle_along_mm", box.max.x - box.min.x, 2);
        json_rounded(&json, "rectangle_across_mm", box.max.y - box.min.y, 2);
        json_int(&json, "left_of", state->left_of);
        json_int(&json, "left_by_job", state->left_by);
        json_begin_flat_array(&json, "on_jobs");
        for (int p = 0; p < places->count; p++) {
            if (places->items[p].hide == state->record.id) {
                json_int(&json, NULL, places->items[p].job);
            }
        }
        json_end_array(&json);
        json_end_object(&json);
    }
    json_end_array(&json);
    (void)fputs(text_string(&json.text), stdout);
}

static bool list_leather(Session *session, const Arguments *arguments, Store *store)
{
    LeatherList list;
    OnTables places;
    if (!workshop_leather(store, session->keep, session->scratch, &list, session->problems) ||
        !hides_on_tables(store, 0, 0, session->keep, &places, session->problems)) {
        return false;
    }
    if (arguments->json) {
        print_leather_json(session, &list, &places);
    } else if (list.count > 0) {
        print_leather(session, &list, &places);
        print_problems(stdout, session->problems);
    } else {
        printf("No hide is at hand; `seatwright keep JOB` brings those of a job\n");
    }
    return true;
}

static int run_leather(Session *session, const Arguments *arguments)
{
    return shop_run(session, arguments, list_leather);
}

static bool take(Session *session, const Arguments *arguments, Store *store)
{
    Arena *keep = session->keep;
    Record job;
    Record hide;
    int64_t version = 0;
    if (!workshop_find(store, RECORD_JOB, arguments->files[0], keep, &job, session->problems) ||
        !workshop_find(store, RECORD_HIDE, arguments->files[1], keep, &hide, session->problems) ||
        !workshop_take(store, &job, &hide, keep, &version, session->problems)) {
        return false;
    }
    printf("Hide %lld (%s) lies on the table of job %lld (%s), as its version %lld has it\n",
           (long long)hide.id, shop_word(hide.title, keep), (long long)job.id,
           shop_word(job.title, keep), (long long)version);
    return true;
}

static int run_take(Session *session, const Arguments *arguments)
{
    return shop_run(session, arguments, take);
}

static void print_cut(Session *session, const CutReport *report)
{
    Arena *keep = session->keep;
    const Units units = report->derived.job.units;
    print_plan(session, &report->derived, &report->plan);
    int cut = 0;
    for (int h = 0; h < report->derived.hide_count; h++) {
        cut += !hide_is_left_whole(&report->plan, h);
    }
    printf("\nRecorded as cut: %s. %s left", shop_count(cut, "hide", keep),
           shop_count(report->remnant_count, "remnant", keep));
    printf(report->remnant_count > 0 ? ":\n" : "\n");
    for (int i = 0; i < report->remnant_count; i++) {
        const Record *record = &report->remnants[i].record;
        printf("  %lld  %s\n", (long long)record->id, shop_word(record->title, keep));
    }
    if (report->remnant_count > 0) {
        print_wrapped(
            "",
            arena_text(keep,
                       "Chalk a line along the backbone on the flesh side of each, and how "
                       "far up and out one of its points lay (%s): a later job measures "
                       "them as on the whole hide.",
                       length_unit_name(units.length)),
            stdout);
    }
}

static bool cut(Session *session, const Arguments *arguments, Store *store)
{
    Record job;
    CutReport report;
    if (!workshop_find(store, RECORD_JOB, arguments->job, session->keep, &job, session->problems) ||
        !workshop_cut(store, &job, &session->progress, session->keep, session->scratch, &report,
                      session->problems)) {
        return false;
    }
    end_progress(session);
    print_cut(session, &report);
    return true;
}

static int run_cut(Session *session, const Arguments *arguments)
{
    return shop_run(session, arguments, cut);
}

const Command leather_command = {
    .name = "leather",
    .summary = "list the hides and remnants that are at hand",
    .help = "seatwright leather [--json] [--workshop FILE]\n"
            "\n"
            "Lists the hides and remnants of the workshop that have not been cut: area, the\n"
            "largest rectangle along and across the backbone that is clear of flaws, the jobs on\n"
            "whose tables they lie, and what they were left of.\n"
            "\n"
            "Exit status: 0 done, 1 the system refused.\n",
    .takes_shop = true,
    .takes_json = true,
    .run = run_leather,
};

const Command take_command = {
    .name = "take",
    .summary = "take a hide or remnant of the workshop to a job's table",
    .help = "seatwright take JOB HIDE [--workshop FILE]\n"
            "\n"
            "Puts a hide or remnant of the workshop into the job, as a new version. One hide may\n"
            "lie on the tables of several jobs until one of them cuts it. JOB and HIDE are their\n"
            "numbers or names, or words that only one is found by.\n"
            "\n"
            "  seatwright take \"hall chair\" 7\n"
            "\n"
            "Exit status: 0 done, 1 the system refused, 2 mistakes in the job or several are\n"
            "meant, 3 no such job or hide, 4 the hide was cut, or somebody else saved meanwhile.\n",
    .takes_shop = true,
    .words_least = 2,
    .words_most = 2,
    .run = run_take,
};

const Command cut_command = {
    .name = "cut",
    .summary = "record that a job's hides have been cut; keep what is left",
    .help =
        "seatwright cut JOB [--workshop FILE]\n"
        "\n"
        "For when the shears have been through the hide: lays the job as `lay` does (the same\n"
        "job gives the same layout), keeps the layout, and records that the hides with covers\n"
        "on them are cut. What is left of each, where it is at least 100 mm (4 in) wide, becomes\n"
        "remnants with outline, regions, firm direction and flaws, which later jobs can take.\n"
        "JOB is its number or its name in the workshop file.\n"
        "\n"
        "Exit status: 0 recorded, 1 the system refused, 2 mistakes in the job or covers without\n"
        "a place (nothing is recorded), 3 no such job, 4 a hide was cut before, 130 stopped.\n",
    .takes_shop = true,
    .words_least = 1,
    .words_most = 1,
    .run = run_cut,
};
