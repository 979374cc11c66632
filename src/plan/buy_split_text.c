// A division in words and as a document.
#include "plan/buy_split.h"

#include <math.h>

const char *plan_buy_split_chairs(const BuySplitHide *hide, Arena *keep)
{
    Text text = {.keep = keep};
    for (int i = 0; i < hide->demand_count; i++) {
        const CoverDemand *demand = &hide->demands[i];
        text_add(&text, "%s", i > 0 ? ", " : "");
        if (demand->count > 1) {
            text_add(&text, "%d × ", demand->count);
        }
        text_add(&text, "%s%s%s (%s)", demand->seat, demand->chair ? " " : "",
                 demand->chair ? demand->chair : "", demand->name);
    }
    return text_string(&text);
}

static void add_one(const Derived *derived, const BuySplit *split, Text *text)
{
    const AreaUnit unit = derived->job.units.area;
    const BuyAnswer *one = &split->one;
    const char *form = hide_pieces_word(split->one.order.form, 1);
    const int step = one->study.area.step;
    const char *easy = area_step_text(split->easy_step, unit, text->keep);
    if (step == AREA_STEPS) {
        text_add(text, "No single %s of up to %s is enough for all %s.", form,
                 area_step_text(AREA_STEPS - 1, unit, text->keep),
                 chance_words(one->order.comfort));
    } else if (split->one_is_easy) {
        text_add(text, "One %s does: of %s it is enough for all %s.", form,
                 area_step_text(step, unit, text->keep), chance_words(one->order.comfort));
    } else {
        text_add(text,
                 "A single %s would have to be of %s to be enough for all %s; more than %s is not "
                 "easily had.",
                 form, area_step_text(step, unit, text->keep), chance_words(one->order.comfort),
                 easy);
    }
}

// By how much several hides are more leather than one.
static void add_difference(const Derived *derived, const BuySplit *split, Text *text)
{
    const int step = split->one.study.area.step;
    if (step == AREA_STEPS) {
        return;
    }
    const double more_mm2 = split->all_mm2 - step * area_step_mm2;
    if (fabs(more_mm2) < area_step_mm2 / 2) {
        text_add(text, ", as much as the one");
        return;
    }
    text_add(text, ", %s %s than the one",
             area_text(fabs(more_mm2), derived->job.units.area, text->keep),
             more_mm2 > 0 ? "more" : "less");
}

const char *plan_buy_split_advice(const Derived *derived, const BuySplit *split, Arena *keep)
{
    const AreaUnit unit = derived->job.units.area;
    Text text = {.keep = keep};
    add_one(derived, split, &text);
    if (split->hide_count == 0) {
        return text_string(&text);
    }
    if (!split->enough) {
        text_add(&text, " Divided over %d they are not enough either, whatever their areas.",
                 split->hide_count);
        return text_string(&text);
    }
    text_add(&text, " %s over %d:", split->one_is_easy ? "Divided" : "Divide the chairs",
             split->hide_count);
    for (int i = 0; i < split->hide_count; i++) {
        text_add(&text, "%s %s", i > 0 ? " and" : "",
                 area_step_text(split->hides[i].step, unit, keep));
    }
    text_add(&text, ", together %s", area_text(split->all_mm2, unit, keep));
    add_difference(derived, split, &text);
    text_add(&text, "; %s all are enough.", chance_words(split->chance.share));
    if (!split->easy) {
        text_add(&text, " Not each of them is easily had.");
    }
    return text_string(&text);
}

static void put_chance(Json *json, Chance chance)
{
    json_rounded(json, "chance", chance.share, 5);
    json_rounded(json, "low", chance.low, 5);
    json_rounded(json, "high", chance.high, 5);
}

static void put_hide(Json *json, const BuySplitHide *hide)
{
    json_begin_object(json, NULL);
    plan_buy_area_json(json, "area_mm2", hide->step);
    put_chance(json, hide->chance);
    json_int(json, "trials", hide->study.tally.trials);
    json_rounded(json, "cut_mm2", hide->cut_mm2, 2);
    json_begin_array(json, "chairs");
    for (int i = 0; i < hide->demand_count; i++) {
        const CoverDemand *demand = &hide->demands[i];
        json_begin_flat_object(json, NULL);
        json_text(json, "cover", demand->name);
        json_text(json, "seat", demand->seat);
        json_text(json, "chair", demand->chair);
        json_int(json, "count", demand->count);
        json_end_object(json);
    }
    json_end_array(json);
    json_end_object(json);
}

void plan_buy_split_json(const Derived *derived, const BuySplit *split, Text *text)
{
    const BuyAnswer *one = &split->one;
    Json json = {.text = *text};
    json_begin_object(&json, NULL);
    json_text(&json, "job", derived->job.name);
    json_int(&json, "covers", one->covers);
    json_rounded(&json, "cut_mm2", one->cut_mm2, 2);
    json_text(&json, "form", hide_form_names[one->order.form]);
    job_grade_json(&derived->job, plan_buy_grade(derived, &one->order), &json);
    json_number(&json, "comfort", one->order.comfort);
    json_bool(&json, "stopped", split->stopped);
    plan_buy_area_json(&json, "easy_mm2", split->easy_step);
    json_begin_object(&json, "one");
    json_int(&json, "trials", one->study.tally.trials);
    plan_buy_area_json(&json, "area_mm2", one->study.area.step);
    plan_buy_area_json(&json, "area_low_mm2", one->study.area.low);
    plan_buy_area_json(&json, "area_high_mm2", one->study.area.high);
    json_bool(&json, "easy", split->one_is_easy);
    json_end_object(&json);
    json_begin_array(&json, "hides");
    for (int i = 0; i < split->hide_count; i++) {
        put_hide(&json, &split->hides[i]);
    }
    json_end_array(&json);
    if (split->hide_count > 0) {
        json_bool(&json, "enough", split->enough);
        json_bool(&json, "easy", split->easy);
        json_rounded(&json, "together_mm2", split->enough ? split->all_mm2 : (double)NAN, 2);
        put_chance(&json, split->chance);
        json_begin_flat_array(&json, "parted");
        for (int i = 0; i < split->parted_count; i++) {
            json_text(&json, NULL, split->parted[i]);
        }
        json_end_array(&json);
    }
    json_text(&json, "advice", plan_buy_split_advice(derived, split, text->keep));
    json_end_object(&json);
    *text = json.text;
}
