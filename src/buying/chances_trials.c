// Trials of what is asked of drawn hides.
#include "buying/chances_parts.h"
#include "buying/trial_crew.h"

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
} Attempt;

typedef struct Batch {
    const ChanceTask *task;
    const Question *question;
    Attempt attempts[CHANCE_BATCH];
    int count;
    TrialCrew crew;
} Batch;

static bool has_room(const Batch *batch, const TrialHand *hand, Attempt *attempt, Arena *scratch,
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
        good = task->draw(task->context, &asked, scratch, work, &hides[i], hand->problems);
    }
    RoomCare care = task->care;
    care.seed += (uint64_t)attempt->trial;
    care.progress = hand->progress;
    Room found = {0};
    good = good &&
           cutting_room(hand->covers, hides, question->count, &care, work, &found, hand->problems);
    attempt->room = found.missing == 0;
    return good;
}

static void run_attempt(void *context, int index, const TrialHand *hand)
{
    Batch *batch = context;
    Attempt *attempt = &batch->attempts[index];
    Arena *scratch = arena_create("trials", trial_bytes);
    Arena *work = arena_create("trial", trial_bytes);
    if (scratch && work) {
        attempt->done = has_room(batch, hand, attempt, scratch, work);
    } else {
        (void)problems_say(hand->problems, PROBLEM_SYSTEM, "buying", "no memory left");
    }
    arena_destroy(work);
    arena_destroy(scratch);
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
    return arena_text(keep, "%s: %d %s", chances->what, question->count,
                      hide_forms_word(question->form, question->count));
}

static void run_attempts(Chances *chances, Batch *batch, Arena *scratch)
{
    const ChanceTask *task = chances->task;
    const Question *question = batch->question;
    const Progress progress = chances_progress(chances, what_is_tried(chances, question, scratch));
    batch->crew = (TrialCrew){.demands = task->demands,
                              .demand_count = task->demand_count,
                              .rules = task->rules,
                              .stock = {question->stamped_mm2[0], question->count},
                              .threads = task->threads};
    uint64_t numbers[CHANCE_BATCH];
    for (int i = 0; i < batch->count; i++) {
        numbers[i] = (uint64_t)batch->attempts[i].trial;
    }
    const TrialLot lot = {run_attempt, batch, numbers, batch->count};
    chances->failed = !trial_crew_run(&batch->crew, lot, &progress, scratch, chances->problems);
    trial_crew_end(&batch->crew);
    chances->drawn += batch->count * question->count;
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
