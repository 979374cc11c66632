#include "buying/study.h"

#include "base/workers.h"

#include <math.h>

// Trials that say where to look closely. Every shard runs them, so that all look alike.
enum { PILOT = 32 };
enum {
    WIDE = 4,       // steps that a bracket may span far from what is asked
    FIRST_MOVE = 6, // steps from the first guess to the next
};
static const double z_answer = 1.96;
// What is asked lies within the window that the pilot leaves nearly surely.
static const double z_window = 3.3;
static const double first_guess_use = 0.6; // of the leather, by the covers
static const size_t trial_bytes = (size_t)1 << 30;

typedef struct Window {
    int guess;
    int low; // brackets that meet low to high are narrowed to one step
    int high;
} Window;

// One trial of a batch; each has its own memory and problems.
typedef struct Trial {
    uint64_t number;
    Bracket bracket;
    bool careful;
    bool done;
    const Progress *progress;
    Problems *problems;
} Trial;

typedef struct Run {
    const Study *study;
    Window window;
    int least; // the covers' own area
    Trial trials[STUDY_BATCH];
} Run;

static int net_steps(const Study *study)
{
    const double area_mm2 = demands_cut_mm2(study->demands, study->demand_count);
    return (int)floor(area_mm2 / study->hides / area_step_mm2);
}

static int limited(int step, int least, int most)
{
    return step < least ? least : step > most ? most : step;
}

// ---- One trial

// Whether there is room on hides of an area.
static bool has_room(const Run *run, Trial *trial, int step, Arena *scratch, bool *room)
{
    const Study *study = run->study;
    const ArenaMark mark = arena_mark(scratch);
    Hide *hides = ARENA_ARRAY(scratch, Hide, study->hides);
    Arena *work = arena_create("trial", trial_bytes);
    bool good = work != NULL;
    for (int i = 0; good && i < study->hides; i++) {
        const HideAsked asked = {study->form, step * area_step_mm2, study->seed, trial->number, i};
        good = study->draw(study->context, &asked, scratch, work, &hides[i], trial->problems);
    }
    const Laying laying = {study->demands, study->demand_count, hides, study->hides, study->rules};
    RoomCare care = study->care;
    care.seed += trial->number;
    Room found = {0};
    good = good && cutting_room(&laying, &care, trial->progress, work, &found, trial->problems);
    trial->careful |= found.careful;
    *room = found.missing == 0;
    arena_destroy(work);
    arena_rewind(scratch, mark);
    return good;
}

static int width_allowed(const Window *window, Bracket bracket)
{
    return bracket.fits >= window->low && bracket.failed < window->high ? 1 : WIDE;
}

// The next area to try: away from the guess in growing steps until the bracket is closed on
// both sides, then its middle.
static int next_step(const Run *run, Bracket bracket, int move)
{
    const int most = AREA_STEPS - 1;
    if (bracket.failed < run->least && bracket.fits == AREA_STEPS) {
        return limited(run->window.guess, run->least, most);
    }
    if (bracket.failed < run->least) {
        return limited(bracket.fits - move, run->least, most);
    }
    if (bracket.fits == AREA_STEPS) {
        return limited(bracket.failed + move, run->least, most);
    }
    return (bracket.failed + bracket.fits) / 2;
}

static void run_trial(void *context, int index)
{
    Run *run = context;
    Trial *trial = &run->trials[index];
    if (trial->done || !progress_report(trial->progress, "trying hides", 0)) {
        return;
    }
    Arena *scratch = arena_create("trials", trial_bytes);
    // On less than the covers' own area there is no room.
    Bracket bracket = trial->bracket;
    int move = FIRST_MOVE;
    bool good = scratch != NULL;
    while (good && bracket.fits - bracket.failed > width_allowed(&run->window, bracket) &&
           bracket.failed < AREA_STEPS - 1) {
        const int step = next_step(run, bracket, move);
        bool room = false;
        good = has_room(run, trial, step, scratch, &room);
        bracket = room ? (Bracket){bracket.failed, step} : (Bracket){step, bracket.fits};
        move *= 2;
    }
    trial->done = good;
    trial->bracket = bracket;
    arena_destroy(scratch);
    (void)progress_report(trial->progress, "trying hides", 1);
}

// ---- Many trials

// Runs the first `count` trials of the batch. False when one failed.
static bool run_batch(Run *run, int count, const Progress *progress, Arena *scratch,
                      Problems *problems)
{
    const ArenaMark mark = arena_mark(scratch);
    SharedProgress *shared = shared_progress_begin(progress, count, scratch);
    for (int i = 0; i < count; i++) {
        run->trials[i].progress = shared_progress_of(shared, i);
        run->trials[i].problems = problems_in(scratch);
    }
    workers_run(count, run->study->threads, run_trial, run);
    shared_progress_end(shared);
    bool good = true;
    for (int i = 0; i < count && good; i++) {
        const Problems *own = run->trials[i].problems;
        for (int k = 0; k < own->count && good; k++) {
            const Problem *problem = &own->items[k];
            if (problem->kind == PROBLEM_DOUBT || problem->kind == PROBLEM_CANCELLED) {
                continue;
            }
            good = problems_say(problems, problem->kind, problem->where, "%s (trial %llu)",
                                problem->found, (unsigned long long)run->trials[i].number);
        }
    }
    arena_rewind(scratch, mark);
    return good;
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
    return (Window){limited(middle.step, run->least, AREA_STEPS - 1), area.low, area.high};
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

static bool run_pilot(Run *run, const Progress *progress, Arena *scratch, StudyAnswer *answer,
                      Problems *problems)
{
    const int count = limited(run->study->trials, 0, PILOT);
    run->window.guess = limited((int)(run->least / first_guess_use), run->least, AREA_STEPS - 1);
    run->window.low = AREA_STEPS + 1; // nothing is narrowed yet
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
    return finish_pilot(run, count, progress, scratch, answer, problems);
}

static bool is_precise(const StudyAnswer *answer, double precision)
{
    const AreaFor *area = &answer->area;
    return area->high < AREA_STEPS && area->high - area->low <= 2 * precision * area->step;
}

static void conclude(const Study *study, StudyAnswer *answer)
{
    answer->area = tally_area_for(&answer->tally, study->comfort, z_answer);
    answer->precise = study->precision > 0 && is_precise(answer, study->precision);
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
    Run *run = ARENA_NEW(scratch, Run);
    run->study = study;
    run->least = limited(net_steps(study), 0, AREA_STEPS - 1);
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
    arena_rewind(scratch, mark);
    if (good && answer->tally.trials == 0 && answer->stopped) {
        return problems_say(problems, PROBLEM_CANCELLED, "buying",
                            "stopped before the first trial was done");
    }
    return good;
}
