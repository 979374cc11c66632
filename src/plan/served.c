#include "plan/served.h"

#include "plan/put.h"

bool plan_may_be_kept(const char *text, size_t bytes, Arena *scratch, Problems *problems)
{
    const ArenaMark mark = arena_mark(scratch);
    const bool good = job_is_document(text, bytes, "job", scratch, problems);
    arena_rewind(scratch, mark);
    return good;
}

void plan_check_json(const Problems *problems, Text *text)
{
    Json json = {.text = *text};
    json_begin_object(&json, NULL);
    put_check(&json, problems);
    json_end_object(&json);
    *text = json.text;
}

static const char *const verdict_words[] = {[AREA_NOT_STAMPED] = NULL,
                                            [AREA_AGREES] = "agrees",
                                            [AREA_DOUBTED] = "measure again",
                                            [AREA_DISPUTED] = "talk to the seller"};

void put_derived_hide(Json *json, const char *key, const Hide *hide)
{
    const AreaVerdict verdict = hide_area_verdict(hide->area_mm2, hide->stamped_mm2, NULL);
    json_begin_object(json, key);
    json_text(json, "name", hide->name);
    json_text(json, "form", hide_form_names[hide->form]);
    json_rounded(json, "area_mm2", hide->area_mm2, 2);
    json_rounded(json, "stamped_mm2", hide->stamped_mm2, 2);
    json_text(json, "stamp", verdict_words[verdict]);
    json_rounded(json, "price", hide->price, 4);
    put_hide_shape(json, hide);
    json_end_object(json);
}

void plan_derived_json(const Derived *derived, const Problems *problems, Text *text)
{
    const Job *job = &derived->job;
    Json json = {.text = *text};
    json_begin_object(&json, NULL);
    json_text(&json, "job", job->name);
    put_check(&json, problems);
    json_begin_array(&json, "covers");
    for (int d = 0; d < derived->demand_count; d++) {
        put_cover(&json, &derived->demands[d]);
    }
    json_end_array(&json);
    json_rounded(&json, "cut_mm2", demands_cut_mm2(derived->demands, derived->demand_count), 2);
    json_begin_array(&json, "hides");
    for (int h = 0; h < derived->hide_count; h++) {
        put_derived_hide(&json, NULL, &derived->hides[h]);
    }
    json_end_array(&json);
    json_end_object(&json);
    *text = json.text;
}

void plan_refusal_json(const Refusal *refusal, const Problems *problems, Text *text)
{
    Json json = {.text = *text};
    json_begin_object(&json, NULL);
    json_text(&json, "title", refusal->title);
    json_int(&json, "status", refusal->status);
    json_text(&json, "detail", problems->count > 0 ? problems->items[0].found : refusal->title);
    if (refusal->present > 0) {
        json_int(&json, "present", refusal->present);
    }
    put_problems(&json, problems);
    json_end_object(&json);
    *text = json.text;
}
