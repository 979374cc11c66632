// Into the workshop file, and out of it again.
#include "cli/shop.h"

static void print_kept(Session *session, const KeptJob *kept)
{
    Arena *keep = session->keep;
    const Record *record = &kept->record;
    const char *title = shop_word(record->title, keep);
    if (kept->begun) {
        printf("Kept as job %lld: %s\n", (long long)record->id, title);
    } else if (kept->changed) {
        printf("Kept as version %lld of job %lld: %s\n", (long long)record->present,
               (long long)record->id, title);
    } else {
        printf("Job %lld is so already, as version %lld: %s\n", (long long)record->id,
               (long long)record->present, title);
    }
    if (kept->hides > 0) {
        printf("%s of it came into the workshop; `seatwright leather` lists them\n",
               shop_count(kept->hides, "hide", keep));
    }
    const int mistakes = session->problems->mistakes;
    if (mistakes > 0) {
        printf("It has %s still; `seatwright check` lists them\n",
               shop_count(mistakes, "mistake", keep));
    }
}

static bool keep(Session *session, const Arguments *arguments, Store *store)
{
    KeptJob kept;
    const KeepOrder order = {.path = arguments->job, .call = arguments->shop.call};
    if (!workshop_keep(store, &order, session->keep, &kept, session->problems)) {
        return false;
    }
    print_kept(session, &kept);
    return true;
}

static int run_keep(Session *session, const Arguments *arguments)
{
    return shop_run(session, arguments, keep);
}

static bool fetch(Session *session, const Arguments *arguments, Store *store)
{
    Record record;
    Document document;
    return workshop_find(store, RECORD_JOB, arguments->job, session->keep, &record,
                         session->problems) &&
           record_read(store, record.id, arguments->shop.version, session->keep, &document,
                       session->problems) &&
           fwrite(document.data, 1, document.bytes, stdout) == document.bytes;
}

static int run_fetch(Session *session, const Arguments *arguments)
{
    return shop_run(session, arguments, fetch);
}

const Command keep_command = {
    .name = "keep",
    .summary = "keep a job in the workshop file, with all its versions",
    .help =
        "seatwright keep JOB [--call NAME] [--workshop FILE]\n"
        "\n"
        "Keeps the job's file, byte for byte, as a new version of the job of the same name, or\n"
        "as a new job. Old versions stay. Its hides become hides of the workshop, which other\n"
        "jobs can take to their tables. A job with mistakes is kept as well. --call gives the\n"
        "version a name. JOB may be - for standard input.\n"
        "\n"
        "The workshop file is ~/.local/share/seatwright/workshop.db (or lies in\n"
        "$XDG_DATA_HOME) unless --workshop names another; it is made when absent.\n"
        "\n"
        "  seatwright keep club.json --call \"as ordered\"\n"
        "\n"
        "Exit status: 0 kept, 1 the system refused, 2 no job, 3 no such file, 4 somebody else\n"
        "saved meanwhile.\n",
    .takes_shop = true,
    .words_least = 1,
    .words_most = 1,
    .run = run_keep,
};

const Command fetch_command = {
    .name = "fetch",
    .summary = "print a job's file from the workshop file",
    .help = "seatwright fetch JOB [--version N] [--workshop FILE]\n"
            "\n"
            "Prints the job's document, byte for byte as it was kept; with --version as it was\n"
            "then. JOB is its number or its name, or words that only one job is found by.\n"
            "\n"
            "  seatwright fetch 3 > club.json\n"
            "  seatwright fetch \"rowing club\" --version 2 | seatwright lay -\n"
            "\n"
            "Exit status: 0 done, 1 the system refused, 2 several are meant, 3 no such job.\n",
    .takes_shop = true,
    .words_least = 1,
    .words_most = 1,
    .run = run_fetch,
};
