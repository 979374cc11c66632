// Hides on the tables of jobs: which hide of the workshop a job's hide is, to and fro.
#include "serve/handlers.h"

#include "plan/workshop.h"

static void answer_states(Desk *desk, const Record *job, Answer *answer)
{
    JobHideStates states;
    if (!workshop_job_hides(desk->store, job, desk->keep, &states, desk->problems)) {
        answer_problems(desk, answer);
        return;
    }
    Json json = {.text.keep = desk->keep};
    json_begin_object(&json, NULL);
    json_int(&json, "version", job->present);
    json_begin_array(&json, "hides");
    for (int i = 0; i < states.count; i++) {
        const JobHideState *state = &states.items[i];
        json_begin_flat_object(&json, NULL);
        json_text(&json, "called", state->name);
        json_int(&json, "hide", state->kept);
        json_bool(&json, "same", state->same);
        json_int(&json, "cut_by", state->state.cut_by);
        json_int(&json, "left_of", state->state.left_of);
        json_end_object(&json);
    }
    answer_list(&json, answer);
    answer->etag = version_etag(job->present, desk->keep);
}

void answer_job_hides(Desk *desk, const Request *request, Answer *answer)
{
    Record job;
    if (kept_job(desk, request, &job)) {
        answer_states(desk, &job, answer);
    } else {
        answer_problems(desk, answer);
    }
}

// The job as the caller saw it: what is done is done with that version or not at all.
static bool seen_job(Desk *desk, const Request *request, Record *job, Answer *answer)
{
    int64_t seen = 0;
    if (!kept_job(desk, request, job)) {
        answer_problems(desk, answer);
        return false;
    }
    if (!kept_based_on(desk, request, &seen, answer)) {
        return false;
    }
    if (seen == job->present) {
        return true;
    }
    (void)problems_say(desk->problems, PROBLEM_CONFLICT, "If-Match",
                       "version %lld is not the present one", (long long)seen);
    answer_not_changed(desk, job->present, answer);
    return false;
}

void answer_job_hides_keep(Desk *desk, const Request *request, Answer *answer)
{
    Record job;
    int begun = 0;
    if (!seen_job(desk, request, &job, answer)) {
        return;
    }
    if (workshop_keep_hides(desk->store, &job, desk->keep, &begun, desk->problems)) {
        answer_states(desk, &job, answer);
    } else {
        answer_problems(desk, answer);
    }
}

void answer_job_hides_take(Desk *desk, const Request *request, Answer *answer)
{
    Record job;
    HideState hide;
    int64_t number = 0;
    int64_t present = 0;
    if (!seen_job(desk, request, &job, answer)) {
        return;
    }
    if (request_whole(request, "hide", RECORD_WANTED, &number, desk->problems) &&
        hide_state(desk->store, number, desk->keep, &hide, desk->problems) &&
        workshop_take(desk->store, &job, &hide.record, desk->keep, &present, desk->problems)) {
        answer_job_state(desk, job.id, 200, answer);
    } else {
        answer_problems(desk, answer);
    }
}

void answer_job_hide_give(Desk *desk, const Request *request, Answer *answer)
{
    Record job;
    HideState state;
    const char *called = request_query(request, "called");
    if (!called || !*called) {
        answer_refuse(desk, 400, "called", "it is missing", "what the job calls the hide", answer);
        return;
    }
    const OnTable place = {request->number[0], request->number[1], called};
    if (!kept_job(desk, request, &job) ||
        !hide_state(desk->store, place.hide, desk->keep, &state, desk->problems) ||
        !hide_is_whole(desk, &state) || !hide_put_on_table(desk->store, &place, desk->problems)) {
        answer_problems(desk, answer);
        return;
    }
    answer->status = 204;
}

void answer_job_hide_off(Desk *desk, const Request *request, Answer *answer)
{
    Record job;
    if (kept_job(desk, request, &job) &&
        hide_take_off_table(desk->store, job.id, request->number[1], desk->problems)) {
        answer->status = 204;
    } else {
        answer_problems(desk, answer);
    }
}

void answer_job_cut(Desk *desk, const Request *request, Answer *answer)
{
    Record job;
    CutReport *report = ARENA_NEW(desk->keep, CutReport);
    if (!seen_job(desk, request, &job, answer)) {
        return;
    }
    if (workshop_cut_as_laid(desk->store, &job, body_of(request), desk->keep, desk->scratch, report,
                             desk->problems)) {
        const HideStates left = {report->remnants, report->remnant_count};
        answer_hide_states(desk, &left, answer);
    } else {
        answer_problems(desk, answer);
    }
}
