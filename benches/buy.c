// How long trials of buying take, and what their second look brings: docs/benches.md.
//
//   bench_buy JOB [TRIALS]
#include "options.h"
#include "runs.h"

#include "plan/buy.h"
#include "plan/plan.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

typedef struct Bench {
    Arena *keep;
    Arena *scratch;
    Problems *problems;
    Derived derived;
    int trials;
} Bench;

typedef struct Measured {
    double cpu_s;
    const StudyAnswer *answer;
} Measured;

// Brackets as narrow as they are made where the answer lies.
static bool run_trials(Bench *bench, HideForm form, int pieces, double careful_work,
                       Measured *measured)
{
    const BuyOrder order = {.grade = hide_grades[GRADE_AVERAGE].name,
                            .form = form,
                            .pieces = pieces,
                            .comfort = 0.5,
                            .trials = bench->trials,
                            .threads = 1};
    Study study = plan_buy_study(&bench->derived, &order);
    study.care.careful_work = careful_work;
    StudyAnswer *answer = ARENA_NEW(bench->keep, StudyAnswer);
    const Stopwatch begun = stopwatch_begin();
    if (!study_run(&study, NULL, bench->scratch, answer, bench->problems)) {
        return false;
    }
    *measured = (Measured){stopwatch_since(begun).cpu_s, answer};
    return true;
}

static bool measure_trials(Bench *bench, HideForm form, int pieces)
{
    Measured both;
    Measured quick;
    const double careful_work = room_care_default().careful_work;
    if (!run_trials(bench, form, pieces, careful_work, &both) ||
        !run_trials(bench, form, pieces, 0, &quick)) {
        return false;
    }
    const Tally *tally = &both.answer->tally;
    printf("buy/trials/%s/%-2d %6.1f ms of one core, %5.1f a second; %3.0f %% of the trials took a "
           "second look, without it %6.1f ms and %+.1f %% of leather\n",
           hide_form_names[form], pieces, 1e3 * both.cpu_s / tally->trials,
           tally->trials / both.cpu_s, 100.0 * tally->careful / tally->trials,
           1e3 * quick.cpu_s / quick.answer->tally.trials,
           100 * (tally_mean_step(&quick.answer->tally) / tally_mean_step(tally) - 1));
    (void)fflush(stdout);
    return true;
}

static bool measure_answer(Bench *bench)
{
    const BuyOrder order = {.threads = (int)sysconf(_SC_NPROCESSORS_ONLN)};
    BuyAnswer *answer = ARENA_NEW(bench->keep, BuyAnswer);
    const Stopwatch begun = stopwatch_begin();
    if (!plan_buy(&bench->derived, &order, NULL, bench->keep, bench->scratch, answer,
                  bench->problems)) {
        return false;
    }
    const Stopwatch taken = stopwatch_since(begun);
    printf("buy/answer %d trials of %d %s, %s: %.1f s on %d threads, %.1f s of processor time\n",
           answer->study.tally.trials, answer->order.pieces, hide_form_names[answer->order.form],
           answer->study.precise ? "known to 4 %" : "not known to 4 %", taken.wall_s, order.threads,
           taken.cpu_s);
    return true;
}

int main(int count, char **words)
{
    Arena *keep = arena_create("bench", (size_t)2 << 30);
    Arena *scratch = arena_create("search", (size_t)2 << 30);
    if (!keep || !scratch) {
        return 1;
    }
    Bench *bench = ARENA_NEW(keep, Bench);
    *bench = (Bench){.keep = keep, .scratch = scratch, .problems = problems_in(keep)};
    bench->trials = count > 2 ? (int)strtol(words[2], NULL, 10) : 64;
    if (count < 2 || bench->trials < 1) {
        (void)fputs("usage: bench_buy JOB [TRIALS]\n", stderr);
        return 2;
    }
    (void)(plan_derive(words[1], keep, scratch, &bench->derived, bench->problems) &&
           measure_trials(bench, HIDE_WHOLE, 1) && measure_trials(bench, HIDE_WHOLE, 2) &&
           measure_trials(bench, HIDE_SIDE, 3) && measure_answer(bench));
    const int status = problems_print(bench->problems);
    arena_destroy(scratch);
    arena_destroy(keep);
    return status;
}
