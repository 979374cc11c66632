// From one workshop file to another, and back from a backup.
#include "cli/shop.h"

#include "store/exchange.h"

static bool export_jobs(Session *session, const Arguments *arguments, Store *store)
{
    const int count = arguments->file_count;
    int64_t *jobs = ARENA_ARRAY(session->keep, int64_t, count + 1);
    for (int i = 0; i < count; i++) {
        Record job;
        if (!workshop_find(store, RECORD_JOB, arguments->files[i], session->keep, &job,
                           session->problems)) {
            return false;
        }
        jobs[i] = job.id;
    }
    if (!store_export(store, arguments->folder, jobs, count, session->problems)) {
        return false;
    }
    printf("%s in %s\n", count > 0 ? shop_count(count, "job", session->keep) : "The whole workshop",
           arguments->folder);
    return true;
}

static int run_export(Session *session, const Arguments *arguments)
{
    return shop_run(session, arguments, export_jobs);
}

static void print_import(Session *session, const ImportReport *report)
{
    Arena *keep = session->keep;
    printf("New here: %s, %s, %s, %s\n", shop_count(report->jobs, "job", keep),
           shop_count(report->hides, "hide", keep), shop_count(report->versions, "version", keep),
           shop_count(report->keepsakes, "other thing", keep));
    if (report->moved > 0) {
        printf("Known here, and newer now: %d\n", report->moved);
    }
    if (report->apart > 0) {
        printf("Changed on both sides: %d. They stand where they stood; the other side's versions\n"
               "are in their history.\n",
               report->apart);
    }
    if (report->cuts_left_out > 0) {
        printf("Hides that another job has cut here: %d. Those cuts were left out.\n",
               report->cuts_left_out);
    }
}

static bool import(Session *session, const Arguments *arguments, Store *store)
{
    ImportReport report = {0};
    if (!store_import(store, arguments->job, &report, session->problems)) {
        return false;
    }
    print_import(session, &report);
    return true;
}

static int run_import(Session *session, const Arguments *arguments)
{
    return shop_run(session, arguments, import);
}

static int run_restore(Session *session, const Arguments *arguments)
{
    Backup backup;
    const char *aside = NULL;
    if (!workshop_restore(arguments->shop.file, session->keep, &backup, &aside,
                          session->problems)) {
        return give_up(session);
    }
    printf("The backup of %s is in its place.\n", shop_time(backup.made_ms, session->keep));
    printf("What was there is kept as %s\n", aside);
    return EXIT_FINE;
}

const Command export_command = {
    .name = "export",
    .summary = "write jobs, or the whole workshop, to a file",
    .help =
        "seatwright export [JOB...] --out FILE [--workshop FILE]\n"
        "\n"
        "Writes jobs with all their versions, their hides, remnants, layouts and pictures to a\n"
        "file that `import` reads; without JOB the whole workshop. The file is a workshop file\n"
        "itself. To get a job as plain text: `fetch`.\n"
        "\n"
        "  seatwright export 3 --out club.seatwright\n"
        "\n"
        "Exit status: 0 written, 1 the system refused, 2 several are meant, 3 no such job.\n",
    .takes_shop = true,
    .takes_out = true,
    .words_most = 100,
    .run = run_export,
};

const Command import_command = {
    .name = "import",
    .summary = "take in what `export` wrote",
    .help =
        "seatwright import FILE [--workshop FILE]\n"
        "\n"
        "Adds what the file has and the workshop lacks, all of it or nothing; to import a file\n"
        "twice is the same as once. Nothing that is here is changed: a job that went on\n"
        "elsewhere moves on, one that was changed on both sides stays where it stands, with\n"
        "the other side's versions in its history. The file is checked first, and only read.\n"
        "\n"
        "Exit status: 0 done, 1 the system refused or the file is damaged, 2 no workshop file,\n"
        "3 no such file.\n",
    .takes_shop = true,
    .words_least = 1,
    .words_most = 1,
    .run = run_import,
};

const Command restore_command = {
    .name = "restore",
    .summary = "put the newest good backup in the place of a damaged workshop file",
    .help =
        "seatwright restore [--workshop FILE]\n"
        "\n"
        "Backups are made once a day when something has changed, and before the file is\n"
        "brought up to date for a newer version. The newest one that passes every check takes\n"
        "the place of the workshop file; what was there is kept beside it. No other program may\n"
        "have the file open.\n"
        "\n"
        "Exit status: 0 done, 1 the system refused, 3 there is no good backup, 4 the file is good, "
        "or\n"
        "another program has it open.\n",
    .takes_shop = true,
    .run = run_restore,
};
