#include "plan/served_drag.h"

#include "layout/drag.h"
#include "plan/laid.h"
#include "plan/put.h"

enum { FAULTS_SHOWN = 20 };

struct PlanTable {
    PlanLaid laid;
    Drag *drag;
};

bool plan_table(const Derived *derived, const char *layout, size_t bytes, Arena *keep,
                Arena *scratch, PlanTable **table, Problems *problems)
{
    PlanTable *made = ARENA_NEW(keep, PlanTable);
    if (!plan_laid_read(derived, (Document){layout, bytes}, false, keep, scratch, &made->laid,
                        problems)) {
        return false;
    }
    made->drag =
        drag_prepare(&made->laid.task, made->laid.placements, made->laid.count, keep, scratch);
    *table = made;
    return true;
}

int plan_table_placements(const PlanTable *table)
{
    return table->laid.count;
}

static void put_faults(Json *json, const PlanTable *table, const LayoutFault *faults, int count)
{
    json_begin_array(json, "faults");
    for (int i = 0; i < count; i++) {
        const LayoutFault *fault = &faults[i];
        const bool pair = fault->kind == LAYOUT_OVERLAP || fault->kind == LAYOUT_GAP;
        json_begin_flat_object(json, NULL);
        json_text(json, "kind", plan_fault_name(fault->kind));
        json_text(json, "words", plan_fault_words(&table->laid, fault, json->text.keep));
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
    if (place->placement < 0 || place->placement >= table->laid.count) {
        return problems_add(
            problems, (Problem){.kind = PROBLEM_BAD_INPUT,
                                .where = "placement",
                                .found = arena_text(words, "%d", place->placement),
                                .allowed = arena_text(words, "less than %d", table->laid.count)});
    }
    if (place->hide < 0 || place->hide >= table->laid.derived->hide_count) {
        return problems_add(problems,
                            (Problem){.kind = PROBLEM_BAD_INPUT,
                                      .where = "hide",
                                      .found = arena_text(words, "%d", place->hide),
                                      .allowed = arena_text(words, "less than %d",
                                                            table->laid.derived->hide_count)});
    }
    return true;
}

// What is wrong with a placement at a place, and what it touches there.
static bool put_tried(Json *json, const PlanTable *table, int index, const Placement *there,
                      Arena *scratch, Problems *problems)
{
    LayoutFault faults[FAULTS_SHOWN];
    const int count =
        drag_check(table->drag, index, there->sheet, there->motion, scratch, faults, FAULTS_SHOWN);
    PlacedCover placed;
    if (!cutting_place(&table->laid.laying, there, json->text.keep, scratch, &placed, problems)) {
        return false;
    }
    json_bool(json, "fits", count == 0);
    json_int(json, "fault_count", count);
    put_faults(json, table, faults, count < FAULTS_SHOWN ? count : FAULTS_SHOWN);
    json_rounded(json, "off_firm_deg", placed.off_firm_rad / RAD_PER_DEG, 3);
    put_touches(json, &placed, &table->laid.derived->hides[there->sheet]);
    return true;
}

static Placement placement_at(const PlanTable *table, const TablePlace *place)
{
    return (Placement){.piece = table->laid.placements[place->placement].piece,
                       .sheet = place->hide,
                       .motion = {place->x_mm, place->y_mm, place->turn_deg * RAD_PER_DEG}};
}

bool plan_table_try(const PlanTable *table, const TablePlace *place, Arena *scratch, Text *text,
                    Problems *problems)
{
    if (!in_range(table, place, problems)) {
        return false;
    }
    const Placement there = placement_at(table, place);
    Json json = {.text = *text};
    json_begin_object(&json, NULL);
    const bool good = put_tried(&json, table, place->placement, &there, scratch, problems);
    json_end_object(&json);
    *text = json.text;
    return good;
}

bool plan_table_snap(const PlanTable *table, const TablePlace *place, double reach_mm,
                     Arena *scratch, Text *text, Problems *problems)
{
    if (!in_range(table, place, problems)) {
        return false;
    }
    Placement there = placement_at(table, place);
    const bool found = drag_snap(table->drag, place->placement, place->hide, there.motion, reach_mm,
                                 scratch, &there.motion);
    Json json = {.text = *text};
    json_begin_object(&json, NULL);
    json_bool(&json, "found", found);
    json_number(&json, "x_mm", there.motion.x_mm);
    json_number(&json, "y_mm", there.motion.y_mm);
    json_number(&json, "turn_deg", place->turn_deg);
    const bool good = put_tried(&json, table, place->placement, &there, scratch, problems);
    json_end_object(&json);
    *text = json.text;
    return good;
}

// ---- All that lies there

static bool put_all(Json *json, const PlanTable *table, int *faulty, Arena *scratch,
                    Problems *problems)
{
    const PlanLaid *laid = &table->laid;
    *faulty = 0;
    json_begin_array(json, "placements");
    for (int i = 0; i < laid->count; i++) {
        const Placement *there = &laid->placements[i];
        json_begin_object(json, NULL);
        json_text(json, "name", plan_laid_name(laid, i, json->text.keep));
        json_int(json, "partners", laid->task.pieces[there->piece].partners);
        LayoutFault fault;
        *faulty += drag_check(table->drag, i, there->sheet, there->motion, scratch, &fault, 1) > 0;
        if (!put_tried(json, table, i, there, scratch, problems)) {
            return false;
        }
        json_end_object(json);
    }
    json_end_array(json);
    return true;
}

static void put_missing(Json *json, const PlanLaid *laid, Arena *scratch)
{
    int *count = ARENA_ARRAY(scratch, int, laid->task.piece_count + 1);
    for (int i = 0; i < laid->count; i++) {
        count[laid->placements[i].piece]++;
    }
    json_begin_array(json, "missing");
    for (int d = 0; d < laid->derived->demand_count; d++) {
        const CoverDemand *demand = &laid->derived->demands[d];
        if (count[d] < demand->count) {
            json_begin_flat_object(json, NULL);
            json_text(json, "cover", demand->name);
            json_text(json, "seat", demand->seat);
            json_text(json, "chair", demand->chair);
            json_int(json, "count", demand->count - count[d]);
            json_end_object(json);
        }
    }
    json_end_array(json);
}

// How good it is, so that two can be compared. Only of placements that the judge accepts.
static void put_measures(Json *json, const PlanLaid *laid, Arena *scratch)
{
    const LayoutMeasures measures =
        layout_measure(&laid->task, laid->placements, laid->count, scratch, json->text.keep);
    json_begin_object(json, "measures");
    json_rounded(json, "mean_cost", measures.cost, 4);
    json_rounded(json, "mean_off_deg", measures.off_middle_rad / RAD_PER_DEG, 3);
    json_rounded(json, "partner_distance_mm", measures.partner_distance_mm, 1);
    json_rounded(json, "partner_turn_deg", measures.partner_turn_rad / RAD_PER_DEG, 3);
    json_begin_array(json, "hides");
    for (int h = 0; h < laid->derived->hide_count; h++) {
        double used_mm2 = 0;
        for (int i = 0; i < laid->count; i++) {
            const Placement *there = &laid->placements[i];
            const Cover *cover = laid->derived->demands[there->piece].cover;
            used_mm2 += there->sheet == h ? cover->gross_area_mm2 : 0;
        }
        json_begin_object(json, NULL);
        json_text(json, "name", laid->derived->hides[h].name);
        json_rounded(json, "area_mm2", laid->derived->hides[h].area_mm2, 2);
        json_rounded(json, "used_mm2", used_mm2, 2);
        if (measures.remnants) {
            put_left(json, &measures.remnants[h], measures.useful_mm);
        }
        if (measures.cuts) {
            put_straight_cuts(json, measures.cuts[h], measures.least_cut_mm);
        }
        json_end_object(json);
    }
    json_end_array(json);
    json_end_object(json);
}

bool plan_table_report(const PlanTable *table, Arena *scratch, Text *text, Problems *problems)
{
    const PlanLaid *laid = &table->laid;
    int faulty = 0;
    Json json = {.text = *text};
    json_begin_object(&json, NULL);
    const bool good = put_all(&json, table, &faulty, scratch, problems);
    put_missing(&json, laid, scratch);
    json_int(&json, "faulty", faulty);
    if (good && faulty == 0) {
        put_measures(&json, laid, scratch);
    }
    json_end_object(&json);
    *text = json.text;
    return good;
}
