#include "cli/command.h"

static const char *counted(Session *session, int count, const char *what)
{
    return arena_text(session->keep, "%d %s%s", count, what, count == 1 ? "" : "s");
}

static int run(Session *session, const Arguments *arguments)
{
    Derived derived;
    const bool good =
        plan_derive(arguments->job, session->keep, session->scratch, &derived, session->problems);
    if (arguments->json) {
        Text text = {.keep = session->keep};
        plan_problems_json(arguments->job, session->problems, &text);
        (void)fputs(text_string(&text), stdout);
        return good ? EXIT_FINE : problems_exit_status(session->problems);
    }
    if (!good) {
        return give_up(session);
    }
    int chairs = 0;
    for (int d = 0; d < derived.demand_count; d++) {
        chairs += derived.demands[d].count;
    }
    printf("%s is good: %s of %s, %s, %s\n", arguments->job, counted(session, chairs, "chair"),
           counted(session, derived.job.seat_count, "kind"),
           counted(session, derived.demand_count, "different cover"),
           counted(session, derived.hide_count, "hide"));
    if (session->problems->doubts > 0) {
        printf("\n");
        print_problems(stdout, session->problems);
    }
    return EXIT_FINE;
}

const Command check_command = {
    .name = "check",
    .summary = "look through a job for mistakes, all at once",
    .help = "seatwright check JOB [--json]\n"
            "\n"
            "Reads the job and says of every mistake where it is, what stands there, what is\n"
            "allowed and what was likely meant; then what is legal but odd, such as a station\n"
            "of the hide that looks like a slip of the tape. JOB may be - for standard input.\n"
            "\n"
            "  seatwright check examples/rowing-club.json\n"
            "  seatwright check --json club.json | less\n"
            "\n"
            "Exit status: 0 good (doubts aside), 1 the system refused, 2 mistakes in the job,\n"
            "3 no such file.\n",
    .takes_json = true,
    .run = run,
};
