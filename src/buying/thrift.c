#include "buying/thrift.h"

#include "base/laws.h"
#include "buying/need.h"

#include <math.h>
#include <stdlib.h>

enum { PICK_WIDTH = 4, PICK_BATCH = 32 };
// Another stream of the engine for picking than for comparing.
static const uint64_t picking_care = 0x9e3779b97f4a7c15U;
static const double confidence_left = 0.05;

double student_quantile(double share, int freedom)
{
    const double x = normal_quantile(share);
    const double x2 = x * x;
    const double n = freedom;
    const double g1 = x * (x2 + 1) / 4;
    const double g2 = x * ((5 * x2 + 16) * x2 + 3) / 96;
    const double g3 = x * (((3 * x2 + 19) * x2 + 17) * x2 - 15) / 384;
    const double g4 = x * ((((79 * x2 + 776) * x2 + 1482) * x2 - 1920) * x2 - 945) / 92160;
    return x + (g1 + (g2 + (g3 + g4 / n) / n) / n) / n;
}

ThriftTold thrift_told(const int *differences, int count, int comparisons, double step_mm2)
{
    static const double rounding = 1.0 / 6; // variance of two roundings to a step
    double sum = 0;
    for (int i = 0; i < count; i++) {
        sum += differences[i];
    }
    ThriftTold told = {.pairs = count, .mean_mm2 = count > 0 ? sum / count * step_mm2 : 0};
    if (count < 2) {
        told.low_mm2 = -(double)INFINITY;
        told.high_mm2 = (double)INFINITY;
        return told;
    }
    double square = 0;
    for (int i = 0; i < count; i++) {
        square += (differences[i] - sum / count) * (differences[i] - sum / count);
    }
    const double variance = fmax(square / (count - 1), rounding);
    const double share = 1 - confidence_left / (2 * fmax(comparisons, 1));
    const double reach = student_quantile(share, count - 1) * sqrt(variance / count) * step_mm2;
    told.low_mm2 = told.mean_mm2 - reach;
    told.high_mm2 = told.mean_mm2 + reach;
    told.saves = told.low_mm2 > 0;
    return told;
}

// The comparison under way.
typedef struct Thrift {
    const ThriftTask *task;
    Study study; // with the care of picking, then of comparing
    Need *picked;
    int picked_count;
    int **differences; // of each option
    int *known;        // how many of them
    ProgressPart part;
    Arena *scratch;
    Problems *problems;
    ThriftAnswer *answer;
} Thrift;

// A part of the progress, from what was reached.
static bool find(Thrift *thrift, int width, Need *needs, int count, double share)
{
    ProgressPart *part = &thrift->part;
    part->from = part->to;
    part->to = fmin(1, part->from + share);
    const Progress reports = {progress_report_part, part};
    const bool good = needs_find(&thrift->study, width, needs, count, &reports, thrift->scratch,
                                 thrift->problems);
    thrift->answer->stopped = part->stopped;
    return good;
}

static int by_need(const void *left, const void *right)
{
    const Need *a = left;
    const Need *b = right;
    if (a->bracket.fits != b->bracket.fits) {
        return a->bracket.fits < b->bracket.fits ? -1 : 1;
    }
    return (a->trial > b->trial) - (a->trial < b->trial);
}

static int by_trial(const void *left, const void *right)
{
    const Need *a = left;
    const Need *b = right;
    return (a->trial > b->trial) - (a->trial < b->trial);
}

// The trials whose rank is nearest to the comfort.
static void pick_nearest(Thrift *thrift, Need *drawn, int count)
{
    const int pairs = thrift->task->pairs;
    qsort(drawn, (size_t)count, sizeof *drawn, by_need);
    int first = (int)lround(thrift->study.comfort * count - pairs / 2.0);
    first = first < 0 ? 0 : first > count - pairs ? count - pairs : first;
    thrift->picked = drawn + first;
    thrift->picked_count = pairs;
    thrift->answer->from_mm2 = drawn[first].bracket.fits * area_step_mm2;
    thrift->answer->to_mm2 = drawn[first + pairs - 1].bracket.fits * area_step_mm2;
    // In their own order, so that those of a batch are no more alike than all.
    qsort(thrift->picked, (size_t)pairs, sizeof *thrift->picked, by_trial);
}

static bool pick(Thrift *thrift)
{
    static const double share = 0.25; // of the progress
    const int count = thrift->task->pairs * THRIFT_DRAWN_EACH;
    Need *drawn = ARENA_ARRAY(thrift->scratch, Need, count);
    int guess = need_first_guess(&thrift->study);
    for (int first = 0; first < count; first += PICK_BATCH) {
        const int batch = count - first < PICK_BATCH ? count - first : PICK_BATCH;
        for (int i = 0; i < batch; i++) {
            drawn[first + i] = (Need){.trial = (uint64_t)(first + i), .guess = guess};
        }
        if (!find(thrift, PICK_WIDTH, drawn + first, batch, share * batch / count)) {
            return false;
        }
        if (thrift->answer->stopped) {
            return problems_say(thrift->problems, PROBLEM_CANCELLED, "buying",
                                "stopped before the hides to compare on were picked");
        }
        qsort(drawn + first, (size_t)batch, sizeof *drawn, by_need);
        guess = drawn[first + batch / 2].bracket.fits;
        guess = guess < AREA_STEPS ? guess : AREA_STEPS - 1;
    }
    pick_nearest(thrift, drawn, count);
    thrift->answer->drawn = count;
    thrift->answer->picked = thrift->picked_count;
    return true;
}

static void conclude(Thrift *thrift, int option)
{
    ThriftTold *told = &thrift->answer->told[option];
    const bool given_up = told->given_up;
    const double step_mm2 = area_step_mm2 * thrift->study.hides;
    *told = thrift_told(thrift->differences[option], thrift->known[option],
                        thrift->task->option_count, step_mm2);
    told->given_up = given_up || (told->pairs >= THRIFT_BATCH && told->high_mm2 < step_mm2);
}

// What an option needs on the hides of a batch, against what they need without it.
static bool compare(Thrift *thrift, int option, const Need *base, int count, double share)
{
    const ThriftOption *changed = &thrift->task->options[option];
    Need needs[THRIFT_BATCH];
    for (int i = 0; i < count; i++) {
        const int guess = base[i].bracket.fits - 1;
        needs[i] = (Need){.trial = base[i].trial, .guess = guess > 0 ? guess : 0};
    }
    const Study unchanged = thrift->study;
    thrift->study.demands = changed->demands;
    thrift->study.demand_count = changed->demand_count;
    thrift->study.rules = changed->rules;
    const bool good = find(thrift, 1, needs, count, share);
    thrift->study = unchanged;
    // Up to the first that is not done: later ones would be those that are quick.
    for (int i = 0; i < count && good && needs[i].done; i++) {
        thrift->differences[option][thrift->known[option]++] =
            base[i].bracket.fits - needs[i].bracket.fits;
    }
    conclude(thrift, option);
    return good;
}

static bool compare_batch(Thrift *thrift, int first, int count, double share)
{
    const int options = thrift->task->option_count;
    const double each = share / (options + 1);
    Need base[THRIFT_BATCH];
    for (int i = 0; i < count; i++) {
        base[i] = thrift->picked[first + i];
        const int guess = (base[i].bracket.failed + base[i].bracket.fits) / 2;
        base[i].guess = guess > 0 ? guess : 0;
    }
    if (!find(thrift, 1, base, count, each)) {
        return false;
    }
    int done = 0;
    while (done < count && base[done].done) {
        done++;
    }
    for (int i = 0; i < options && done > 0 && !thrift->answer->stopped; i++) {
        if (thrift->answer->told[i].given_up) {
            thrift->part.to += each;
        } else if (!compare(thrift, i, base, done, each)) {
            return false;
        }
    }
    return true;
}

static bool compare_all(Thrift *thrift)
{
    const double left = 1 - thrift->part.to;
    const int pairs = thrift->picked_count;
    for (int first = 0; first < pairs && !thrift->answer->stopped; first += THRIFT_BATCH) {
        const int count = pairs - first < THRIFT_BATCH ? pairs - first : THRIFT_BATCH;
        if (!compare_batch(thrift, first, count, left * count / pairs)) {
            return false;
        }
    }
    int most = 0;
    for (int i = 0; i < thrift->task->option_count; i++) {
        most = thrift->known[i] > most ? thrift->known[i] : most;
    }
    return most > 0 || !thrift->answer->stopped ||
           problems_say(thrift->problems, PROBLEM_CANCELLED, "buying",
                        "stopped before the first comparison was done");
}

bool thrift_run(const ThriftTask *task, const Progress *progress, Arena *keep, Arena *scratch,
                ThriftAnswer *answer, Problems *problems)
{
    const ArenaMark mark = arena_mark(scratch);
    ThriftAnswer found = {.told = ARENA_ARRAY(keep, ThriftTold, task->option_count + 1)};
    Thrift thrift = {.task = task,
                     .study = *task->study,
                     .differences = ARENA_ARRAY(scratch, int *, task->option_count + 1),
                     .known = ARENA_ARRAY(scratch, int, task->option_count + 1),
                     .part = {.whole = progress},
                     .scratch = scratch,
                     .problems = problems,
                     .answer = &found};
    for (int i = 0; i < task->option_count; i++) {
        thrift.differences[i] = ARENA_ARRAY(scratch, int, task->pairs);
        conclude(&thrift, i);
    }
    thrift.study.care.seed += picking_care;
    bool good = pick(&thrift);
    thrift.study.care.seed -= picking_care;
    good = good && compare_all(&thrift);
    arena_rewind(scratch, mark);
    if (good) {
        *answer = found;
    }
    return good;
}
