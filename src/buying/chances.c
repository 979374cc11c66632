#include "buying/chances_parts.h"
#include "buying/panels.h"

#include <math.h>
#include <string.h>

const char *const chance_from_names[CHANCE_FROM_COUNT] = {"unknown", "area", "trials", "study",
                                                          "layout"};

Chances *chances_begin(const ChanceTask *task, Arena *keep, Problems *problems)
{
    Chances *chances = ARENA_NEW(keep, Chances);
    *chances = (Chances){.task = task,
                         .cut_mm2 = demands_cut_mm2(task->demands, task->demand_count),
                         .what = "",
                         .part = {.whole = task->progress},
                         .keep = keep,
                         .problems = problems};
    return chances;
}

// ---- What is asked

static Question question_of(const Purchase *purchase)
{
    Question question = {.form = purchase->offer->form, .grade = purchase->offer->grade};
    question.count = purchase->count < CHANCE_HIDES_MAX ? purchase->count : CHANCE_HIDES_MAX;
    for (int i = 0; i < question.count; i++) {
        question.stamped_mm2[i] = purchase_piece_mm2(purchase, i, BILL_LOW);
    }
    return question;
}

static Question *find_question(const Chances *chances, const Question *asked)
{
    Question *question = chances->questions;
    while (question && !(question->count == asked->count && question_is_within(question, asked) &&
                         question_is_within(asked, question))) {
        question = question->next;
    }
    return question;
}

static const ChanceStudy *study_of(const ChanceTask *task, const Question *question)
{
    for (int i = 0; i < task->study_count; i++) {
        const ChanceStudy *study = &task->studies[i];
        bool alike = study->form == question->form &&
                     hide_grade_alike(study->grade, question->grade) &&
                     study->hides == question->count && study->tally->trials > 0;
        for (int k = 1; k < question->count; k++) {
            alike = alike && question->stamped_mm2[k] == question->stamped_mm2[0];
        }
        if (alike) {
            return study;
        }
    }
    return NULL;
}

static Question *add_question(Chances *chances, const Question *asked)
{
    Question *question = ARENA_NEW(chances->keep, Question);
    *question = *asked;
    double area_mm2 = 0;
    for (int i = 0; i < asked->count; i++) {
        area_mm2 += asked->stamped_mm2[i];
    }
    question->none = area_mm2 < chances->cut_mm2;
    question->study = study_of(chances->task, asked);
    question->wanted = CHANCE_BATCH;
    question->room = ARENA_ARRAY(chances->keep, bool, chances->task->trials);
    Question **end = &chances->questions;
    while (*end) {
        end = &(*end)->next;
    }
    *end = question;
    return question;
}

// ---- Its chance

// Between two steps of the tally evenly.
static Chance chance_of_study(const ChanceStudy *study, double stamped_mm2)
{
    const double place = fmin(fmax(stamped_mm2 / area_step_mm2, 0), AREA_STEPS - 1);
    // A stamp that is a whole step must not fall below by its conversion.
    const int step = (int)floor(place + 1e-9);
    const int above = step + 1 < AREA_STEPS ? step + 1 : step;
    const double part = fmax(0, place - step);
    const TallyCurve curve = tally_curve(study->tally);
    const double share = (1 - part) * curve_chance(&curve, step, CHANCE_Z).share +
                         part * curve_chance(&curve, above, CHANCE_Z).share;
    return chance_of(share * study->tally->trials, study->tally->trials, CHANCE_Z);
}

static ChanceTold told_alone(const Question *question)
{
    if (question->none) {
        return (ChanceTold){.from = CHANCE_BY_AREA};
    }
    if (question->study) {
        return (ChanceTold){chance_of_study(question->study, question->stamped_mm2[0]),
                            question->study->tally->trials, CHANCE_BY_STUDY};
    }
    return (ChanceTold){chance_of(question->happened, question->trials, CHANCE_Z), question->trials,
                        question->trials > 0 ? CHANCE_BY_TRIALS : CHANCE_UNKNOWN};
}

// No less than the chance of what is within it, which other trials may have found.
static ChanceTold told_of(const Chances *chances, const Question *question)
{
    ChanceTold told = told_alone(question);
    for (const Question *other = chances->questions; other; other = other->next) {
        if (told.from == CHANCE_UNKNOWN || other == question ||
            !question_is_within(other, question)) {
            continue;
        }
        const ChanceTold least = told_alone(other);
        if (least.from == CHANCE_BY_TRIALS || least.from == CHANCE_BY_STUDY) {
            told.chance.share = fmax(told.chance.share, least.chance.share);
            told.chance.low = fmax(told.chance.low, least.chance.low);
            told.chance.high = fmax(told.chance.high, least.chance.high);
        }
    }
    return told;
}

// ---- Panels

static PanelSize *find_size(const Chances *chances, const Offer *offer)
{
    PanelSize *size = chances->sizes;
    while (size && !(size->length_mm == offer->panel_length_mm &&
                     size->width_mm == offer->panel_width_mm)) {
        size = size->next;
    }
    return size;
}

static void lay_panels(Chances *chances, PanelSize *size)
{
    const ChanceTask *task = chances->task;
    const PanelTask panels = {.demands = task->demands,
                              .demand_count = task->demand_count,
                              .rules = task->rules,
                              .length_mm = size->length_mm,
                              .width_mm = size->width_mm,
                              .seed = task->seed,
                              .work = task->panel_work};
    Arena *scratch = arena_create("panels", (size_t)1 << 30);
    Problems *problems = problems_in(chances->keep);
    const Progress progress =
        chances_progress(chances, arena_text(chances->keep, "%s: panels", chances->what));
    size->known = (scratch || problems_say(problems, PROBLEM_SYSTEM, "buying", "no memory left")) &&
                  panels_needed(&panels, &progress, scratch, &size->needed, problems);
    arena_destroy(scratch);
    chances->failed = !problems_pass_on(problems, "panels", chances->problems);
    chances->stopped = chances->stopped || (!chances->failed && !size->known);
}

static ChanceTold told_of_panels(const PanelSize *size, int count)
{
    if (!size || !size->known) {
        return (ChanceTold){.chance = {0, 0, 1}, .from = CHANCE_UNKNOWN};
    }
    const double share = size->needed > 0 && count >= size->needed ? 1 : 0;
    return (ChanceTold){.chance = {share, share, share}, .from = CHANCE_BY_LAYOUT};
}

static void try_panels(Chances *chances, const Offer *offer)
{
    PanelSize *size = find_size(chances, offer);
    if (!size) {
        size = ARENA_NEW(chances->keep, PanelSize);
        *size = (PanelSize){.length_mm = offer->panel_length_mm,
                            .width_mm = offer->panel_width_mm,
                            .next = chances->sizes};
        chances->sizes = size;
    }
    if (!size->known && !chances->stopped && !chances->failed) {
        lay_panels(chances, size);
    }
}

// ---- What callers see

ChanceTold chances_told(const Chances *chances, const Purchase *purchase)
{
    if (purchase->offer->form == HIDE_PANEL) {
        return told_of_panels(find_size(chances, purchase->offer), purchase->count);
    }
    const Question asked = question_of(purchase);
    const Question *question = find_question(chances, &asked);
    return question ? told_of(chances, question)
                    : (ChanceTold){.chance = {0, 0, 1}, .from = CHANCE_UNKNOWN};
}

double chances_of(void *context, const Purchase *purchase)
{
    Chances *chances = context;
    if (purchase->offer->form == HIDE_PANEL) {
        try_panels(chances, purchase->offer);
    } else {
        const Question asked = question_of(purchase);
        Question *question = find_question(chances, &asked);
        question = question ? question : add_question(chances, &asked);
        if (!question->none && !question->study) {
            question_try(chances, question);
        }
    }
    const ChanceTold told = chances_told(chances, purchase);
    chances->missed = chances->missed || told.from == CHANCE_UNKNOWN;
    return told.chance.share;
}

bool chances_want(Chances *chances, const Purchase *purchase, int trials)
{
    if (purchase->offer->form == HIDE_PANEL) {
        return false;
    }
    const Question asked = question_of(purchase);
    Question *question = find_question(chances, &asked);
    if (!question || question->none || question->study) {
        return false;
    }
    question->wanted = trials < chances->task->trials ? trials : chances->task->trials;
    return question->wanted > question->trials;
}

void chances_report(Chances *chances, const char *what, double share)
{
    chances->what = what;
    chances->goal = share;
}

bool chances_stopped(const Chances *chances)
{
    return chances->stopped;
}

bool chances_failed(const Chances *chances)
{
    return chances->failed;
}

bool chances_missed(Chances *chances)
{
    const bool missed = chances->missed;
    chances->missed = false;
    return missed;
}

int chances_drawn(const Chances *chances)
{
    return chances->drawn;
}
