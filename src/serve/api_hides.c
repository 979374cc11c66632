// Hides of the workshop: lists, documents, saves, and what follows from them.
#include "serve/handlers.h"

#include "plan/served_hides.h"
#include "plan/workshop.h"

static bool kept_hide(Desk *desk, const Request *request, HideState *state)
{
    return hide_state(desk->store, request->number[0], desk->keep, state, desk->problems);
}

static void put_tables(Json *json, const OnTables *places, int64_t hide)
{
    json_begin_array(json, "on_tables");
    for (int i = 0; i < places->count; i++) {
        if (places->items[i].hide == hide) {
            json_begin_flat_object(json, NULL);
            json_int(json, "job", places->items[i].job);
            json_text(json, "called", places->items[i].called);
            json_end_object(json);
        }
    }
    json_end_array(json);
}

static void put_state(Json *json, const HideState *state, const OnTables *places)
{
    put_record(json, &state->record);
    json_int(json, "cut_by", state->cut_by);
    json_int(json, "cut_as", state->cut_as);
    json_int(json, "cut_ms", state->cut_ms);
    json_int(json, "left_of", state->left_of);
    json_int(json, "left_by", state->left_by);
    put_tables(json, places, state->record.id);
    json_end_object(json);
}

void answer_hide_states(Desk *desk, const HideStates *states, Answer *answer)
{
    OnTables places;
    if (!hides_on_tables(desk->store, 0, 0, desk->keep, &places, desk->problems)) {
        answer_problems(desk, answer);
        return;
    }
    Json json = begin_list("hides", desk->keep);
    for (int i = 0; i < states->count; i++) {
        put_state(&json, &states->items[i], &places);
    }
    answer_list(&json, answer);
}

void answer_hides(Desk *desk, const Request *request, Answer *answer)
{
    bool all = false;
    HideStates states;
    if (request_yes(request, "all", &all, desk->problems) &&
        hides_list(desk->store, all ? HIDES_ALL : HIDES_AT_HAND, desk->keep, &states,
                   desk->problems)) {
        answer_hide_states(desk, &states, answer);
    } else {
        answer_problems(desk, answer);
    }
}

void answer_hide_remnants(Desk *desk, const Request *request, Answer *answer)
{
    HideState state;
    HideStates remnants;
    if (kept_hide(desk, request, &state) &&
        hide_remnants(desk->store, state.record.id, desk->keep, &remnants, desk->problems)) {
        answer_hide_states(desk, &remnants, answer);
    } else {
        answer_problems(desk, answer);
    }
}

// Where a hide stands, after whatever was done with it.
static void answer_state(Desk *desk, int64_t id, int status, Answer *answer)
{
    HideState state;
    OnTables places;
    if (!hide_state(desk->store, id, desk->keep, &state, desk->problems) ||
        !hides_on_tables(desk->store, 0, id, desk->keep, &places, desk->problems)) {
        answer_problems(desk, answer);
        return;
    }
    Json json = {.text.keep = desk->keep};
    put_state(&json, &state, &places);
    answer_json(answer, status, &json.text);
    answer->etag = version_etag(state.record.present, desk->keep);
}

void answer_hide(Desk *desk, const Request *request, Answer *answer)
{
    answer_state(desk, request->number[0], 200, answer);
}

static bool may_be_kept(Desk *desk, const Request *request)
{
    return plan_hide_may_be_kept(request->body, request->body_bytes, desk->keep, desk->scratch,
                                 desk->problems);
}

void answer_hide_begin(Desk *desk, const Request *request, Answer *answer)
{
    int64_t id = 0;
    if (!may_be_kept(desk, request) ||
        !record_begin(desk->store, RECORD_HIDE, body_of(request), &id, desk->problems)) {
        answer_problems(desk, answer);
        return;
    }
    answer_state(desk, id, 201, answer);
    answer->location = arena_text(desk->keep, "/api/hides/%lld", (long long)id);
}

static bool read_present(Desk *desk, const Request *request, HideState *state, Document *document)
{
    return kept_hide(desk, request, state) &&
           record_read(desk->store, state->record.id, state->record.present, desk->keep, document,
                       desk->problems);
}

void answer_hide_document(Desk *desk, const Request *request, Answer *answer)
{
    HideState state;
    Document document;
    Record job;
    int64_t wanted = 0; // the job whose units it is to be in
    bool good = request_whole(request, "job", RECORD_WANTED, &wanted, desk->problems) &&
                read_present(desk, request, &state, &document);
    if (good && wanted > 0) {
        const Request of_job = {.number = {wanted}};
        good = kept_job(desk, &of_job, &job) &&
               workshop_hide_for(desk->store, state.record.id, &job, desk->keep, &document,
                                 desk->problems);
    }
    if (!good) {
        answer_problems(desk, answer);
        return;
    }
    *answer = (Answer){.status = 200,
                       .type = "application/json",
                       .etag = version_etag(state.record.present, desk->keep),
                       .bytes = document.data,
                       .count = document.bytes};
}

void answer_hide_facts(Desk *desk, const Request *request, Answer *answer)
{
    HideState state;
    Document document;
    Text json = {.keep = desk->keep};
    if (!read_present(desk, request, &state, &document) ||
        !plan_hide_document_facts_json(document.data, document.bytes, desk->keep, desk->scratch,
                                       &json, desk->problems)) {
        answer_problems(desk, answer);
        return;
    }
    answer_json(answer, 200, &json);
    answer->etag = version_etag(state.record.present, desk->keep);
}

bool hide_is_whole(Desk *desk, const HideState *state)
{
    return state->cut_by == 0 ||
           problems_add(desk->problems,
                        (Problem){.kind = PROBLEM_CONFLICT,
                                  .where = "hide",
                                  .found = arena_text(desk->keep, "it has been cut, for job %lld",
                                                      (long long)state->cut_by),
                                  .remedy = "what was left of it are hides of their own"});
}

void answer_hide_save(Desk *desk, const Request *request, Answer *answer)
{
    HideState state;
    Save save = {.record = request->number[0],
                 .document = body_of(request),
                 .name = request_query(request, "call")};
    int64_t present = 0;
    if (!kept_hide(desk, request, &state)) {
        answer_problems(desk, answer);
    } else if (kept_based_on(desk, request, &save.based_on, answer)) {
        if (hide_is_whole(desk, &state) && may_be_kept(desk, request) &&
            record_save(desk->store, &save, &present, desk->problems)) {
            answer_state(desk, save.record, 200, answer);
        } else {
            answer_not_changed(desk, present, answer);
        }
    }
}

static void put_away(Desk *desk, const Request *request, bool away, Answer *answer)
{
    HideState state;
    if (kept_hide(desk, request, &state) &&
        record_put_away(desk->store, state.record.id, away, desk->problems)) {
        answer_state(desk, state.record.id, 200, answer);
    } else {
        answer_problems(desk, answer);
    }
}

void answer_hide_put_away(Desk *desk, const Request *request, Answer *answer)
{
    put_away(desk, request, true, answer);
}

void answer_hide_take_out(Desk *desk, const Request *request, Answer *answer)
{
    put_away(desk, request, false, answer);
}
