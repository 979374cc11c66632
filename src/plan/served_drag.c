#include "plan/served_drag.h"

#include "job/asked.h"
#include "layout/drag.h"
#include "plan/put.h"

#include <string.h>

enum { FAULTS_SHOWN = 20 };

struct PlanTable {
    const Derived *derived;
    Laying laying;
    LayoutTask task;
    Placement *placements;
    int *copies; // of its cover, from 0
    int count;
    Drag *drag;
};

static int find_demand(const Derived *derived, const char *name)
{
    int d = 0;
    while (d < derived->demand_count && strcmp(derived->demands[d].name, name) != 0) {
        d++;
    }
    return d;
}

static int find_hide(const Derived *derived, const char *name)
{
    int h = 0;
    while (h < derived->hide_count && strcmp(derived->hides[h].name, name) != 0) {
        h++;
    }
    return h;
}

static bool refuse(Problems *problems, int placement, const char *key, const char *value,
                   const char *allowed)
{
    return problems_add(problems, (Problem){.kind = PROBLEM_BAD_INPUT,
                                            .where = arena_text(problems->keep, "placements[%d].%s",
                                                                placement, key),
                                            .found = arena_text(problems->keep, "\"%s\"", value),
                                            .allowed = allowed});
}

// Puts down what was asked; copies are numbered in the order of the layout.
static bool put_down(PlanTable *table, const AskedLayout *asked, Arena *scratch, Problems *problems)
{
    const Derived *derived = table->derived;
    int *laid = ARENA_ARRAY(scratch, int, derived->demand_count + 1);
    const int before = problems->mistakes;
    for (int i = 0; i < asked->count; i++) {
        const AskedPlacement *from = &asked->placements[i];
        const int demand = find_demand(derived, from->cover);
        const int hide = find_hide(derived, from->hide);
        if (demand == derived->demand_count) {
            (void)refuse(problems, i, "cover", from->cover, "a cover's letter, as `covers` has it");
        } else if (laid[demand] == derived->demands[demand].count) {
            (void)refuse(problems, i, "cover", from->cover,
                         "no more of a cover than the job wants");
        } else if (hide == derived->hide_count) {
            (void)refuse(problems, i, "hide", from->hide, "the name of one of the job's hides");
        } else {
            table->placements[i] = (Placement){.piece = demand,
                                               .sheet = hide,
                                               .motion = {from->x_mm, from->y_mm, from->turn_rad},
                                               .locked = from->locked};
            table->copies[i] = laid[demand]++;
        }
    }
    table->count = asked->count;
    return problems->mistakes == before;
}

bool plan_table(const Derived *derived, const char *layout, size_t bytes, Arena *keep,
                Arena *scratch, PlanTable **table, Problems *problems)
{
    AskedLayout asked;
    if (!asked_layout_read(layout, bytes, keep, &asked, problems)) {
        return false;
    }
    PlanTable *made = ARENA_NEW(keep, PlanTable);
    made->derived = derived;
    made->laying = (Laying){derived->demands, derived->demand_count, derived->hides,
                            derived->hide_count, &derived->job.laying};
    made->placements = ARENA_ARRAY(keep, Placement, asked.count + 1);
    made->copies = ARENA_ARRAY(keep, int, asked.count + 1);
    if (!put_down(made, &asked, scratch, problems) ||
        !cutting_task(&made->laying, keep, scratch, &made->task, problems)) {
        return false;
    }
    made->drag = drag_prepare(&made->task, made->placements, made->count, keep, scratch);
    *table = made;
    return true;
}

int plan_table_placements(const PlanTable *table)
{
    return table->count;
}

static const char *other_name(const PlanTable *table, int placement, Arena *keep)
{
    const PlacedCover named = {.demand = table->placements[placement].piece,
                               .copy = table->copies[placement]};
    return cover_name(table->derived->demands, &named, keep);
}

// A fault as it is said to a person.
static const char *fault_words(const PlanTable *table, const LayoutFault *fault, Arena *keep)
{
    const Units units = table->derived->job.units;
    const LayingRules *rules = &table->derived->job.laying;
    switch (fault->kind) {
    case LAYOUT_OFF_SHEET:
        return "it reaches over the edge of the hide";
    case LAYOUT_ON_FORBIDDEN:
        return arena_text(keep, "its %s lies on leather that it does not tolerate",
                          band_names[BAND_COUNT - 1 - fault->depth]);
    case LAYOUT_OVERLAP:
        return arena_text(keep, "it overlaps %s", other_name(table, fault->other, keep));
    case LAYOUT_GAP:
        return arena_text(keep, "it is nearer to %s than %s", other_name(table, fault->other, keep),
                          length_text(rules->gap_mm, units.length, keep));
    case LAYOUT_TURN:
        return arena_text(keep, "it is turned more than %.3g° off the firm direction",
                          rules->turn_window_rad / RAD_PER_DEG);
    case LAYOUT_COUNT:
        break;
    }
    return "there are more of it than the job wants";
}

static const char *const fault_names[] = {
    [LAYOUT_OFF_SHEET] = "off the hide",
    [LAYOUT_ON_FORBIDDEN] = "not tolerated",
    [LAYOUT_OVERLAP] = "overlap",
    [LAYOUT_GAP] = "gap",
    [LAYOUT_TURN] = "turn",
    [LAYOUT_COUNT] = "count",
};

static void put_faults(Json *json, const PlanTable *table, const LayoutFault *faults, int count)
{
    json_begin_array(json, "faults");
    for (int i = 0; i < count; i++) {
        const LayoutFault *fault = &faults[i];
        const bool pair = fault->kind == LAYOUT_OVERLAP || fault->kind == LAYOUT_GAP;
        json_begin_flat_object(json, NULL);
        json_text(json, "kind", fault_names[fault->kind]);
        json_text(json, "words", fault_words(table, fault, json->text.keep));
        if (pair) {
            json_int(json, "other", fault->other);
        } else if (fault->kind == LAYOUT_ON_FORBIDDEN) {
            json_text(json, "band", band_names[BAND_COUNT - 1 - fault->depth]);
        }
        json_end_object(json);
    }
    json_end_array(json);
}

static bool in_range(const PlanTable *table, const TablePlace *place, Problems *problems)
{
    Arena *words = problems->keep;
    if (place->placement < 0 || place->placement >= table->count) {
        return problems_add(problems,
                            (Problem){.kind = PROBLEM_BAD_INPUT,
                                      .where = "placement",
                                      .found = arena_text(words, "%d", place->placement),
                                      .allowed = arena_text(words, "less than %d", table->count)});
    }
    if (place->hide < 0 || place->hide >= table->derived->hide_count) {
        return problems_add(problems, (Problem){.kind = PROBLEM_BAD_INPUT,
                                                .where = "hide",
                                                .found = arena_text(words, "%d", place->hide),
                                                .allowed = arena_text(words, "less than %d",
                                                                      table->derived->hide_count)});
    }
    return true;
}

bool plan_table_try(const PlanTable *table, const TablePlace *place, Arena *keep, Arena *scratch,
                    Text *text, Problems *problems)
{
    if (!in_range(table, place, problems)) {
        return false;
    }
    const Motion motion = {place->x_mm, place->y_mm, place->turn_deg * RAD_PER_DEG};
    LayoutFault faults[FAULTS_SHOWN];
    const int count = drag_check(table->drag, place->placement, place->hide, motion, scratch,
                                 faults, FAULTS_SHOWN);
    const Placement there = {
        .piece = table->placements[place->placement].piece, .sheet = place->hide, .motion = motion};
    PlacedCover placed;
    if (!cutting_place(&table->laying, &there, keep, scratch, &placed, problems)) {
        return false;
    }
    Json json = {.text = *text};
    json_begin_object(&json, NULL);
    json_bool(&json, "fits", count == 0);
    json_int(&json, "fault_count", count);
    put_faults(&json, table, faults, count < FAULTS_SHOWN ? count : FAULTS_SHOWN);
    json_rounded(&json, "off_firm_deg", placed.off_firm_rad / RAD_PER_DEG, 3);
    put_touches(&json, &placed, &table->derived->hides[place->hide]);
    json_end_object(&json);
    *text = json.text;
    return true;
}
