#include "plan/laid.h"

#include "job/asked.h"
#include "plan/put.h"

#include <string.h>

enum { FAULTS_TOLD = 20 };

static const char *const fault_names[] = {
    [LAYOUT_OFF_SHEET] = "off the hide",
    [LAYOUT_ON_FORBIDDEN] = "not tolerated",
    [LAYOUT_OVERLAP] = "overlap",
    [LAYOUT_GAP] = "gap",
    [LAYOUT_TURN] = "turn",
    [LAYOUT_COUNT] = "count",
};

const char *plan_fault_name(LayoutFaultKind kind)
{
    return fault_names[kind];
}

// What follows a cover's letter when one of several is named: a number, behind a digit with a
// hyphen.
static bool is_copy_number(const char *text)
{
    text += *text == '-';
    return *text >= '1' && *text <= '9' && text[strspn(text, "0123456789")] == '\0';
}

static int find_demand(const Derived *derived, const char *name)
{
    int numbered = derived->demand_count;
    for (int d = 0; d < derived->demand_count; d++) {
        const char *letter = derived->demands[d].name;
        const size_t length = strlen(letter);
        if (strcmp(letter, name) == 0) {
            return d;
        }
        if (strncmp(letter, name, length) == 0 && is_copy_number(name + length)) {
            numbered = d;
        }
    }
    return numbered;
}

static int find_hide(const Derived *derived, const char *name)
{
    int h = 0;
    while (h < derived->hide_count && strcmp(derived->hides[h].name, name) != 0) {
        h++;
    }
    return h;
}

static void refuse(Problems *problems, int placement, const char *key, const char *value,
                   const char *allowed)
{
    problems_add(problems,
                 (Problem){.kind = PROBLEM_BAD_INPUT,
                           .where = arena_text(problems->keep, "placements[%d].%s", placement, key),
                           .found = arena_text(problems->keep, "\"%s\"", value),
                           .allowed = allowed});
}

// Puts down what was asked; copies are numbered in the order of the layout.
static bool put_down(PlanLaid *laid, const AskedLayout *asked, Arena *scratch, Problems *problems)
{
    const Derived *derived = laid->derived;
    int *count = ARENA_ARRAY(scratch, int, derived->demand_count + 1);
    const int before = problems->mistakes;
    for (int i = 0; i < asked->count; i++) {
        const AskedPlacement *from = &asked->placements[i];
        const int demand = find_demand(derived, from->cover);
        const int hide = find_hide(derived, from->hide);
        if (demand == derived->demand_count) {
            refuse(problems, i, "cover", from->cover, "a cover's letter, as `covers` has it");
        } else if (count[demand] == derived->demands[demand].count) {
            refuse(problems, i, "cover", from->cover, "no more of a cover than the job wants");
        } else if (hide == derived->hide_count) {
            refuse(problems, i, "hide", from->hide, "the name of one of the job's hides");
        } else {
            laid->placements[i] = (Placement){.piece = demand,
                                              .sheet = hide,
                                              .motion = {from->x_mm, from->y_mm, from->turn_rad},
                                              .locked = from->locked};
            laid->copies[i] = count[demand]++;
        }
    }
    laid->count = asked->count;
    return problems->mistakes == before;
}

bool plan_laid_read(const Derived *derived, Document layout, bool kept, Arena *keep, Arena *scratch,
                    PlanLaid *laid, Problems *problems)
{
    AskedLayout asked;
    if (!(kept ? asked_layout_read_kept(layout.data, layout.bytes, keep, &asked, problems)
               : asked_layout_read(layout.data, layout.bytes, keep, &asked, problems))) {
        return false;
    }
    PlanLaid made = {.derived = derived,
                     .laying = {derived->demands, derived->demand_count, derived->hides,
                                derived->hide_count, &derived->job.laying},
                     .placements = ARENA_ARRAY(keep, Placement, asked.count + 1),
                     .copies = ARENA_ARRAY(keep, int, asked.count + 1)};
    if (!put_down(&made, &asked, scratch, problems) ||
        !cutting_task(&made.laying, keep, scratch, &made.task, problems)) {
        return false;
    }
    *laid = made;
    return true;
}

const char *plan_laid_name(const PlanLaid *laid, int placement, Arena *keep)
{
    const PlacedCover named = {.demand = laid->placements[placement].piece,
                               .copy = laid->copies[placement]};
    return cover_name(laid->derived->demands, &named, keep);
}

const char *plan_fault_words(const PlanLaid *laid, const LayoutFault *fault, Arena *keep)
{
    const Units units = laid->derived->job.units;
    const LayingRules *rules = &laid->derived->job.laying;
    switch (fault->kind) {
    case LAYOUT_OFF_SHEET:
        return "it reaches over the edge of the hide";
    case LAYOUT_ON_FORBIDDEN:
        return arena_text(keep, "its %s lies on leather that it does not tolerate",
                          band_names[BAND_COUNT - 1 - fault->depth]);
    case LAYOUT_OVERLAP:
        return arena_text(keep, "it overlaps %s", plan_laid_name(laid, fault->other, keep));
    case LAYOUT_GAP:
        return arena_text(keep, "it is nearer to %s than %s",
                          plan_laid_name(laid, fault->other, keep),
                          length_text(rules->gap_mm, units.length, keep));
    case LAYOUT_TURN:
        return arena_text(keep, "it is turned more than %.3g° off the firm direction",
                          rules->turn_window_rad / RAD_PER_DEG);
    case LAYOUT_COUNT:
        break;
    }
    return "there are more of it than the job wants";
}

// Faults of the placements with these numbers, or of all: `which` NULL.
static bool tell_faults(const PlanLaid *laid, const Placement *placements, int count,
                        const int *which, Arena *scratch, Problems *problems)
{
    LayoutFault faults[FAULTS_TOLD];
    const int found = layout_check(&laid->task, placements, count, scratch, faults, FAULTS_TOLD);
    for (int i = 0; i < found && i < FAULTS_TOLD; i++) {
        LayoutFault fault = faults[i];
        const bool pair = fault.kind == LAYOUT_OVERLAP || fault.kind == LAYOUT_GAP;
        if (which) {
            fault.placement = which[fault.placement];
            fault.other = pair ? which[fault.other] : fault.other;
        }
        Arena *keep = problems->keep;
        problems_add(problems,
                     (Problem){.kind = PROBLEM_BAD_INPUT,
                               .where = arena_text(keep, "placements[%d]", fault.placement),
                               .found = arena_text(keep, "%s: %s",
                                                   plan_laid_name(laid, fault.placement, keep),
                                                   plan_fault_words(laid, &fault, keep)),
                               .allowed = "a place where it may lie"});
    }
    return found == 0;
}

bool plan_locked_may_stay(const PlanLaid *laid, Arena *scratch, Problems *problems)
{
    Placement *locked = ARENA_ARRAY(scratch, Placement, laid->count + 1);
    int *which = ARENA_ARRAY(scratch, int, laid->count + 1);
    int count = 0;
    for (int i = 0; i < laid->count; i++) {
        if (laid->placements[i].locked) {
            which[count] = i;
            locked[count++] = laid->placements[i];
        }
    }
    return tell_faults(laid, locked, count, which, scratch, problems);
}

bool plan_laid_judged(const PlanLaid *laid, Arena *keep, Arena *scratch, CutPlan *plan,
                      Problems *problems)
{
    const LayoutOptions options = {.start = laid->placements, .start_count = laid->count};
    return tell_faults(laid, laid->placements, laid->count, NULL, scratch, problems) &&
           cutting_laid(&laid->laying, &laid->task, options, keep, scratch, plan, problems);
}

bool plan_laid(const Derived *derived, Document layout, Arena *keep, Arena *scratch, CutPlan *plan,
               Problems *problems)
{
    PlanLaid laid;
    return plan_laid_read(derived, layout, true, keep, scratch, &laid, problems) &&
           plan_laid_judged(&laid, keep, scratch, plan, problems);
}

void put_laid(Json *json, const Derived *derived, const Placement *placement)
{
    json_begin_flat_object(json, NULL);
    json_text(json, "cover", derived->demands[placement->piece].name);
    json_text(json, "hide", derived->hides[placement->sheet].name);
    json_number(json, "x_mm", placement->motion.x_mm);
    json_number(json, "y_mm", placement->motion.y_mm);
    json_number(json, "turn_deg", placement->motion.turn_rad / RAD_PER_DEG);
    json_bool(json, "locked", placement->locked);
    json_end_object(json);
}

void plan_laid_json(const PlanLaid *laid, Text *text)
{
    Json json = {.text = *text};
    json_begin_object(&json, NULL);
    json_begin_array(&json, "placements");
    for (int i = 0; i < laid->count; i++) {
        put_laid(&json, laid->derived, &laid->placements[i]);
    }
    json_end_array(&json);
    json_end_object(&json);
    *text = json.text;
}
