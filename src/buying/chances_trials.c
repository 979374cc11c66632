// Trials of what is asked of drawn hides.
#include "base/workers.h"
#include "buying/chances_parts.h"

#include <math.h>

static const size_t trial_bytes = (size_t)1 << 30;

bool question_is_within(const Question *small, const Question *large)
{
    if (small->form != large->form || small->count > large->count ||
        !hide_grade_alike(small->grade, large->grade)) {
        return false;
    }
    for (int i = 0; i < small->count; i++) {
        if (small->stamped_mm2[i] > large->stamped_mm2[i]) {
            return false;
        }
    }
    return true;
}

typedef struct Attempt {
    int trial;
    bool done;
    bool room;
    const Progress *progress;
    Problems *problems;
} Attempt;

typedef struct Batch {
    const ChanceTask *task;
    const Question *question;
    Attempt attempts[CHANCE_BATCH];
    int count;
    RoomCovers covers[WORKERS_MAX]; // of each thread
} Batch;

static bool has_room(const Batch *batch, const RoomCovers *covers, Attempt *attempt, Arena *scratch,
                     Arena *work)
{
    const ChanceTask *task = batch->task;
    const Question *question = batch->question;
    Hide *hides = ARENA_ARRAY(scratch, Hide, question->count);
    bool good = true;
    for (int i = 0; good && i < question->count; i++) {
        const HideAsked asked = {
            question->form, question->stamped_mm2[i], task->seed, (uint64_t)attempt->trial, i,
            question->grade};
        good = task->draw(task->context, &asked, scratch, work, &hides[i], attempt->problems);
    }
    RoomCare care = task->care;
    care.seed += (uint64_t)attempt->trial;
    care.progress = attempt->progress;
    Room found = {0};
    good = good &&
           cutting_room(covers, hides, question->count, &care, work, &found, attempt->problems);
    attempt->room = found.missing == 0;
    return good;
}

// The covers of a thread, or NULL.
static const RoomCovers *covers_of(Batch *batch, int worker, Problems *problems)
{
    const ChanceTask *task = batch->task;
    RoomCovers *covers = &batch->covers[worker];
    const RoomStock stock = {batch->question->stamped_mm2[0], batch->question->count};
    const bool ready = covers->probe || room_covers_make(task->demands, task->demand_count,
                                                         task->rules, stock, covers, problems);
    return ready ? covers : NULL;
}

static void run_attempt(void *context, int worker, int index)
{
    Batch *batch = context;
    Attempt *attempt = &batch->attempts[index];
    if (!progress_report(attempt->progress, "trying hides", 0)) {
        return;
    }
    Arena *scratch = arena_create("trials", trial_bytes);
    Arena *work = arena_create("trial", trial_bytes);
    const RoomCovers *covers = covers_of(batch, worker, attempt->problems);
    attempt->done = scratch && work && covers && has_room(batch, covers, attempt, scratch, work);
    arena_destroy(work);
    arena_destroy(scratch);
    (void)progress_report(attempt->progress, "trying hides", 1);
}

// What other questions say of a trial of this one: 1 room, 0 none, -1 nothing.
static int inferred(const Chances *chances, const Question *question, int trial)
{
    for (const Question *other = chances->questions; other; other = other->next) {
        if (trial >= other->trials) {
            continue;
        }
        const bool room = other->room[trial];
        if (room ? question_is_within(other, question) : question_is_within(question, other)) {
            return room ? 1 : 0;
        }
    }
    return -1;
}

bool chances_pass_on(Chances *chances, const Problems *problems, const char *of)
{
    for (int k = 0; k < problems->count; k++) {
        const Problem *problem = &problems->items[k];
        if (problem->kind != PROBLEM_DOUBT && problem->kind != PROBLEM_CANCELLED) {
            chances->failed = true;
            return problems_say(chances->problems, problem->kind, problem->where, "%s (%s)",
                                problem->found, of);
        }
    }
    return true;
}

// What is tried, whatever the engine calls its part of it.
static bool report_what(void *context, const char *what, double share)
{
    (void)what;
    Chances *chances = context;
    return progress_report_part(&chances->part, chances->doing, share);
}

Progress chances_progress(Chances *chances, const char *doing)
{
    ProgressPart *part = &chances->part;
    chances->doing = doing;
    part->from = part->reached;
    part->to = part->from + fmax(0, chances->goal - part->from) / 4;
    return (Progress){report_what, chances};
}

static const char *what_is_tried(const Chances *chances, const Question *question, Arena *keep)
{
    const bool side = question->form == HIDE_SIDE;
    return arena_text(keep, "%s: %d %s%s", chances->what, question->count,
                      side ? "side" : "whole hide", question->count == 1 ? "" : "s");
}

static void run_attempts(Chances *chances, Batch *batch, Arena *scratch)
{
    const Progress progress =
        chances_progress(chances, what_is_tried(chances, batch->question, scratch));
    SharedProgress *shared = shared_progress_begin(&progress, batch->count, scratch);
    for (int i = 0; i < batch->count; i++) {
        batch->attempts[i].progress = shared_progress_of(shared, i);
        batch->attempts[i].problems = problems_in(scratch);
    }
    workers_run_each(batch->count, chances->task->threads, run_attempt, batch);
    shared_progress_end(shared);
    for (int i = 0; i < WORKERS_MAX; i++) {
        room_covers_drop(&batch->covers[i]);
    }
    for (int i = 0; i < batch->count && !chances->failed; i++) {
        const Attempt *attempt = &batch->attempts[i];
        (void)chances_pass_on(chances, attempt->problems,
                              arena_text(scratch, "trial %d", attempt->trial));
        chances->drawn += batch->question->count;
    }
}

// So many more trials; fewer when stopped.
static void run_trials(Chances *chances, Question *question, int count)
{
    Arena *scratch = arena_create("batch", trial_bytes);
    if (!scratch) {
        chances->failed = true;
        (void)problems_say(chances->problems, PROBLEM_SYSTEM, "buying", "no memory left");
        return;
    }
    Batch *batch = ARENA_NEW(scratch, Batch);
    *batch = (Batch){.task = chances->task, .question = question};
    const int first = question->trials;
    for (int trial = first; trial < first + count; trial++) {
        const int room = inferred(chances, question, trial);
        question->room[trial] = room == 1;
        if (room < 0) {
            batch->attempts[batch->count++] = (Attempt){.trial = trial};
        }
    }
    if (batch->count > 0) {
        run_attempts(chances, batch, scratch);
    }
    int known = first + count;
    for (int i = batch->count - 1; i >= 0; i--) {
        const Attempt *attempt = &batch->attempts[i];
        question->room[attempt->trial] = attempt->room;
        known = attempt->done ? known : attempt->trial;
    }
    chances->stopped = chances->stopped || known < first + count;
    for (int trial = first; trial < known; trial++) {
        question->happened += question->room[trial] ? 1 : 0;
    }
    question->trials = known;
    arena_destroy(scratch);
}

// Whether more trials are to tell if the chance reaches the comfort.
static bool is_open(const Chances *chances, const Question *question)
{
    const Chance chance = chance_of(question->happened, question->trials, CHANCE_Z);
    return question->trials < CHANCE_DECIDED && chance.low < chances->task->comfort &&
           chance.high >= chances->task->comfort;
}

void question_try(Chances *chances, Question *question)
{
    const int most = chances->task->trials;
    while (!chances->stopped && !chances->failed && question->trials < most &&
           (question->trials < question->wanted || is_open(chances, question))) {
        const int left = most - question->trials;
        run_trials(chances, question, left < CHANCE_BATCH ? left : CHANCE_BATCH);
    }
}
