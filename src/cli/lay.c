#include "cli/command.h"

static int run(Session *session, const Arguments *arguments)
{
    Derived derived;
    int status = EXIT_FINE;
    if (!open_job(session, arguments, &derived, &status)) {
        return status;
    }
    CutPlan plan;
    if (!plan_lay(&derived, &session->progress, session->keep, session->scratch, &plan,
                  session->problems)) {
        return give_up(session);
    }
    const bool missing = plan.unplaced_count > 0;
    Fit fit;
    if (missing && !plan_fit(&derived, &(FitWish){&plan, arguments->fit}, &session->progress,
                             session->keep, session->scratch, &fit, session->problems)) {
        return give_up(session);
    }
    end_progress(session);
    const bool stopped = plan.stopped || (missing && fit.stopped);
    if (arguments->json) {
        Text text = {.keep = session->keep};
        plan_lay_json(&derived, &plan, missing ? &fit : NULL, &text);
        (void)fputs(text_string(&text), stdout);
    } else {
        print_plan(session, &derived, &plan);
        if (missing) {
            print_fit(session, &derived, &plan, &fit);
        }
        if (stopped) {
            printf("\nStopped before all was tried.\n");
        }
    }
    return stopped ? EXIT_STOPPED : missing ? EXIT_LEFT_OVER : EXIT_FINE;
}

const Command lay_command = {
    .name = "lay",
    .summary = "lay the covers on the hides",
    .help = "seatwright lay JOB [--fit TIMES] [--json]\n"
            "\n"
            "Looks for a layout in which every cover keeps its firm direction, its bands keep\n"
            "off what they do not tolerate, and the best leather lies under the faces. Says\n"
            "where each cover lies and what it touches; and which covers found no place, and\n"
            "what holds them. JOB may be - for standard input.\n"
            "\n"
            "When covers are left over it also says how many any layout could hold, and tries\n"
            "what would make all of them fit: one change at a time, from the least harm to the\n"
            "greatest. --fit says how many times the work of the search goes into that: 8 unless\n"
            "told otherwise, 0 for none.\n"
            "\n"
            "Ctrl-C ends the search and prints what is known by then.\n"
            "\n"
            "  seatwright lay examples/rowing-club.json\n"
            "  seatwright lay --fit 40 club.json\n"
            "  seatwright lay --json examples/rowing-club.json > plan.json\n"
            "\n"
            "Exit status: 0 every cover has a place, 5 some have none, 1 the system refused,\n"
            "2 mistakes in the job, 3 no such file, 130 stopped.\n",
    .takes_json = true,
    .takes_fit = true,
    .run = run,
};
