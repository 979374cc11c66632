#include "buying/need.h"

#include "base/workers.h"

#include <math.h>

enum { FIRST_MOVE = 2 };                   // steps from the guess to the next
static const double first_guess_use = 0.5; // of the leather, by the covers
static const size_t need_bytes = (size_t)1 << 30;

// The needs under way; each has its own memory and problems.
typedef struct Finding {
    const Study *study;
    int width;
    int least; // the covers' own area
    Need *needs;
    const Progress **progress;
    Problems **problems;
} Finding;

static int limited(int step, int least, int most)
{
    return step < least ? least : step > most ? most : step;
}

static int least_step(const Study *study)
{
    const double area_mm2 = demands_cut_mm2(study->demands, study->demand_count);
    return limited((int)floor(area_mm2 / study->hides / area_step_mm2), 0, AREA_STEPS - 1);
}

int need_first_guess(const Study *study)
{
    const int least = least_step(study);
    return limited((int)(least / first_guess_use), least, AREA_STEPS - 1);
}

// Whether there is room on hides of an area.
static bool has_room(const Finding *finding, int index, int step, Arena *scratch, bool *room)
{
    const Study *study = finding->study;
    const uint64_t trial = finding->needs[index].trial;
    Problems *problems = finding->problems[index];
    const ArenaMark mark = arena_mark(scratch);
    Hide *hides = ARENA_ARRAY(scratch, Hide, study->hides);
    Arena *work = arena_create("need", need_bytes);
    bool good = work != NULL;
    for (int i = 0; good && i < study->hides; i++) {
        const HideAsked asked = {study->form, step * area_step_mm2, study->seed, trial, i};
        good = study->draw(study->context, &asked, scratch, work, &hides[i], problems);
    }
    const Laying laying = {study->demands, study->demand_count, hides, study->hides, study->rules};
    RoomCare care = study->care;
    care.seed += trial;
    Room found = {0};
    good = good && cutting_room(&laying, &care, finding->progress[index], work, &found, problems);
    *room = found.missing == 0;
    arena_destroy(work);
    arena_rewind(scratch, mark);
    return good;
}

// Away from the guess in growing steps until the bracket is closed on both sides, then its middle.
static int next_step(const Finding *finding, const Need *need, Bracket bracket, int move)
{
    const int most = AREA_STEPS - 1;
    if (bracket.failed < finding->least && bracket.fits == AREA_STEPS) {
        return limited(need->guess, finding->least, most);
    }
    if (bracket.failed < finding->least) {
        return limited(bracket.fits - move, finding->least, most);
    }
    if (bracket.fits == AREA_STEPS) {
        return limited(bracket.failed + move, finding->least, most);
    }
    return (bracket.failed + bracket.fits) / 2;
}

static void find_need(void *context, int index)
{
    Finding *finding = context;
    Need *need = &finding->needs[index];
    need->done = false;
    if (!progress_report(finding->progress[index], "trying hides", 0)) {
        return;
    }
    Arena *scratch = arena_create("needs", need_bytes);
    Bracket bracket = {finding->least - 1, AREA_STEPS};
    int move = FIRST_MOVE;
    bool good = scratch != NULL;
    while (good && bracket.fits - bracket.failed > finding->width &&
           bracket.failed < AREA_STEPS - 1) {
        const int step = next_step(finding, need, bracket, move);
        bool room = false;
        good = has_room(finding, index, step, scratch, &room);
        bracket = room ? (Bracket){bracket.failed, step} : (Bracket){step, bracket.fits};
        move *= 2;
    }
    need->done = good;
    need->bracket = bracket;
    arena_destroy(scratch);
    (void)progress_report(finding->progress[index], "trying hides", 1);
}

bool needs_find(const Study *study, int width, Need *needs, int count, const Progress *progress,
                Arena *scratch, Problems *problems)
{
    const ArenaMark mark = arena_mark(scratch);
    Finding finding = {.study = study,
                       .width = width,
                       .least = least_step(study),
                       .needs = needs,
                       .progress = ARENA_ARRAY(scratch, const Progress *, count + 1),
                       .problems = ARENA_ARRAY(scratch, Problems *, count + 1)};
    SharedProgress *shared = shared_progress_begin(progress, count, scratch);
    for (int i = 0; i < count; i++) {
        finding.progress[i] = shared_progress_of(shared, i);
        finding.problems[i] = problems_in(scratch);
    }
    workers_run(count, study->threads, find_need, &finding);
    shared_progress_end(shared);
    bool good = true;
    for (int i = 0; i < count && good; i++) {
        for (int k = 0; k < finding.problems[i]->count && good; k++) {
            const Problem *problem = &finding.problems[i]->items[k];
            if (problem->kind != PROBLEM_DOUBT && problem->kind != PROBLEM_CANCELLED) {
                good = problems_say(problems, problem->kind, problem->where, "%s (trial %llu)",
                                    problem->found, (unsigned long long)needs[i].trial);
            }
        }
    }
    arena_rewind(scratch, mark);
    return good;
}
