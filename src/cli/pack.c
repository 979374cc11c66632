#include "cli/command.h"

#include <string.h>

static void print_files(const PackFiles *files, const char *folder)
{
    printf("\nThe pack is in %s:\n", folder);
    for (int f = 0; f < files->count; f++) {
        if (strncmp(files->items[f].name, "pages/", 6) != 0) {
            printf("  %-44s %s\n", files->items[f].path, files->items[f].what);
        }
    }
    const char *pages = "each page of the pack as a drawing";
    printf("  %s/%-*s %s\n", folder, (int)(43 - strlen(folder)), "pages/", pages);
    printf("Print pack.pdf (%d pages) at 100 %%, without \"fit to page\".\n", files->pages);
}

// Of the progress: up to where the layout goes, and what is bought.
#define LAID_SHARE 0.7
#define LAID_OF_BUYING 0.3
#define BOUGHT_SHARE 0.85

// Lays, buys where that is asked for, and packs, each a part of the progress.
static bool make_pack(Session *session, const Derived *derived, const Arguments *arguments,
                      CutPlan *plan, PackFiles *files)
{
    ProgressPart part = {.whole = &session->progress,
                         .to = arguments->buying ? LAID_OF_BUYING : LAID_SHARE};
    const Progress progress = {progress_report_part, &part};
    if (!plan_lay(derived, &progress, session->keep, session->scratch, plan, session->problems)) {
        return false;
    }
    BuyingKnown known = {0};
    BuyOrder order = arguments->buy;
    order.threads = buy_threads(&order);
    part.from = part.to;
    part.to = arguments->buying ? BOUGHT_SHARE : part.to;
    if (arguments->buying && !plan_buying_known(derived, &order, &progress, session->keep,
                                                session->scratch, &known, session->problems)) {
        return false;
    }
    part.from = part.to;
    part.to = 1;
    const PackOrder pack = {arguments->folder, arguments->date, session->problems, &known};
    return plan_pack(derived, plan, &pack, &progress, session->keep, files, session->problems);
}

static int run(Session *session, const Arguments *arguments)
{
    Derived derived;
    int status = EXIT_FINE;
    if (!open_job(session, arguments, &derived, &status)) {
        return status;
    }
    if (arguments->paper) {
        derived.job.paper = (JobPaper)(arguments->paper - 1);
    }
    // What is wrong with the order is told before the layout, which takes its time.
    BuyAnswer *begun = ARENA_NEW(session->keep, BuyAnswer);
    if (arguments->buying &&
        !plan_buy_begin(&derived, &arguments->buy, session->keep, begun, session->problems)) {
        return give_up(session);
    }
    CutPlan plan;
    PackFiles files;
    if (!make_pack(session, &derived, arguments, &plan, &files)) {
        return give_up(session);
    }
    end_progress(session);
    if (arguments->json) {
        Json json = {.text.keep = session->keep};
        json_begin_object(&json, NULL);
        json_int(&json, "pages", files.pages);
        json_int(&json, "unplaced", plan.unplaced_count);
        json_begin_array(&json, "files");
        for (int f = 0; f < files.count; f++) {
            json_begin_flat_object(&json, NULL);
            json_text(&json, "path", files.items[f].path);
            json_text(&json, "what", files.items[f].what);
            json_int(&json, "bytes", (long long)files.items[f].bytes);
            json_end_object(&json);
        }
        json_end_array(&json);
        json_end_object(&json);
        (void)fputs(text_string(&json.text), stdout);
    } else {
        print_plan(session, &derived, &plan);
        print_files(&files, arguments->folder);
    }
    return plan.unplaced_count > 0 ? EXIT_LEFT_OVER : EXIT_FINE;
}

const Command pack_command = {
    .name = "pack",
    .summary = "lay the covers and write the pack for the bench",
    .help =
        "seatwright pack JOB --out FOLDER [--buying] [--paper A4|Letter]\n"
        "                [--date 2026-01-31] [--json]\n"
        "\n"
        "Writes pack.pdf (summary, chalk map of grain and flesh side, marks, cut order and\n"
        "checks, which leather, what to look at in the shop, full-size templates), the\n"
        "drawings as SVG, covers and layout at full size as SVG and DXF, and plan.json. The\n"
        "folder is made if absent; files of the same names are replaced. Stopping with\n"
        "Ctrl-C leaves whole files only. The date printed on the pages is today's unless\n"
        "--date is given. JOB may be - for standard input.\n"
        "\n"
        "  --paper    A4 or Letter, whatever the job says\n"
        "  --buying   also how much leather to ask for, as `buy` finds it, with the options of\n"
        "             `buy` (--grade, --form, --pieces, --comfort, --trials, --threads); takes "
        "longer\n"
        "\n"
        "  seatwright pack examples/rowing-club.json --out out\n"
        "\n"
        "Exit status: 0 every cover has a place, 5 some have none (the pack is written),\n"
        "1 the system refused, 2 mistakes in the job, 3 no such file, 130 stopped.\n",
    .takes_out = true,
    .takes_json = true,
    .takes_buying = true,
    .run = run,
};
