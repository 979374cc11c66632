#include "cli/command.h"

#include <string.h>

static void print_files(const PackFiles *files, const char *folder)
{
    printf("\nThe pack is in %s:\n", folder);
    for (int f = 0; f < files->count; f++) {
        if (!strstr(files->items[f].path, "/pages/")) {
            printf("  %-44s %s\n", files->items[f].path, files->items[f].what);
        }
    }
    const char *pages = "each page of the pack as a drawing";
    printf("  %s/%-*s %s\n", folder, (int)(43 - strlen(folder)), "pages/", pages);
    printf("Print pack.pdf (%d pages) at 100 %%, without \"fit to page\".\n", files->pages);
}

static int run(Session *session, const Arguments *arguments)
{
    Derived derived;
    int status = EXIT_FINE;
    if (!open_job(session, arguments, &derived, &status)) {
        return status;
    }
    const PackOrder order = {arguments->folder, arguments->date, session->problems};
    CutPlan plan;
    PackFiles files;
    if (!plan_lay(&derived, &session->progress, session->keep, session->scratch, &plan,
                  session->problems) ||
        !plan_pack(&derived, &plan, &order, &session->progress, session->keep, &files,
                   session->problems)) {
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
    .help = "seatwright pack JOB --out FOLDER [--date 2026-01-31] [--json]\n"
            "\n"
            "Writes pack.pdf (summary, chalk map of grain and flesh side, marks, cut order and\n"
            "checks, full-size templates), the drawings as SVG, covers and layout at full size\n"
            "as SVG and DXF, and plan.json. The folder is made if absent; files of the same\n"
            "names are replaced. Stopping with Ctrl-C leaves whole files only. The date printed\n"
            "on the pages is today's unless --date is given. JOB may be - for standard input.\n"
            "\n"
            "  seatwright pack examples/rowing-club.json --out out\n"
            "\n"
            "Exit status: 0 every cover has a place, 5 some have none (the pack is written),\n"
            "1 the system refused, 2 mistakes in the job, 3 no such file, 130 stopped.\n",
    .takes_out = true,
    .takes_json = true,
    .run = run,
};
