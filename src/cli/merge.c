#include "cli/command.h"
#include "plan/buy_shard.h"

static int run(Session *session, const Arguments *arguments)
{
    if (arguments->file_count > SHARDS_MAX) {
        (void)problems_say(session->problems, PROBLEM_BAD_INPUT, "files", "%d files; at most %d",
                           arguments->file_count, (int)SHARDS_MAX);
        return give_up(session);
    }
    Derived derived;
    BuyAnswer *answer = ARENA_NEW(session->keep, BuyAnswer);
    if (!plan_shards_merge(arguments->files, arguments->file_count, session->keep, session->scratch,
                           &derived, answer, session->problems)) {
        return give_up(session);
    }
    return finish_buy(session, &derived, answer, &session->progress, arguments);
}

const Command merge_command = {
    .name = "merge",
    .summary = "the answer of `buy` from the files of all its shards",
    .help =
        "seatwright merge FILE... [--no-offers] [--print FILE.pdf]\n"
        "               [--date 2026-01-31] [--json]\n"
        "\n"
        "Puts together what `buy --shard` found in parts, on one machine or on many, and\n"
        "prints what `buy` with as many trials in one run would have printed, to the last\n"
        "digit. Each shard must be there once; files of another job, of other options or of\n"
        "another version are refused by name. The job's own file is not needed. --print puts it\n"
        "on paper, as it does for `buy`.\n"
        "\n"
        "  for i in 1 2 3 4; do\n"
        "      seatwright buy examples/rowing-club.json --pieces 1 --trials 400 \\\n"
        "          --shard $i/4 --out shard-$i.json\n"
        "  done\n"
        "  seatwright merge shard-*.json\n"
        "\n"
        "docs/buying.md shows it on several cores and on a cluster.\n"
        "\n"
        "  --no-offers  leaves out the other form and the job's offers, which are tried here\n"
        "\n"
        "Exit status: 0 done, 1 the system refused, 2 files that do not fit together, 3 no\n"
        "such file, 130 stopped.\n",
    .takes_json = true,
    .takes_print = true,
    .takes_files = true,
    .run = run,
};
