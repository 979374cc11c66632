#include "buying/study.h"

#include "buying/trial.h"

#include <math.h>

// Trials that say where to look closely. Every shard runs them, so that all look alike.
enum { PILOT = 32 };
enum { WIDE = 4 }; // steps that a bracket may span far from what is asked
// What is asked lies within the window that the pilot leaves nearly surely.
static const double z_window = 3.3;

typedef struct Run {
    const Study *study;
    Window window;
    int least;
    Trial trials[STUDY_BATCH];
    TrialCrew crew;
} Run;

static Run *run_of(const Study *study, Arena *scratch)
{
    Run *run = ARENA_NEW(scratch, Run);
    run->study = study;
    run->least = trial_least_step(study);
    run->crew = trial_crew(study);
    return run;
}

static int limited(int step, int least, int most)
{
    return step < least ? least : step > most ? most : step;
}

// ---- Many trials

static void run_trial(void *context, int index, const TrialHand *hand)
{
    Run *run = context;
    trial_run(run->study, &run->window, hand, &run->trials[index]);
}

// Runs the first `count` trials of the batch. False when one failed.
static bool run_batch(Run *run, int count, const Progress *progress, Arena *scratch,
                      Problems *problems)
{
    uint64_t numbers[STUDY_BATCH];
    for (int i = 0; i < count; i++) {
        numbers[i] = run->trials[i].number;
    }
    const TrialLot lot = {run_trial, run, numbers, count};
    return trial_crew_run(&run->crew, lot, progress, scratch, problems);
}

static void begin_trials(Run *run, uint64_t first, int step, int count)
{
    for (int i = 0; i < count; i++) {
        run->trials[i] = (Trial){.number = first + (uint64_t)i * (uint64_t)step,
                                 .bracket = {run->least - 1, AREA_STEPS}};
    }
}

// The trials that are done, up to the first that is not: later ones would be those that are
// quick, and tell too much of easy hides.
static bool tally_trials(const Run *run, int count, Tally *tally)
{
    for (int i = 0; i < count; i++) {
        if (!run->trials[i].done) {
            return false;
        }
        tally_add(tally, run->trials[i].bracket, run->trials[i].careful);
    }
    return true;
}

// Where the answer lies, as far as the pilot tells, and where brackets begin.
static Window window_of(const Run *run, const Tally *pilot)
{
    const AreaFor area = tally_area_for(pilot, run->study->comfort, z_window);
    const AreaFor middle = tally_area_for(pilot, 0.5, z_window);
    return (Window){.guess = limited(middle.step, run->least, AREA_STEPS - 1),
                    .narrow = 1,
                    .low = area.low,
                    .high = area.high,
                    .wide = WIDE};
}

// The pilot's brackets once more, narrow where the answer lies; those of this shard stay.
static bool finish_pilot(Run *run, int count, const Progress *progress, Arena *scratch,
                         StudyAnswer *answer, Problems *problems)
{
    const Study *study = run->study;
    int kept = 0;
    for (int i = 0; i < count; i++) {
        if ((int)(run->trials[i].number % (uint64_t)study->shards) == study->shard) {
            run->trials[kept] = run->trials[i];
            run->trials[kept++].done = false;
        }
    }
    if (!run_batch(run, kept, progress, scratch, problems)) {
        return false;
    }
    answer->stopped = !tally_trials(run, kept, &answer->tally);
    return true;
}

static bool is_precise(const StudyAnswer *answer, double precision)
{
    const AreaFor *area = &answer->area;
    return area->high < AREA_STEPS && area->high - area->low <= 2 * precision * area->step;
}

// What is known now; told to who looks on.
static void conclude(const Study *study, StudyAnswer *answer)
{
    answer->area = tally_area_for(&answer->tally, study->comfort, CHANCE_Z);
    answer->precise = study->precision > 0 && is_precise(answer, study->precision);
    if (study->watch && answer->tally.trials > 0) {
        study->watch->told(study->watch->context, answer);
    }
}

static bool run_pilot(Run *run, const Progress *progress, Arena *scratch, StudyAnswer *answer,
                      Problems *problems)
{
    const int count = limited(run->study->trials, 0, PILOT);
    // Nothing is narrowed yet.
    run->window = (Window){
        .guess = trial_first_guess(run->study), .narrow = 1, .low = AREA_STEPS + 1, .wide = WIDE};
    begin_trials(run, 0, 1, count);
    if (!run_batch(run, count, progress, scratch, problems)) {
        return false;
    }
    Tally *pilot = ARENA_NEW(scratch, Tally);
    if (!tally_trials(run, count, pilot)) {
        // What is known so far is the answer, coarse as it is.
        answer->stopped = true;
        answer->tally = *pilot;
        return true;
    }
    run->window = window_of(run, pilot);
    if (run->study->watch) {
        StudyAnswer *coarse = ARENA_NEW(scratch, StudyAnswer);
        coarse->tally = *pilot;
        conclude(run->study, coarse);
    }
    const bool good = finish_pilot(run, count, progress, scratch, answer, problems);
    if (answer->stopped && run->study->shards == 1) {
        answer->tally = *pilot; // all of them, coarse as they are
    }
    return good;
}

// The first trial number from `from` on that is this shard's.
static int first_of_shard(const Study *study, int from)
{
    return from + ((study->shard - from) % study->shards + study->shards) % study->shards;
}

bool study_run(const Study *study, const Progress *progress, Arena *scratch, StudyAnswer *answer,
               Problems *problems)
{
    const ArenaMark mark = arena_mark(scratch);
    Run *run = run_of(study, scratch);
    *answer = (StudyAnswer){0};
    bool good = run_pilot(run, progress, scratch, answer, problems);
    conclude(study, answer);
    int next = first_of_shard(study, PILOT);
    while (good && !answer->stopped && !answer->precise && next < study->trials) {
        const int left = (study->trials - next - 1) / study->shards + 1;
        const int count = left < STUDY_BATCH ? left : STUDY_BATCH;
        ProgressPart part = {.whole = progress,
                             .from = (double)next / study->trials,
                             .to = fmin(1, (double)(next + count * study->shards) / study->trials)};
        const Progress reports = {progress_report_part, &part};
        begin_trials(run, (uint64_t)next, study->shards, count);
        good = run_batch(run, count, &reports, scratch, problems);
        answer->stopped = !tally_trials(run, count, &answer->tally);
        conclude(study, answer);
        next += count * study->shards;
    }
    trial_crew_end(&run->crew);
    arena_rewind(scratch, mark);
    if (good && answer->tally.trials == 0 && answer->stopped) {
        return problems_say(problems, PROBLEM_CANCELLED, "buying",
                            "stopped before the first trial was done");
    }
    return good;
}

// Trials of a first look between two thoughts about it.
enum { GLANCE_BATCH = 8 };

bool study_glance(const Study *study, int step, const Progress *progress, Arena *scratch,
                  StudyGlance *glance, Problems *problems)
{
    const ArenaMark mark = arena_mark(scratch);
    Run *run = run_of(study, scratch);
    *glance = (StudyGlance){0};
    // Brackets that are closed on one side are narrow enough: that is after one look.
    const int width = AREA_STEPS - run->least;
    run->window = (Window){.guess = step, .narrow = width, .high = AREA_STEPS, .wide = width};
    const double most_short = study->trials * (1 - study->comfort) + 1e-9;
    bool good = true;
    while (good && !glance->stopped && !glance->decided && glance->trials < study->trials) {
        const int first = glance->trials;
        const int count = limited(study->trials - first, 0, GLANCE_BATCH);
        ProgressPart part = {.whole = progress,
                             .from = (double)first / study->trials,
                             .to = (double)(first + count) / study->trials};
        const Progress reports = {progress_report_part, &part};
        begin_trials(run, (uint64_t)first, 1, count);
        good = run_batch(run, count, &reports, scratch, problems);
        for (int i = 0; i < count && !glance->stopped; i++) {
            glance->stopped = !run->trials[i].done;
            glance->trials += glance->stopped ? 0 : 1;
            glance->enough += !glance->stopped && run->trials[i].bracket.fits <= step ? 1 : 0;
        }
        glance->decided = glance->trials - glance->enough > most_short;
    }
    trial_crew_end(&run->crew);
    arena_rewind(scratch, mark);
    return good;
}
