#include "buying/need.h"

#include "base/workers.h"
#include "buying/trial.h"

// The needs under way.
typedef struct Finding {
    const Study *study;
    int width;
    Need *needs;
    const Progress **progress;
    Problems **problems;
    RoomCovers covers[WORKERS_MAX]; // of each thread
} Finding;

int need_first_guess(const Study *study)
{
    return trial_first_guess(study);
}

static void find_need(void *context, int worker, int index)
{
    Finding *finding = context;
    const Study *study = finding->study;
    Need *need = &finding->needs[index];
    need->done = false;
    if (!progress_report(finding->progress[index], "trying hides", 0)) {
        return;
    }
    Trial trial = {.number = need->trial,
                   .bracket = {trial_least_step(study) - 1, AREA_STEPS},
                   .progress = finding->progress[index],
                   .problems = finding->problems[index]};
    const Window window = {
        .guess = need->guess, .narrow = finding->width, .high = AREA_STEPS, .wide = finding->width};
    RoomCovers *covers = &finding->covers[worker];
    if (covers->probe || trial_covers_make(study, covers, trial.problems)) {
        trial_run(study, &window, covers, &trial);
    }
    need->done = trial.done;
    need->bracket = trial.bracket;
    (void)progress_report(finding->progress[index], "trying hides", 1);
}

bool needs_find(const Study *study, int width, Need *needs, int count, const Progress *progress,
                Arena *scratch, Problems *problems)
{
    const ArenaMark mark = arena_mark(scratch);
    Finding *finding = ARENA_NEW(scratch, Finding);
    *finding = (Finding){.study = study,
                         .width = width,
                         .needs = needs,
                         .progress = ARENA_ARRAY(scratch, const Progress *, count + 1),
                         .problems = ARENA_ARRAY(scratch, Problems *, count + 1)};
    SharedProgress *shared = shared_progress_begin(progress, count, scratch);
    for (int i = 0; i < count; i++) {
        finding->progress[i] = shared_progress_of(shared, i);
        finding->problems[i] = problems_in(scratch);
    }
    workers_run_each(count, study->threads, find_need, finding);
    shared_progress_end(shared);
    for (int i = 0; i < WORKERS_MAX; i++) {
        room_covers_drop(&finding->covers[i]);
    }
    bool good = true;
    for (int i = 0; i < count && good; i++) {
        for (int k = 0; k < finding->problems[i]->count && good; k++) {
            const Problem *problem = &finding->problems[i]->items[k];
            if (problem->kind != PROBLEM_DOUBT && problem->kind != PROBLEM_CANCELLED) {
                good = problems_say(problems, problem->kind, problem->where, "%s (trial %llu)",
                                    problem->found, (unsigned long long)needs[i].trial);
            }
        }
    }
    arena_rewind(scratch, mark);
    return good;
}
