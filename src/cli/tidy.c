#include "cli/command.h"

static int run(Session *session, const Arguments *arguments)
{
    Derived derived;
    int status = EXIT_FINE;
    if (!open_job(session, arguments, &derived, &status)) {
        return status;
    }
    Text text = {.keep = session->keep};
    job_write(&derived.job, &text);
    (void)fputs(text_string(&text), stdout);
    return EXIT_FINE;
}

const Command tidy_command = {
    .name = "tidy",
    .summary = "print a job in its plain, ordered form",
    .help = "seatwright tidy JOB\n"
            "\n"
            "Prints the job as a document with its keys in order, numbers as decimals in the\n"
            "job's units, and what equals the default left out. Nothing is written over.\n"
            "\n"
            "  seatwright tidy club.json > club-tidy.json\n"
            "\n"
            "Exit status: 0 done, 1 the system refused, 2 mistakes in the job, 3 no such file.\n",
    .run = run,
};
