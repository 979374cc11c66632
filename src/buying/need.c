#include "buying/need.h"

#include "buying/trial.h"

// The needs under way.
typedef struct Finding {
    const Study *study;
    int width;
    Need *needs;
    TrialCrew crew;
} Finding;

int need_first_guess(const Study *study)
{
    return trial_first_guess(study);
}

static void find_need(void *context, int index, const TrialHand *hand)
{
    const Finding *finding = context;
    const Study *study = finding->study;
    Need *need = &finding->needs[index];
    Trial trial = {.number = need->trial, .bracket = {trial_least_step(study) - 1, AREA_STEPS}};
    const Window window = {
        .guess = need->guess, .narrow = finding->width, .high = AREA_STEPS, .wide = finding->width};
    trial_run(study, &window, hand, &trial);
    need->done = trial.done;
    need->bracket = trial.bracket;
}

bool needs_find(const Study *study, int width, Need *needs, int count, const Progress *progress,
                Arena *scratch, Problems *problems)
{
    const ArenaMark mark = arena_mark(scratch);
    Finding *finding = ARENA_NEW(scratch, Finding);
    *finding = (Finding){study, width, needs, trial_crew(study)};
    uint64_t *numbers = ARENA_ARRAY(scratch, uint64_t, count + 1);
    for (int i = 0; i < count; i++) {
        needs[i].done = false;
        numbers[i] = needs[i].trial;
    }
    const TrialLot lot = {find_need, finding, numbers, count};
    const bool good = trial_crew_run(&finding->crew, lot, progress, scratch, problems);
    trial_crew_end(&finding->crew);
    arena_rewind(scratch, mark);
    return good;
}
