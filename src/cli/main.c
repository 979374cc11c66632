#include "base/number.h"
#include "base/version.h"
#include "cli/command.h"
#include "plan/served_papers.h"
#include "serve/serve.h"

#include <signal.h>
#include <stdatomic.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

// Those on a job's file first, then those on the workshop file.
enum { COMMAND_COUNT = 19, FILE_COMMAND_COUNT = 8 };
static const Command *const commands[COMMAND_COUNT] = {
    &advise_command,  &buy_command,    &check_command,   &covers_command, &lay_command,
    &merge_command,   &pack_command,   &tidy_command,    &keep_command,   &jobs_command,
    &history_command, &fetch_command,  &leather_command, &take_command,   &cut_command,
    &export_command,  &import_command, &restore_command, &serve_command};

static const size_t KEEP_BYTES = (size_t)2 << 30;
static const size_t SCRATCH_BYTES = (size_t)1 << 30;

// Ctrl-C: the work in hand sees it at its next report of progress and ends in order.
static atomic_bool stop_asked; // the progress is told on any thread

static void ask_stop(int signal_number)
{
    (void)signal_number;
    stop_asked = 1;
}

// Progress on a terminal, once the work has taken half a second.
typedef struct Meter {
    double begun_s;
    double shown_s;
    bool terminal;
    bool showing;
} Meter;

static double now_s(void)
{
    struct timespec now;
    (void)clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

static bool show_progress(void *context, const char *what, double share)
{
    Meter *meter = context;
    const double now = now_s();
    if (meter->terminal && now - meter->begun_s > 0.5 && now - meter->shown_s > 0.1) {
        enum { CELLS = 30 };
        char bar[CELLS + 1];
        for (int i = 0; i < CELLS; i++) {
            bar[i] = i < (int)(share * CELLS) ? '=' : ' ';
        }
        bar[CELLS] = 0;
        (void)fprintf(stderr, "\r\033[K[%s] %3.0f %% %s", bar, 100 * share, what);
        meter->shown_s = now;
        meter->showing = true;
    }
    return !stop_asked;
}

void end_progress(const Session *session)
{
    Meter *meter = session->progress.context;
    if (meter->showing) {
        (void)fputs("\r\033[K", stderr);
        meter->showing = false;
    }
}

static void print_help(FILE *to)
{
    (void)fprintf(to,
                  "Seatwright %s: from a tape measure to a cutting pack for leather seats\n"
                  "\n"
                  "usage: seatwright COMMAND JOB [options]\n"
                  "\n",
                  SEATWRIGHT_VERSION);
    for (int c = 0; c < COMMAND_COUNT; c++) {
        (void)fputs(
            c == FILE_COMMAND_COUNT ? "\nThe workshop file, where jobs and hides are kept:\n" : "",
            to);
        (void)fprintf(to, "  %-8s %s\n", commands[c]->name, commands[c]->summary);
    }
    (void)fputs(
        "\n"
        "`seatwright COMMAND --help` tells more, with examples. JOB is a JSON file that\n"
        "docs/job-file.md describes; examples/ holds some to start from.\n"
        "\n"
        "  seatwright check examples/rowing-club.json\n"
        "  seatwright buy examples/rowing-club.json\n"
        "  seatwright pack examples/rowing-club.json --out out\n"
        "\n"
        "Options: --json (for other programs), --out FOLDER, --print FILE.pdf, --buying,\n"
        "--paper A4|Letter, --date YYYY-MM-DD, --fit TIMES, --workshop FILE, --help, --version.\n",
        to);
}

static const Command *find_command(const char *name)
{
    for (int c = 0; c < COMMAND_COUNT; c++) {
        if (strcmp(commands[c]->name, name) == 0) {
            return commands[c];
        }
    }
    return NULL;
}

static int refuse_usage(const char *found, const char *word, const char *remedy)
{
    (void)fprintf(stderr, "seatwright: %s \"%s\"\n", found, word);
    if (remedy) {
        (void)fprintf(stderr, "  remedy:  %s\n", remedy);
    }
    (void)fputs("  help:    seatwright --help\n", stderr);
    return EXIT_INPUT;
}

// An option with a value behind it; advances *at. NULL when it is another word.
static const char *option_value(const char *name, int count, char *const *words, int *at)
{
    const size_t length = strlen(name);
    if (strncmp(words[*at], name, length) == 0 && words[*at][length] == '=') {
        return words[*at] + length + 1;
    }
    if (strcmp(words[*at], name) != 0) {
        return NULL;
    }
    if (*at + 1 >= count || !words[*at + 1]) {
        return "";
    }
    ++*at;
    return words[*at];
}

// 0 to FIT_TIMES_MOST.
static bool read_times(const char *text, double *times)
{
    Number number;
    if (number_read(text, &number) || number.unit != NUMBER_BARE ||
        !(number.value >= 0 && number.value <= FIT_TIMES_MOST)) {
        return false;
    }
    *times = number.value;
    return true;
}

// The options of `buy`. False when the word is none of them.
static bool read_buy_word(int count, char *const *words, int *at, BuyOrder *order, int *status)
{
    static const char *const names[] = {"--grade",  "--form",  "--pieces",  "--comfort",
                                        "--trials", "--shard", "--threads", "--precision"};
    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        const char *value = option_value(names[i], count, words, at);
        if (value) {
            const char *allowed = plan_buy_option(names[i] + 2, value, order);
            *status = allowed ? refuse_usage(names[i], value, allowed) : EXIT_FINE;
            return true;
        }
    }
    return false;
}

// The options of the workshop's commands. False when the word is none of them.
static bool read_shop_word(int count, char *const *words, int *at, ShopOrder *order, int *status)
{
    static const char *const names[] = {"--workshop", "--call", "--version"};
    if (shop_flag(words[*at], order)) {
        return true;
    }
    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        const char *value = option_value(names[i], count, words, at);
        if (value) {
            const char *allowed = shop_option(names[i], value, order);
            *status = allowed ? refuse_usage(names[i], value, allowed) : EXIT_FINE;
            return true;
        }
    }
    return false;
}

// Too few words, or too many.
static int check_words(const Command *command, const Arguments *arguments)
{
    const int count = arguments->file_count;
    if (count > command->words_most) {
        return refuse_usage("too many words:", arguments->files[command->words_most], NULL);
    }
    if (count < command->words_least) {
        return refuse_usage("too few words behind", command->name, "`--help` behind it says which");
    }
    return EXIT_FINE;
}

// 0 to 65535; -1: it is none.
static int read_port(const char *text)
{
    enum { PORT_MAX = 65535 };
    int64_t port = 0;
    return digits_read(text, strlen(text), &port) && port <= PORT_MAX ? (int)port : -1;
}

// Whether the word is one of those that `pack` alone takes; *status then says how it went.
static bool read_pack_word(int count, char *const *words, int *at, Arguments *arguments,
                           int *status)
{
    if (strcmp(words[*at], "--buying") == 0) {
        arguments->buying = true;
        return true;
    }
    const char *value = option_value("--paper", count, words, at);
    JobPaper paper = PAPER_A4;
    if (value && plan_paper_named(value, &paper)) {
        arguments->paper = (int)paper + 1;
    } else if (value) {
        *status = refuse_usage("--paper is", value, "write A4 or Letter");
    }
    return value != NULL;
}

// True when the word is an option of `serve`; *status says how it was.
static bool read_serve_word(int count, char *const *words, int *at, Arguments *arguments,
                            int *status)
{
    const char *value = NULL;
    if (strcmp(words[*at], "--share") == 0) {
        arguments->share = true;
    } else if (strcmp(words[*at], "--open") == 0) {
        arguments->open = true;
    } else if (strcmp(words[*at], "--if-new") == 0) {
        arguments->if_new = true;
    } else if ((value = option_value("--share-at", count, words, at))) {
        arguments->share_at = value;
    } else if ((value = option_value("--port", count, words, at))) {
        arguments->port = read_port(value);
        *status = arguments->port >= 0
                      ? EXIT_FINE
                      : refuse_usage("--port is", value, "give a number from 0 to 65535");
    } else {
        return false;
    }
    return true;
}

// `files` has room for each word.
static int read_word(const Command *command, int count, char *const *words, int *at,
                     const char **files, Arguments *arguments)
{
    const char *word = words[*at];
    const char *value = NULL;
    int status = EXIT_FINE;
    if ((command->takes_buy || command->takes_buying) &&
        read_buy_word(count, words, at, &arguments->buy, &status)) {
        arguments->buy_asked = true;
        return status;
    }
    if (command->takes_shop && read_shop_word(count, words, at, &arguments->shop, &status)) {
        return status;
    }
    if (command->takes_buying && read_pack_word(count, words, at, arguments, &status)) {
        return status;
    }
    if (command->takes_port && read_serve_word(count, words, at, arguments, &status)) {
        return status;
    }
    if (command->takes_json && strcmp(word, "--json") == 0) {
        arguments->json = true;
    } else if (command->takes_buy && strcmp(word, "--thrift") == 0) {
        arguments->thrift = true;
    } else if (command->takes_buy && strcmp(word, "--split") == 0) {
        arguments->split = true;
    } else if ((command->takes_buy || command->takes_files) && strcmp(word, "--no-offers") == 0) {
        arguments->no_offers = true;
    } else if ((command->takes_out || command->takes_buy) &&
               (value = option_value("--out", count, words, at))) {
        arguments->folder = value;
        const char *missing = command->takes_out && !command->takes_shop
                                  ? "a folder is missing behind"
                                  : "a file is missing behind";
        return *value ? EXIT_FINE : refuse_usage(missing, "--out", NULL);
    } else if (command->takes_print && (value = option_value("--print", count, words, at))) {
        arguments->print = value;
        return *value ? EXIT_FINE : refuse_usage("a file is missing behind", "--print", NULL);
    } else if ((command->takes_out || command->takes_print) &&
               (value = option_value("--date", count, words, at))) {
        arguments->date = value;
        return plan_is_date(value) ? EXIT_FINE
                                   : refuse_usage("--date is", value, "write it as 2026-01-31");
    } else if (command->takes_fit && (value = option_value("--fit", count, words, at))) {
        return read_times(value, &arguments->fit)
                   ? EXIT_FINE
                   : refuse_usage("--fit is", value,
                                  "give a number from 0 to 1000, how many times the search's work");
    } else if (word[0] == '-' && word[1]) {
        return refuse_usage("unknown option", word, NULL);
    } else if (arguments->job && !command->takes_files && !command->takes_shop) {
        return refuse_usage("more than one job:", word, "give one job file");
    } else {
        files[arguments->file_count++] = word;
        arguments->job = files[0];
    }
    return EXIT_FINE;
}

static int read_arguments(const Command *command, int count, char *const *words, const char **files,
                          Arguments *arguments)
{
    arguments->files = files;
    for (int i = 0; i < count; i++) {
        const int status = read_word(command, count, words, &i, files, arguments);
        if (status != EXIT_FINE) {
            return status;
        }
    }
    if (command->takes_shop) {
        const int status = check_words(command, arguments);
        if (status != EXIT_FINE) {
            return status;
        }
    } else if (!arguments->job && command->takes_files) {
        return refuse_usage("files are missing behind", command->name, NULL);
    } else if (!arguments->job) {
        return refuse_usage("a job file is missing behind", command->name,
                            "name one, or - for standard input");
    }
    if (command->takes_buying && arguments->buy_asked && !arguments->buying) {
        return refuse_usage("an option of buy for", command->name, "add --buying, or leave it out");
    }
    if (command->takes_buying && arguments->buy.shards > 0) {
        return refuse_usage("unknown option", "--shard", NULL);
    }
    if (command->takes_out && !arguments->folder) {
        return command->takes_shop
                   ? refuse_usage("a file is missing for", command->name, "add --out FILE")
                   : refuse_usage("a folder is missing for", command->name, "add --out FOLDER");
    }
    return EXIT_FINE;
}

static int run_command(const Command *command, Arguments arguments)
{
    Meter meter = {.begun_s = now_s(), .terminal = isatty(STDERR_FILENO)};
    Session session = {.keep = arena_create("results", KEEP_BYTES),
                       .scratch = arena_create("scratch", SCRATCH_BYTES),
                       .progress = {show_progress, &meter}};
    if (!session.keep || !session.scratch) {
        (void)fputs("seatwright: out of memory\n", stderr);
        arena_destroy(session.keep);
        arena_destroy(session.scratch);
        return EXIT_SYSTEM;
    }
    session.problems = problems_in(session.keep);
    if (!arguments.date) {
        arguments.date = plan_today(session.keep);
    }
    int status = command->run(&session, &arguments);
    end_progress(&session);
    if (fflush(stdout) != 0 || ferror(stdout)) {
        (void)fputs("seatwright: could not write the result\n", stderr);
        status = EXIT_SYSTEM;
    }
    arena_destroy(session.keep);
    arena_destroy(session.scratch);
    return status;
}

static bool asks(int count, char *const *words, const char *option)
{
    for (int i = 0; i < count; i++) {
        if (strcmp(words[i], option) == 0) {
            return true;
        }
    }
    return false;
}

int main(int count, char **words)
{
    if (count < 2) {
        print_help(stderr);
        return EXIT_INPUT;
    }
    const Command *command = find_command(words[1]);
    if (asks(count - 1, words + 1, "--help")) {
        if (command) {
            (void)fputs(command->help, stdout);
        } else {
            print_help(stdout);
        }
        return EXIT_FINE;
    }
    if (strcmp(words[1], "--version") == 0) {
        printf("seatwright %s\n", SEATWRIGHT_VERSION);
        return EXIT_FINE;
    }
    if (!command) {
        const char *names[COMMAND_COUNT];
        for (int c = 0; c < COMMAND_COUNT; c++) {
            names[c] = commands[c]->name;
        }
        const char *near = text_nearest(words[1], names, COMMAND_COUNT);
        char remedy[64];
        (void)snprintf(remedy, sizeof remedy, "did you mean %s?", near ? near : "");
        return refuse_usage("unknown command", words[1], near ? remedy : NULL);
    }
    Arguments arguments = {.fit = FIT_TIMES_USUAL, .port = SERVE_PORT_FREE};
    const char **files = calloc((size_t)count, sizeof *files);
    if (!files) {
        (void)fputs("seatwright: out of memory\n", stderr);
        return EXIT_SYSTEM;
    }
    int status = read_arguments(command, count - 2, words + 2, files, &arguments);
    if (status == EXIT_FINE) {
        struct sigaction stop = {.sa_handler = ask_stop};
        (void)sigaction(SIGINT, &stop, NULL);
        (void)sigaction(SIGTERM, &stop, NULL);
        status = run_command(command, arguments);
    }
    free((void *)files);
    return status;
}
