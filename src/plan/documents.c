// The JSON documents that the commands write with --json: docs/json.md.
#include "plan/plan.h"

#include "plan/put.h"
#include "plan/served.h"

static const char *const problem_kind_names[] = {
    [PROBLEM_BAD_INPUT] = "bad input", [PROBLEM_NOT_FOUND] = "not found",
    [PROBLEM_CONFLICT] = "conflict",   [PROBLEM_SYSTEM] = "system",
    [PROBLEM_CANCELLED] = "cancelled", [PROBLEM_DOUBT] = "doubt",
};

const char *plan_problem_kind(ProblemKind kind)
{
    return problem_kind_names[kind];
}

void put_problems(Json *json, const Problems *problems)
{
    json_begin_array(json, "problems");
    for (int i = 0; i < problems->count; i++) {
        const Problem *problem = &problems->items[i];
        json_begin_object(json, NULL);
        json_text(json, "kind", problem_kind_names[problem->kind]);
        json_text(json, "where", problem->where);
        json_text(json, "found", problem->found);
        json_text(json, "allowed", problem->allowed);
        json_text(json, "remedy", problem->remedy);
        json_end_object(json);
    }
    json_end_array(json);
}

void put_check(Json *json, const Problems *problems)
{
    json_bool(json, "good", problems_none(problems));
    json_int(json, "mistakes", problems->mistakes);
    json_int(json, "doubts", problems->doubts);
    put_problems(json, problems);
}

void plan_problems_json(const char *path, const Problems *problems, Text *text)
{
    Json json = {.text = *text};
    json_begin_object(&json, NULL);
    json_text(&json, "job", path);
    put_check(&json, problems);
    json_end_object(&json);
    *text = json.text;
}

void put_points(Json *json, const char *key, Ring points, int decimals)
{
    json_begin_flat_array(json, key);
    for (int i = 0; i < points.count; i++) {
        json_begin_flat_array(json, NULL);
        json_rounded(json, NULL, points.points[i].x, decimals);
        json_rounded(json, NULL, points.points[i].y, decimals);
        json_end_array(json);
    }
    json_end_array(json);
}

// Four decimals: a hundredth of the lattice on which layouts are judged.
void put_ring(Json *json, const char *key, Ring ring)
{
    put_points(json, key, ring, 4);
}

void put_bands(Json *json, const char *key, const Ring *within)
{
    json_begin_object(json, key);
    for (int b = 0; b < BAND_COUNT; b++) {
        put_ring(json, band_names[b], within[b]);
    }
    json_end_object(json);
}

static void put_set(Json *json, const char *key, PolygonSet set)
{
    json_begin_array(json, key);
    for (int i = 0; i < set.count; i++) {
        json_begin_object(json, NULL);
        put_ring(json, "outer_mm", set.items[i].outer);
        json_begin_array(json, "holes_mm");
        for (int h = 0; h < set.items[i].hole_count; h++) {
            put_ring(json, NULL, set.items[i].holes[h]);
        }
        json_end_array(json);
        json_end_object(json);
    }
    json_end_array(json);
}

static void put_table(Json *json, const LayingRules *rules)
{
    const ToleranceTable *table = &rules->table;
    json_begin_object(json, "rules");
    json_rounded(json, "turn_window_deg", rules->turn_window_rad / RAD_PER_DEG, 9);
    json_bool(json, "either_way", rules->either_way);
    json_rounded(json, "gap_mm", rules->gap_mm, 4);
    json_begin_object(json, "flaws");
    for (int k = 0; k < FLAW_KIND_COUNT; k++) {
        json_begin_flat_object(json, flaw_kind_names[k]);
        json_text(json, "tolerated_up_to", tolerance_word(table->flaw[k]));
        json_rounded(json, "margin_mm", table->margin_mm[k], 4);
        json_end_object(json);
    }
    json_end_object(json);
    json_begin_flat_object(json, "firmness");
    for (int f = 0; f < FIRMNESS_COUNT; f++) {
        json_text(json, firmness_names[f], tolerance_word(table->firmness[f]));
    }
    json_end_object(json);
    json_begin_flat_object(json, "rim");
    json_text(json, "tolerated_up_to", tolerance_word(table->rim));
    json_rounded(json, "width_mm", table->rim_mm, 4);
    json_end_object(json);
    json_end_object(json);
}

static void put_flaws(Json *json, const Hide *hide)
{
    json_begin_array(json, "flaws");
    for (int f = 0; f < hide->flaw_count; f++) {
        json_begin_object(json, NULL);
        json_int(json, "number", f + 1);
        json_text(json, "kind", flaw_kind_names[hide->flaws[f].kind]);
        json_text(json, "name", hide->flaws[f].name);
        put_set(json, "polygons", hide->flaws[f].area);
        json_end_object(json);
    }
    json_end_array(json);
}

void put_hide_shape(Json *json, const Hide *hide)
{
    json_rounded(json, "backbone_mm", hide->backbone_mm, 3);
    put_ring(json, "outline_mm", hide->outline);
    json_begin_array(json, "regions");
    for (int r = 0; r < hide->region_count; r++) {
        const Region *region = &hide->regions[r];
        json_begin_object(json, NULL);
        json_text(json, "kind", region_kind_names[region->kind]);
        json_text(json, "firmness", firmness_names[region->firmness]);
        json_number(json, "stretch_along", region->stretch_along);
        json_number(json, "stretch_across", region->stretch_across);
        put_set(json, "polygons", region->area);
        json_end_object(json);
    }
    json_end_array(json);
    put_flaws(json, hide);
}

void put_left(Json *json, const Remnant *left, double useful_mm)
{
    const Box box = left->rectangle;
    json_begin_flat_object(json, "left");
    json_rounded(json, "useful_mm", useful_mm, 4);
    json_rounded(json, "largest_mm2", left->area_mm2, 2);
    json_int(json, "parts", left->parts);
    put_ring(json, "rectangle_mm", (Ring){(Point[]){box.min, box.max}, 2});
    json_end_object(json);
}

void put_straight_cuts(Json *json, SharedCuts cuts, double least_mm)
{
    json_begin_flat_object(json, "straight_cuts");
    json_rounded(json, "least_mm", least_mm, 4);
    json_rounded(json, "side_by_side_mm", cuts.shared_mm, 2);
    json_rounded(json, "in_line_mm", cuts.in_line_mm, 2);
    json_end_object(json);
}

static void put_hide(Json *json, const Hide *hide, const CutPlan *plan, int index)
{
    json_begin_object(json, NULL);
    json_text(json, "name", hide->name);
    json_text(json, "form", hide_form_word(hide));
    json_rounded(json, "area_mm2", hide->area_mm2, 2);
    json_rounded(json, "stamped_mm2", hide->stamped_mm2, 2);
    json_rounded(json, "price", hide->price, 4);
    json_rounded(json, "used_mm2", plan->used_mm2[index], 2);
    json_bool(json, "left_whole", hide_is_left_whole(plan, index));
    if (plan->left) {
        put_left(json, &plan->left[index], plan->useful_mm);
    }
    if (plan->cuts) {
        put_straight_cuts(json, plan->cuts[index], plan->least_cut_mm);
    }
    put_hide_shape(json, hide);
    json_end_object(json);
}

void put_touches(Json *json, const PlacedCover *placed, const Hide *hide)
{
    json_begin_array(json, "touches");
    for (int t = 0; t < placed->touch_count; t++) {
        const Touch *touch = &placed->touches[t];
        json_begin_flat_object(json, NULL);
        if (touch->flaw >= 0) {
            json_int(json, "flaw", touch->flaw + 1);
            json_text(json, "kind", flaw_kind_names[hide->flaws[touch->flaw].kind]);
        } else {
            json_text(json, "region", region_kind_names[hide->regions[touch->region].kind]);
        }
        json_text(json, "band", band_names[touch->band]);
        json_rounded(json, "area_mm2", touch->area_mm2, 2);
        json_end_object(json);
    }
    json_end_array(json);
}

// The other covers that stand beside this one, by their letters.
static void put_beside(Json *json, const CoverDemand *demands, int count, int demand)
{
    json_begin_flat_array(json, "beside");
    for (int i = 0; demands[demand].beside > 0 && i < count; i++) {
        if (i != demand && demands[i].beside == demands[demand].beside) {
            json_text(json, NULL, demands[i].name);
        }
    }
    json_end_array(json);
}

static void put_placement(Json *json, const Laying *laying, const PlacedCover *placed)
{
    const CoverDemand *demand = &laying->demands[placed->demand];
    const Hide *hide = &laying->hides[placed->hide];
    json_begin_object(json, NULL);
    json_text(json, "cover", cover_name(laying->demands, placed, json->text.keep));
    json_text(json, "seat", demand->seat);
    json_text(json, "chair", demand->chair);
    put_beside(json, laying->demands, laying->demand_count, placed->demand);
    json_text(json, "hide", hide->name);
    json_number(json, "x_mm", placed->motion.x_mm);
    json_number(json, "y_mm", placed->motion.y_mm);
    json_number(json, "turn_deg", placed->motion.turn_rad / RAD_PER_DEG);
    json_rounded(json, "off_firm_deg", placed->off_firm_rad / RAD_PER_DEG, 3);
    json_bool(json, "locked", placed->locked);
    put_touches(json, placed, hide);
    put_ring(json, "outline_mm", placed->cut);
    put_ring(json, "tack_line_mm", placed->tack_line);
    put_bands(json, "within_mm", placed->within);
    json_end_object(json);
}

static void put_placements(Json *json, const Laying *laying, const CutPlan *plan)
{
    json_begin_array(json, "placements");
    for (int p = 0; p < plan->cover_count; p++) {
        put_placement(json, laying, &plan->covers[p]);
    }
    json_end_array(json);
}

static void put_hides(Json *json, const Laying *laying, const CutPlan *plan)
{
    json_begin_array(json, "hides");
    for (int h = 0; h < laying->hide_count; h++) {
        put_hide(json, &laying->hides[h], plan, h);
    }
    json_end_array(json);
}

static void put_bound(Json *json, const Derived *derived, const LayoutBound *bound)
{
    json_begin_object(json, "bound");
    json_int(json, "wanted", bound->wanted);
    json_int(json, "most", bound->most);
    json_begin_array(json, "within");
    for (int depth = 0; depth < bound->depth_count; depth++) {
        json_begin_flat_object(json, NULL);
        json_text(json, "band", band_names[BAND_COUNT - 1 - depth]);
        json_rounded(json, "needed_mm2", bound->depth[depth].needed_mm2, 2);
        json_rounded(json, "allowed_mm2", bound->depth[depth].allowed_mm2, 2);
        json_int(json, "most", bound->depth[depth].most);
        json_end_object(json);
    }
    json_end_array(json);
    json_begin_flat_array(json, "nowhere");
    for (int d = 0; d < derived->demand_count; d++) {
        if (bound->nowhere[d]) {
            json_text(json, NULL, derived->demands[d].name);
        }
    }
    json_end_array(json);
    json_end_object(json);
}

// What belongs to the kind of a change.
static void put_change(Json *json, const Derived *derived, const FitChange *change)
{
    const char *cost = NULL;
    const int harm = fit_harm(change, &cost);
    json_text(json, "kind", fit_kind_names[change->kind]);
    json_text(json, "change", plan_fit_text(derived, change, json->text.keep));
    json_text(json, "cost", cost);
    json_int(json, "harm", harm);
    if (change->kind == FIT_TURN) {
        json_rounded(json, "turn_window_deg", change->turn_window_rad / RAD_PER_DEG, 9);
    } else if (change->kind == FIT_GRIP) {
        json_rounded(json, "shorter_mm", change->shorter_mm, 4);
        json_begin_flat_array(json, "sides");
        for (int s = 0; s < SIDE_COUNT; s++) {
            if (change->sides[s]) {
                json_text(json, NULL, side_names[s]);
            }
        }
        json_end_array(json);
    } else if (change->kind == FIT_FLAW || change->kind == FIT_FIRMNESS) {
        json_text(json, change->kind == FIT_FLAW ? "flaw" : "firmness",
                  change->kind == FIT_FLAW ? flaw_kind_names[change->flaw]
                                           : firmness_names[change->firmness]);
        json_text(json, "tolerated_up_to", tolerance_word(change->allowed));
    } else if (change->kind == FIT_LARGER) {
        json_rounded(json, "larger_percent", 100 * change->larger, 4);
    } else if (change->kind == FIT_FEWER) {
        json_int(json, "fewer", change->fewer);
    }
}

static void put_fit(Json *json, const Derived *derived, const Fit *fit)
{
    json_begin_object(json, "fit");
    put_bound(json, derived, &fit->bound);
    json_begin_array(json, "answers");
    for (int i = 0; i < fit->answer_count; i++) {
        const FitAnswer *answer = &fit->answers[i];
        json_begin_object(json, NULL);
        put_change(json, derived, &answer->change);
        put_fit_changes(json, derived, answer);
        put_table(json, answer->laying.rules);
        if (answer->change.kind == FIT_LARGER) { // else the same hides
            put_hides(json, &answer->laying, &answer->plan);
        }
        put_placements(json, &answer->laying, &answer->plan);
        json_end_object(json);
    }
    json_end_array(json);
    json_begin_array(json, "failed");
    for (int i = 0; i < fit->failed_count; i++) {
        json_begin_object(json, NULL);
        put_change(json, derived, &fit->failed[i]);
        json_end_object(json);
    }
    json_end_array(json);
    json_bool(json, "stopped", fit->stopped);
    json_end_object(json);
}

void plan_lay_json(const Derived *derived, const CutPlan *plan, const Fit *fit, Text *text)
{
    const Laying laying = {derived->demands, derived->demand_count, derived->hides,
                           derived->hide_count, &derived->job.laying};
    Json json = {.text = *text};
    json_begin_object(&json, NULL);
    json_text(&json, "job", derived->job.name);
    json_bool(&json, "stopped", plan->stopped);
    put_table(&json, &derived->job.laying);
    put_hides(&json, &laying, plan);
    put_placements(&json, &laying, plan);
    json_begin_array(&json, "unplaced");
    for (int u = 0; u < plan->unplaced_count; u++) {
        const CoverDemand *demand = &derived->demands[plan->unplaced[u].demand];
        json_begin_object(&json, NULL);
        json_text(&json, "cover", demand->name);
        json_text(&json, "seat", demand->seat);
        json_text(&json, "chair", demand->chair);
        json_int(&json, "count", plan->unplaced[u].count);
        json_text(&json, "reason", plan->unplaced[u].reason);
        json_end_object(&json);
    }
    json_end_array(&json);
    if (fit) {
        put_fit(&json, derived, fit);
    }
    json_end_object(&json);
    *text = json.text;
}
