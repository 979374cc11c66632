#include "cli/command.h"

static int run(Session *session, const Arguments *arguments)
{
    Derived derived;
    const bool good =
        plan_derive(arguments->job, session->keep, session->scratch, &derived, session->problems);
    if (arguments->json) {
        Text text = {.keep = session->keep};
        plan_problems_json(arguments->job, session->problems, &text);
        if (!print_text(text_string(&text))) {
            return EXIT_SYSTEM;
        }
        return good ? EXIT_FINE : problems_exit_status(session->problems);
    }
    if (!good) {
        return give_up(session);
    }
    int chairs = 0;
    for (int d = 0; d < derived.demand_count; d++) {
        chairs += derived.demands[d].count;
    }
    printf("%s is good: %d chairs of %d kinds, %d different covers, %d hides\n", arguments->job,
           chairs, derived.job.seat_count, derived.demand_count, derived.hide_count);
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
