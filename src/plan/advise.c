#include "plan/buying.h"

#include <math.h>
#include <string.h>

// The least radius of corners that leather is folded round; -1: the frame has none, or
// only a trace knows them.
static double corner_radius_mm(const Frame *frame)
{
    const bool corners = frame->shape == FRAME_RECTANGLE || frame->shape == FRAME_TAPER ||
                         frame->shape == FRAME_MEASURED || frame->shape == FRAME_D;
    // Of a D only the front has corners.
    const int count = !corners ? 0 : (frame->shape == FRAME_D ? 2 : CORNER_COUNT);
    double least_mm = -1;
    for (int i = 0; i < count; i++) {
        if (!(frame->notch[i].width_mm > 0)) {
            least_mm = least_mm < 0 ? frame->radius_mm[i] : fmin(least_mm, frame->radius_mm[i]);
        }
    }
    return least_mm;
}

static AdviceSeat seat_of(const char *name, const Frame *frame, const BuildUp *build_up,
                          double clearance_mm)
{
    AdviceSeat seat = {.name = name,
                       .corner_radius_mm = corner_radius_mm(frame),
                       .edge_radius_mm = build_up->edge_radius_mm,
                       .clearance_mm = clearance_mm};
    for (int i = 0; i < CORNER_COUNT; i++) {
        seat.notched = seat.notched || frame->notch[i].width_mm > 0;
    }
    for (int i = 0; i < build_up->layer_count; i++) {
        const Layer *layer = &build_up->layers[i];
        seat.layers_mm += layer->on_sides || layer->goes_under ? layer->thickness_mm : 0;
    }
    return seat;
}

PlanAdvice plan_advise(const Derived *derived, Arena *keep)
{
    const Job *job = &derived->job;
    AdviceSeat *seats = ARENA_ARRAY(keep, AdviceSeat, JOB_SEATS_MAX + JOB_CHAIRS_MAX);
    int count = 0;
    for (int s = 0; s < job->seat_count; s++) {
        const JobSeat *kind = &job->seats[s];
        if (kind->count > kind->chair_count) {
            seats[count++] = seat_of(kind->name, &kind->frame, &kind->build_up, kind->clearance_mm);
        }
        for (int c = 0; c < kind->chair_count; c++) {
            const JobChair *chair = &kind->chairs[c];
            seats[count++] = seat_of(arena_text(keep, "%s, %s", kind->name, chair->name),
                                     &chair->frame, &chair->build_up, kind->clearance_mm);
        }
    }
    PlanAdvice advice = {.question = {.household = job->household,
                                      .wish = job->wish,
                                      .leather_mm = job->leather.thickness_mm,
                                      .seats = seats,
                                      .seat_count = count}};
    advice.checks = ARENA_ARRAY(keep, ThicknessCheck, count + 1);
    for (int i = 0; i < count; i++) {
        advice.checks[i] = thickness_check(&seats[i], job->leather.thickness_mm);
    }
    advice.advice = leather_advise(&advice.question);
    return advice;
}

const char *plan_advice_text(const Derived *derived, const PlanAdvice *advice, Arena *keep)
{
    const Advice *advised = &advice->advice;
    const LeatherUnit unit = derived->job.units.leather;
    const char *grain =
        advised->kind == LEATHER_NUBUCK
            ? ""
            : arena_text(keep, " with %s grain", leather_grain_names[advised->grain]);
    const char *least = leather_text(advised->thickness_min_mm, unit, keep);
    const char *most = leather_text(advised->thickness_max_mm, unit, keep);
    const char *range =
        strcmp(least, most) == 0 ? least : arena_text(keep, "%s to %s", least, most);
    return arena_text(keep, "%s leather%s, %s thick", leather_kind_names[advised->kind], grain,
                      range);
}

const char *plan_household_text(const Derived *derived, Arena *keep)
{
    const Household *household = &derived->job.household;
    if (!derived->job.household_given) {
        return "nothing is said of it, so a little of everything is assumed";
    }
    return arena_text(keep, "sun %s, pets %s, children %s, spills %s; natural marks %s",
                      often_names[household->sun], often_names[household->pets],
                      often_names[household->children], often_names[household->spills],
                      marks_names[household->marks]);
}

static void put_points(Json *json, const char *key, const int *points, const char *const *names,
                       int count)
{
    json_begin_flat_object(json, key);
    for (int i = 0; i < count; i++) {
        json_int(json, names[i], points[i]);
    }
    json_end_object(json);
}

static void put_household(Json *json, const Derived *derived)
{
    const Household *household = &derived->job.household;
    if (!derived->job.household_given) {
        json_text(json, "household", NULL);
        return;
    }
    json_begin_flat_object(json, "household");
    json_text(json, "sun", often_names[household->sun]);
    json_text(json, "pets", often_names[household->pets]);
    json_text(json, "children", often_names[household->children]);
    json_text(json, "spills", often_names[household->spills]);
    json_text(json, "marks", marks_names[household->marks]);
    json_end_object(json);
}

static void put_answer(Json *json, const Derived *derived, const PlanAdvice *advice)
{
    const Advice *advised = &advice->advice;
    const LeatherWish *wish = &advice->question.wish;
    json_begin_object(json, "advised");
    json_text(json, "kind", leather_kind_names[advised->kind]);
    json_text(json, "grain", leather_grain_names[advised->grain]);
    json_rounded(json, "thickness_min_mm", advised->thickness_min_mm, 3);
    json_rounded(json, "thickness_max_mm", advised->thickness_max_mm, 3);
    json_bool(json, "room_at_corners", !advised->no_room);
    json_text(json, "text", plan_advice_text(derived, advice, json->text.keep));
    json_end_object(json);
    json_begin_object(json, "wanted");
    json_text(json, "kind", wish->kind >= 0 ? leather_kind_names[wish->kind] : NULL);
    json_text(json, "grain", wish->grain >= 0 ? leather_grain_names[wish->grain] : NULL);
    json_rounded(json, "thickness_mm", advice->question.leather_mm, 3);
    json_bool(json, "thicker", advised->heavy);
    json_bool(json, "thinner", advised->light);
    json_text(
        json, "thickness",
        leather_text(advice->question.leather_mm, derived->job.units.leather, json->text.keep));
    json_end_object(json);
    put_points(json, "grain_points", advised->grain_score, leather_grain_names,
               LEATHER_GRAIN_COUNT);
}

static void put_kinds(Json *json, const Advice *advised)
{
    json_begin_array(json, "kinds");
    for (int k = 0; k < LEATHER_KIND_COUNT; k++) {
        const LeatherKind kind = advised->order[k];
        json_begin_flat_object(json, NULL);
        json_text(json, "kind", leather_kind_names[kind]);
        json_int(json, "points", advised->score[kind]);
        json_text(json, "meaning", leather_kind_meanings[kind]);
        json_end_object(json);
    }
    json_end_array(json);
}

static void put_reasons(Json *json, const Advice *advised)
{
    json_begin_array(json, "reasons");
    for (int r = 0; r < ADVICE_RULE_COUNT; r++) {
        const AdviceRule *rule = &advice_rules[r];
        if (!advised->holds[r]) {
            continue;
        }
        json_begin_object(json, NULL);
        json_text(json, "when", rule->when);
        json_text(json, "because", rule->reason);
        json_text(json, "source", rule->source);
        put_points(json, "points", rule->kind, leather_kind_names, LEATHER_KIND_COUNT);
        put_points(json, "grain_points", rule->grain, leather_grain_names, LEATHER_GRAIN_COUNT);
        json_end_object(json);
    }
    json_end_array(json);
}

static void put_seats(Json *json, const PlanAdvice *advice)
{
    json_begin_array(json, "seats");
    for (int i = 0; i < advice->question.seat_count; i++) {
        const AdviceSeat *seat = &advice->question.seats[i];
        const ThicknessCheck *check = &advice->checks[i];
        json_begin_object(json, NULL);
        json_text(json, "seat", seat->name);
        json_bool(json, "measured", check->measured);
        json_rounded(json, "clearance_mm", check->clearance_mm, 3);
        json_rounded(json, "layers_mm", seat->layers_mm, 3);
        json_rounded(json, "straight_max_mm", check->straight_max_mm, 3);
        json_rounded(json, "corner_max_mm", check->corner_max_mm, 3);
        json_rounded(json, "straight_needs_mm", check->needed_straight_mm, 3);
        json_rounded(json, "corner_needs_mm", check->needed_mm, 3);
        json_bool(json, "fits_straight", check->fits_straight);
        json_bool(json, "fits_corners", check->fits);
        json_text(json, "room", thickness_room_text(check));
        json_text(json, "remedy",
                  !check->fits       ? thickness_remedy
                  : !check->measured ? clearance_remedy
                                     : NULL);
        json_end_object(json);
    }
    json_end_array(json);
}

static void put_tests(Json *json, LeatherKind kind)
{
    json_begin_array(json, "ask");
    for (int t = 0; t < LEATHER_TEST_COUNT; t++) {
        if (leather_tests[t].least[kind]) {
            json_begin_object(json, NULL);
            json_text(json, "property", leather_tests[t].property);
            json_text(json, "method", leather_tests[t].method);
            json_text(json, "value", leather_tests[t].least[kind]);
            json_text(json, "meaning", leather_tests[t].meaning);
            json_end_object(json);
        }
    }
    json_end_array(json);
    json_text(json, "ask_source", leather_tests_source);
}

static void put_cautions(Json *json)
{
    json_begin_array(json, "cautions");
    for (int i = 0; i < LEATHER_CAUTION_COUNT; i++) {
        json_text(json, NULL, leather_cautions[i]);
    }
    for (int i = 0; i < FIRE_CAUTION_COUNT; i++) {
        json_text(json, NULL, fire_cautions[i]);
    }
    json_end_array(json);
}

void plan_advice_json(const Derived *derived, const PlanAdvice *advice, Text *text)
{
    Json json = {.text = *text};
    json_begin_object(&json, NULL);
    json_text(&json, "job", derived->job.name);
    put_household(&json, derived);
    put_answer(&json, derived, advice);
    put_kinds(&json, &advice->advice);
    put_reasons(&json, &advice->advice);
    put_seats(&json, advice);
    put_tests(&json, advice->advice.kind);
    put_cautions(&json);
    json_end_object(&json);
    *text = json.text;
}
