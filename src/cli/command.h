// The command line: one file for each command, all thin: they read arguments, call
// plan, and print.
#pragma once

#include "plan/buy_offers.h"
#include "plan/print.h"

#include <stdio.h>

#define FIT_TIMES_USUAL 8.0 ///< without --fit
#define FIT_TIMES_MOST 1000.0

enum { EXIT_FINE = 0, EXIT_SYSTEM = 1, EXIT_INPUT = 2, EXIT_LEFT_OVER = 5, EXIT_STOPPED = 130 };

/// What all commands share. `keep` lives as long as the process, `scratch` is free
/// between calls.
typedef struct Session {
    Arena *keep;
    Arena *scratch;
    Problems *problems;
    Progress progress;
} Session;

/// What the commands of the workshop file are asked for.
typedef struct ShopOrder {
    const char *file;  ///< --workshop, or NULL
    const char *call;  ///< --call, or NULL
    long long version; ///< --version; 0: not given
    bool undo;
    bool redo;
} ShopOrder;

/// Arguments behind the command's name.
typedef struct Arguments {
    const char *job;          ///< the job file, or NULL
    const char *const *files; ///< all words that are no options, the job first
    int file_count;
    const char *folder;   ///< --out: a folder, or the file of a shard
    const char *date;     ///< --date
    const char *print;    ///< --print: a PDF
    bool buying;          ///< --buying
    int paper;            ///< --paper: one more than the JobPaper; 0: as the job says
    bool buy_asked;       ///< any of the options of `buy`
    bool json;            ///< --json
    bool thrift;          ///< --thrift
    bool split;           ///< --split
    double fit;           ///< --fit: times the work of the search
    bool no_offers;       ///< --no-offers
    BuyOrder buy;         ///< --grade, --form, --pieces, --comfort, --trials, ...
    int port;             ///< --port
    bool share;           ///< --share
    bool open;            ///< --open
    bool if_new;          ///< --if-new
    const char *share_at; ///< --share-at, or NULL
    ShopOrder shop;       ///< --workshop, --call, --version, --undo, --redo
} Arguments;

typedef struct Command {
    const char *name;
    const char *summary; ///< one line
    const char *help;    ///< whole text, with examples
    bool takes_out;
    bool takes_json;
    bool takes_fit;
    bool takes_buy;   ///< and --out FILE
    bool takes_files; ///< one or more, instead of a job
    bool takes_port;
    bool takes_shop; ///< works on the workshop file; then so many words:
    int words_least;
    int words_most;
    bool takes_print;  ///< and --date
    bool takes_buying; ///< and with it the options of `buy`
    int (*run)(Session *session, const Arguments *arguments);
} Command;

extern const Command buy_command;
extern const Command advise_command;
extern const Command check_command;
extern const Command covers_command;
extern const Command lay_command;
extern const Command merge_command;
extern const Command pack_command;
extern const Command tidy_command;
extern const Command cut_command;
extern const Command export_command;
extern const Command fetch_command;
extern const Command history_command;
extern const Command import_command;
extern const Command jobs_command;
extern const Command keep_command;
extern const Command leather_command;
extern const Command restore_command;
extern const Command serve_command;
extern const Command take_command;

/// Reads one option with a value of the workshop's commands. NULL, or what is allowed.
const char *shop_option(const char *name, const char *value, ShopOrder *order);
/// The same without a value; false when there is no such.
bool shop_flag(const char *name, ShopOrder *order);

/// How many cores work at once: as the order says, else all that there are.
int buy_threads(const BuyOrder *order);

/// What follows a study: the other form and the offers, unless --no-offers was given or the study
/// was stopped; then prints it all, as tables or as a document. The exit status.
int finish_buy(Session *session, const Derived *derived, BuyAnswer *answer,
               const Progress *progress, const Arguments *arguments);

/// The other form and the offers, as `buy` prints them.
void print_beside(const Session *session, const Derived *derived, const BuyAnswer *answer,
                  const BuyBeside *beside);

/// The rest of `buy --thrift`, with the order of its options; the exit status.
int run_thrift(Session *session, const Derived *derived, const BuyOrder *order, bool json);
/// The same of `buy --split`.
int run_split(Session *session, const Derived *derived, const BuyOrder *order, bool json);

/// Prints all problems to `to`: mistakes, then doubts, each with what is allowed and
/// a likely remedy.
void print_problems(FILE *to, const Problems *problems);

/// Wipes the progress line from the terminal: call before printing results.
void end_progress(const Session *session);

/// A share in hundredths: `95 %`.
const char *percent_text(double share, Arena *keep);

/// Prints mistakes to stderr and gives the exit status for them.
int give_up(Session *session);

/// Derives the job; on failure prints why and puts the exit status into *status.
bool open_job(Session *session, const Arguments *arguments, Derived *derived, int *status);

/// Writes the pages for buying where --print says, and tells of them; does nothing when it was
/// not given. False when they could not be written.
bool print_pages(Session *session, const Derived *derived, const Arguments *arguments,
                 BuyingKnown known);

/// The summary of a plan, as `lay` and `pack` print it.
void print_plan(Session *session, const Derived *derived, const CutPlan *plan);

/// What would make the covers fit, and what no layout can exceed, as `lay` prints it.
void print_fit(Session *session, const Derived *derived, const CutPlan *plan, const Fit *fit);
