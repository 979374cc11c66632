#include "buying/trial.h"

#include <math.h>
#include <stdlib.h>

// Of the leather, by the covers: a guess to begin with.
static const double first_guess_use = 0.45;
static const size_t trial_bytes = (size_t)1 << 30;

static int limited(int step, int least, int most)
{
    return step < least ? least : step > most ? most : step;
}

int trial_least_step(const Study *study)
{
    const double area_mm2 = demands_cut_mm2(study->demands, study->demand_count);
    return limited((int)floor(area_mm2 / study->hides / area_step_mm2), 1, AREA_STEPS - 1);
}

int trial_first_guess(const Study *study)
{
    const int least = trial_least_step(study);
    return limited((int)(least / first_guess_use), least, AREA_STEPS - 1);
}

TrialCrew trial_crew(const Study *study)
{
    return (TrialCrew){.demands = study->demands,
                       .demand_count = study->demand_count,
                       .rules = study->rules,
                       .stock = {fmax(1, trial_first_guess(study)) * area_step_mm2, study->hides},
                       .threads = study->threads};
}

static bool refuse_memory(Problems *problems)
{
    return problems_say(problems, PROBLEM_SYSTEM, "buying", "no memory left");
}

// Whether there is room on hides of an area.
static bool look(const Study *study, const TrialHand *hand, const Trial *trial, int step,
                 Arena *scratch, Room *room)
{
    const ArenaMark mark = arena_mark(scratch);
    Hide *hides = ARENA_ARRAY(scratch, Hide, study->hides);
    Arena *work = arena_create("trial", trial_bytes);
    bool good = work || refuse_memory(hand->problems);
    for (int i = 0; good && i < study->hides; i++) {
        const HideAsked asked = {study->form, step * area_step_mm2, study->seed, trial->number,
                                 i,           study->grade};
        good = study->draw(study->context, &asked, scratch, work, &hides[i], hand->problems);
    }
    RoomCare care = study->care;
    care.seed += trial->number;
    care.progress = hand->progress;
    good =
        good && cutting_room(hand->covers, hides, study->hides, &care, work, room, hand->problems);
    arena_destroy(work);
    arena_rewind(scratch, mark);
    return good;
}

// Where a look makes the area likely: far below where the first layout did, close below where many
// were needed, and farther above the more was missing. Found with eight covers on one hide and on
// two (docs/buying.md).
static double likely_step(int step, const Room *room, int wanted)
{
    if (room->missing == 0) {
        const double share = room->layouts < 2    ? 0.9
                             : room->layouts < 4  ? 0.97
                             : room->layouts < 16 ? 0.98
                                                  : 0.993;
        return fmin(step * share, step - 1);
    }
    const double missing = (room->missing - 0.5) / wanted;
    return fmax(step * (1 + 0.45 * missing + 0.9 * missing * missing), step + 1);
}

static int width_allowed(const Window *window, Bracket bracket)
{
    return bracket.fits >= window->low && bracket.failed < window->high ? window->narrow
                                                                        : window->wide;
}

// A bracket on its way, and what the last looks said.
typedef struct Narrowing {
    Bracket bracket;
    int least;
    double likely;
    int in_a_row; ///< looks that said the same: > 0 there was room, < 0 there was none
} Narrowing;

static int next_step(const Narrowing *now)
{
    const Bracket bracket = now->bracket;
    const bool closed = bracket.failed >= now->least && bracket.fits < AREA_STEPS;
    if (closed && abs(now->in_a_row) >= 2) {
        return (bracket.failed + bracket.fits) / 2; // what is likely was wrong twice
    }
    const int inside = limited((int)round(now->likely), bracket.failed + 1, bracket.fits - 1);
    return limited(inside, now->least, AREA_STEPS - 1);
}

static void take_in(Narrowing *now, int step, const Room *room, int wanted)
{
    const bool enough = room->missing == 0;
    if (enough) {
        now->bracket.fits = step;
        now->in_a_row = now->in_a_row > 0 ? now->in_a_row + 1 : 1;
    } else {
        now->bracket.failed = step;
        now->in_a_row = now->in_a_row < 0 ? now->in_a_row - 1 : -1;
    }
    now->likely = likely_step(step, room, wanted);
}

void trial_run(const Study *study, const Window *window, const TrialHand *hand, Trial *trial)
{
    Arena *scratch = arena_create("trials", trial_bytes);
    Narrowing now = {.bracket = trial->bracket, .least = trial_least_step(study)};
    const bool begun = now.bracket.failed >= now.least && now.bracket.fits < AREA_STEPS;
    now.likely = begun ? (now.bracket.failed + now.bracket.fits) / 2.0 : window->guess;
    bool good = scratch || refuse_memory(hand->problems);
    while (good && now.bracket.fits - now.bracket.failed > width_allowed(window, now.bracket) &&
           now.bracket.failed < AREA_STEPS - 1) {
        const int step = next_step(&now);
        Room room;
        good = look(study, hand, trial, step, scratch, &room);
        if (good) {
            take_in(&now, step, &room, hand->covers->wanted);
            trial->careful |= room.careful;
        }
    }
    trial->done = good;
    trial->bracket = now.bracket;
    arena_destroy(scratch);
}
