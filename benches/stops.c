// How long work goes on without asking whether it should stop: docs/benches.md.
//
//   bench_stops JOB...
//
// In processor time of the working thread, so that what else the machine does plays no part.
#include "options.h"

#include "plan/buy.h"
#include "plan/plan.h"

#include <stdio.h>
#include <stdlib.h>
#include <time.h>

enum { TRIALS = 32 };

// The longest time between two reports, and what went on then.
typedef struct Watch {
    double last_s;
    double longest_s;
    const char *what;
    double share;
    int reports;
} Watch;

typedef struct Bench {
    Arena *keep;
    Arena *scratch;
    Problems *problems;
    Watch watch;
    Progress progress;
    const char *folder; // for the pack
} Bench;

static double thread_s(void)
{
    struct timespec now;
    (void)clock_gettime(CLOCK_THREAD_CPUTIME_ID, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

static bool watch_report(void *context, const char *what, double share)
{
    Watch *watch = (Watch *)context;
    const double now_s = thread_s();
    if (now_s - watch->last_s > watch->longest_s) {
        watch->longest_s = now_s - watch->last_s;
        watch->what = what;
        watch->share = share;
    }
    watch->reports++;
    watch->last_s = thread_s();
    return true;
}

static void watch_begin(Bench *bench)
{
    bench->watch = (Watch){.last_s = thread_s(), .what = "none"};
}

static void watch_print(Bench *bench, const char *step, const char *path)
{
    (void)watch_report(&bench->watch, "the end", 1);
    const Watch *watch = &bench->watch;
    printf("stops/%-8s %-30s longest %6.1f ms before \"%s\" at %.2f, %d reports\n", step, path,
           1e3 * watch->longest_s, watch->what, watch->share, watch->reports);
    (void)fflush(stdout);
}

static bool measure_layout(Bench *bench, const Derived *derived, const char *path)
{
    watch_begin(bench);
    CutPlan plan;
    if (!plan_lay(derived, &bench->progress, bench->keep, bench->scratch, &plan, bench->problems)) {
        return false;
    }
    watch_print(bench, "lay", path);
    watch_begin(bench);
    Fit fit;
    const bool missing = plan.unplaced_count > 0;
    if (missing) {
        if (!plan_fit(derived, &(FitWish){&plan, 2}, &bench->progress, bench->keep, bench->scratch,
                      &fit, bench->problems)) {
            return false;
        }
        watch_print(bench, "fit", path);
    }
    watch_begin(bench);
    Text text = {.keep = bench->keep};
    plan_lay_json(derived, &plan, missing ? &fit : NULL, &text);
    watch_print(bench, "json", path);
    watch_begin(bench);
    PackFiles files = {0};
    if (!plan_pack(derived, &plan, &(PackOrder){.folder = bench->folder, .date = "2026-01-31"},
                   &bench->progress, bench->keep, &files, bench->problems)) {
        return false;
    }
    watch_print(bench, "pack", path);
    return true;
}

static bool measure_buying(Bench *bench, const Derived *derived, const char *path)
{
    watch_begin(bench);
    BuyAnswer *answer = ARENA_NEW(bench->keep, BuyAnswer);
    if (!plan_buy(derived, &(BuyOrder){.trials = TRIALS, .threads = 1}, &bench->progress,
                  bench->keep, bench->scratch, answer, bench->problems)) {
        return false;
    }
    watch_print(bench, "buy", path);
    return true;
}

static bool measure_job(Bench *bench, const char *path)
{
    watch_begin(bench);
    Derived derived;
    if (!plan_derive(path, bench->keep, bench->scratch, &derived, bench->problems)) {
        return false;
    }
    watch_print(bench, "derive", path);
    return (derived.hide_count == 0 || measure_layout(bench, &derived, path)) &&
           measure_buying(bench, &derived, path);
}

int main(int count, char **words)
{
    Arena *keep = arena_create("bench", (size_t)4 << 30);
    Arena *scratch = arena_create("search", (size_t)4 << 30);
    if (!keep || !scratch) {
        return 1;
    }
    Bench bench = {.keep = keep,
                   .scratch = scratch,
                   .problems = problems_in(keep),
                   .folder = "build/bench-out"};
    bench.progress = (Progress){watch_report, &bench.watch};
    for (int i = 1; i < count; i++) {
        (void)measure_job(&bench, words[i]);
    }
    const int status = problems_print(bench.problems);
    arena_destroy(scratch);
    arena_destroy(keep);
    return status;
}
