#include "plan/buy_offers.h"

#include <math.h>

static const double usual_precision = 0.04;
// A hide that is easily had is no larger: docs/buying.md. A side is half of it.
static const double large_whole_mm2 = 60 * MM2_PER_FT2;
// Grown hides are quoted as 48 to 62 ft², calf as 25 to 30. Trials draw all of them with the flaws
// of grown ones, 48 to 55 ft² large: docs/population.md.
static const double small_whole_mm2 = 35 * MM2_PER_FT2;
static const double rare_whole_mm2 = 70 * MM2_PER_FT2;
// No covers use more of a hide; with fewer hides there is no need to try.
static const double most_use = 0.75;
enum { FIRST_LOOK = 32 }; // trials that tell how many hides are likely needed

const HideGrade *plan_buy_grade(const Derived *derived, const BuyOrder *order)
{
    return job_grade(&derived->job, order->grade);
}

Study plan_buy_study(const Derived *derived, const BuyOrder *order)
{
    return (Study){.demands = derived->demands,
                   .demand_count = derived->demand_count,
                   .rules = &derived->job.laying,
                   .form = order->form,
                   .hides = order->pieces,
                   .grade = plan_buy_grade(derived, order),
                   .draw = draw_of_grade,
                   .care = room_care_default(),
                   .seed = derived->job.search.seed,
                   .comfort = order->comfort,
                   .precision = order->trials > 0 ? 0 : order->precision,
                   .trials = order->trials > 0 ? order->trials : BUY_TRIALS_MAX,
                   .threads = order->threads,
                   .shard = order->shards > 0 ? order->shard - 1 : 0,
                   .shards = order->shards > 0 ? order->shards : 1,
                   .watch = order->watch};
}

int plan_buy_easy_step(HideForm form)
{
    return (int)((form == HIDE_SIDE ? large_whole_mm2 / 2 : large_whole_mm2) / area_step_mm2);
}

// One more is tried until they are enough.
bool plan_buy_pieces(const Derived *derived, double cut_mm2, const Progress *progress,
                     Arena *scratch, BuyOrder *order, Problems *problems)
{
    const int large = plan_buy_easy_step(order->form);
    const double large_mm2 = large * area_step_mm2;
    order->pieces = (int)fmax(1, ceil(cut_mm2 / most_use / large_mm2));
    bool good = true;
    bool enough = false;
    while (good && !enough && order->pieces <= STUDY_HIDES_MAX) {
        Study study = plan_buy_study(derived, order);
        study.trials = FIRST_LOOK;
        StudyGlance glance;
        good = study_glance(&study, large, progress, scratch, &glance, problems);
        enough = !glance.decided;
        order->pieces += enough ? 0 : 1;
    }
    return good && (order->pieces <= STUDY_HIDES_MAX ||
                    problems_say(problems, PROBLEM_BAD_INPUT, "seats",
                                 "covers for more than %d hides; so many are tried at once",
                                 STUDY_HIDES_MAX));
}

bool plan_buy_begin(const Derived *derived, const BuyOrder *order, Arena *keep, BuyAnswer *answer,
                    Problems *problems)
{
    *answer = (BuyAnswer){.order = *order};
    for (int i = 0; i < derived->demand_count; i++) {
        answer->covers += derived->demands[i].count;
    }
    answer->cut_mm2 = demands_cut_mm2(derived->demands, derived->demand_count);
    if (answer->covers == 0) {
        return problems_say(problems, PROBLEM_BAD_INPUT, "seats", "no cover to buy leather for");
    }
    BuyOrder *full = &answer->order;
    full->grade = order->grade ? order->grade : hide_grades[GRADE_AVERAGE].name;
    if (!plan_buy_grade(derived, full)) {
        Arena *words = problems->keep;
        return problems_add(problems,
                            (Problem){.kind = PROBLEM_BAD_INPUT,
                                      .where = "grade",
                                      .found = arena_text(words, "\"%s\" is no grade", full->grade),
                                      .allowed = job_grade_list(&derived->job, words)});
    }
    full->comfort = order->comfort > 0 ? order->comfort : derived->job.wish.comfort;
    full->precision = order->precision > 0 ? order->precision : usual_precision;
    answer->thumb_count =
        thumb_rules(derived->demands, derived->demand_count, keep, answer->thumbs);
    return true;
}

bool plan_buy(const Derived *derived, const BuyOrder *order, const Progress *progress, Arena *keep,
              Arena *scratch, BuyAnswer *answer, Problems *problems)
{
    if (!plan_buy_begin(derived, order, keep, answer, problems)) {
        return false;
    }
    BuyOrder *full = &answer->order;
    ProgressPart part = {.whole = progress, .to = full->pieces == 0 ? 0.2 : 0};
    const Progress reports = {progress_report_part, &part};
    if (full->pieces == 0 &&
        !plan_buy_pieces(derived, answer->cut_mm2, &reports, scratch, full, problems)) {
        return false;
    }
    part.from = part.to;
    part.to = 1;
    const Study study = plan_buy_study(derived, full);
    return study_run(&study, &reports, scratch, &answer->study, problems);
}

Chance plan_buy_chance(const BuyAnswer *answer, int step)
{
    return tally_chance(&answer->study.tally, step, CHANCE_Z);
}

Chance plan_buy_rule_chance(const BuyAnswer *answer, int rule)
{
    return thumb_chance(&answer->thumbs[rule], &answer->study.tally, answer->order.pieces);
}

double plan_buy_rule_against(const BuyAnswer *answer, int rule)
{
    const double asked_mm2 = answer->study.area.step * area_step_mm2 * answer->order.pieces;
    return answer->study.area.step < AREA_STEPS ? answer->thumbs[rule].area_mm2 / asked_mm2 - 1
                                                : (double)NAN;
}

int plan_buy_steps(const BuyAnswer *answer, int most, int *steps)
{
    const TallyCurve curve = tally_curve(&answer->study.tally);
    int first = 0;
    while (first < AREA_STEPS - 1 && curve_chance(&curve, first + 1, CHANCE_Z).share < 0.02) {
        first++;
    }
    int last = first;
    while (last < AREA_STEPS - 1 && curve_chance(&curve, last, CHANCE_Z).share < 0.99) {
        last++;
    }
    const int apart = (last - first + most - 1) / most > 1 ? (last - first + most - 1) / most : 1;
    // Whole square feet, so that the column reads well.
    const int even = apart + apart % 2;
    int count = 0;
    for (int step = first - first % even; step <= last + even - 1 && count < most; step += even) {
        if (step >= first && step < AREA_STEPS) {
            steps[count++] = step;
        }
    }
    return count;
}

double plan_buy_precision(const BuyAnswer *answer)
{
    const AreaFor *area = &answer->study.area;
    return area->high < AREA_STEPS ? (area->high - area->low) / (2.0 * area->step)
                                   : (double)INFINITY;
}

// An interval narrows with the root of the trials.
int plan_buy_trials_needed(const BuyAnswer *answer)
{
    const double wider = plan_buy_precision(answer) / answer->order.precision;
    if (!isfinite(wider) || wider <= 1) {
        return 0;
    }
    const double trials = answer->study.tally.trials * wider * wider;
    const double digit = pow(10, floor(log10(trials)) - 1);
    return (int)fmin(ceil(trials / digit - 1e-9) * digit, STUDY_TRIALS_MAX);
}

const char *plan_buy_pieces_text(const BuyOrder *order, Arena *keep)
{
    static const char *const numbers[] = {"no",   "one", "two",   "three", "four",
                                          "five", "six", "seven", "eight", "nine"};
    const char *many = hide_forms_word(order->form, order->pieces);
    if (order->pieces == 1) {
        return arena_text(keep, "a %s", many);
    }
    return order->pieces < 10 ? arena_text(keep, "%s %s", numbers[order->pieces], many)
                              : arena_text(keep, "%d %s", order->pieces, many);
}

// The least area whose chance reaches a share; -1: none does.
static int least_for(const Tally *tally, double share)
{
    const AreaFor area = tally_area_for(tally, share, CHANCE_Z);
    return area.step < AREA_STEPS ? area.step : -1;
}

// What trials of so small or large a hide are worth.
static void add_doubts(Text *text, const BuyOrder *order, int step)
{
    const double halves = order->form == HIDE_SIDE ? 2 : 1;
    const double whole_mm2 = step * area_step_mm2 * halves;
    if (whole_mm2 < small_whole_mm2) {
        text_add(text, " %s so small were tried with the flaws of large ones, so less may do%s.",
                 order->form == HIDE_SIDE ? "Sides" : "Whole hides",
                 order->form == HIDE_SIDE ? "" : "; a side is easier to find");
    } else if (whole_mm2 > rare_whole_mm2) {
        text_add(text, " %s so large are rare.",
                 order->form == HIDE_SIDE ? "Sides" : "Whole hides");
    }
}

const char *plan_buy_advice(const BuyAnswer *answer, AreaUnit unit, Arena *keep)
{
    const BuyOrder *order = &answer->order;
    const Tally *tally = &answer->study.tally;
    const char *each = order->pieces > 1 ? " each" : "";
    if (answer->study.area.step == AREA_STEPS) {
        return arena_text(keep,
                          "No size of hide up to %s is enough %s with %s. Ask for more of "
                          "them, or divide the chairs over two lots.",
                          area_step_text(AREA_STEPS - 1, unit, keep), chance_words(order->comfort),
                          plan_buy_pieces_text(order, keep));
    }
    Text text = {.keep = keep};
    text_add(&text, "Ask for %s of at least %s%s; %s it is enough.",
             plan_buy_pieces_text(order, keep), area_step_text(answer->study.area.step, unit, keep),
             each, chance_words(order->comfort));
    const int lower = least_for(tally, 2.0 / 3);
    if (lower >= 0 && lower < answer->study.area.step) {
        text_add(&text, " %s%s would do 2 times in 3.", area_step_text(lower, unit, keep), each);
    }
    add_doubts(&text, order, answer->study.area.step);
    return text_string(&text);
}

static void put_curve(Json *json, const Tally *tally)
{
    json_begin_array(json, "curve");
    const TallyCurve curve = tally_curve(tally);
    for (int step = 0; step < AREA_STEPS; step++) {
        const Chance chance = curve_chance(&curve, step, CHANCE_Z);
        const bool dull =
            (chance.share <= 0 &&
             (step + 1 == AREA_STEPS || curve_chance(&curve, step + 1, CHANCE_Z).share <= 0)) ||
            (step > 0 && curve_chance(&curve, step - 1, CHANCE_Z).share >= 1);
        if (dull) {
            continue;
        }
        json_begin_flat_object(json, NULL);
        json_rounded(json, "area_mm2", step * area_step_mm2, 2);
        json_rounded(json, "chance", chance.share, 5);
        json_rounded(json, "low", chance.low, 5);
        json_rounded(json, "high", chance.high, 5);
        json_end_object(json);
    }
    json_end_array(json);
}

void plan_buy_area_json(Json *json, const char *key, int step)
{
    json_rounded(json, key, step < AREA_STEPS ? step * area_step_mm2 : (double)NAN, 2);
}

static void put_thumbs(Json *json, const BuyAnswer *answer)
{
    json_begin_array(json, "rules");
    for (int i = 0; i < answer->thumb_count; i++) {
        const Thumb *thumb = &answer->thumbs[i];
        json_begin_object(json, NULL);
        json_text(json, "rule", thumb->name);
        json_text(json, "reckoned", thumb->reckon);
        json_rounded(json, "area_mm2", thumb->area_mm2, 2);
        json_rounded(json, "against", plan_buy_rule_against(answer, i), 4);
        json_rounded(json, "chance", plan_buy_rule_chance(answer, i).share, 5);
        json_end_object(json);
    }
    json_end_array(json);
}

void plan_buy_json(const Derived *derived, const BuyAnswer *answer, const BuyBeside *beside,
                   Text *text)
{
    const StudyAnswer *study = &answer->study;
    Json json = {.text = *text};
    json_begin_object(&json, NULL);
    json_text(&json, "job", derived->job.name);
    json_int(&json, "covers", answer->covers);
    json_rounded(&json, "cut_mm2", answer->cut_mm2, 2);
    json_text(&json, "form", hide_form_names[answer->order.form]);
    json_int(&json, "pieces", answer->order.pieces);
    job_grade_json(&derived->job, plan_buy_grade(derived, &answer->order), &json);
    json_text(&json, "lets_through",
              job_grade_words(&derived->job, plan_buy_grade(derived, &answer->order), text->keep));
    json_number(&json, "comfort", answer->order.comfort);
    json_int(&json, "trials", study->tally.trials);
    json_bool(&json, "precise", study->precise);
    json_bool(&json, "stopped", study->stopped);
    plan_buy_area_json(&json, "area_mm2", study->area.step);
    plan_buy_area_json(&json, "area_low_mm2", study->area.low);
    plan_buy_area_json(&json, "area_high_mm2", study->area.high);
    json_text(&json, "advice", plan_buy_advice(answer, derived->job.units.area, text->keep));
    put_curve(&json, &study->tally);
    put_thumbs(&json, answer);
    plan_buy_beside_json(derived, answer, beside, &json);
    json_end_object(&json);
    *text = json.text;
}
