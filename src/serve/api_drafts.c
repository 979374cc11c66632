// What follows from a job: of a draft that is not kept, as it is typed, or of a kept version.
#include "serve/handlers.h"

#include "plan/served_hides.h"

// A job's text, from the body or from the workshop file.
static bool derive(Desk *desk, const char *text, size_t bytes, Derived *derived)
{
    return plan_derive_text(text, bytes, "job", desk->keep, desk->scratch, derived, desk->problems);
}

static void put_derived(Desk *desk, const char *text, size_t bytes, Answer *answer)
{
    Derived derived;
    (void)derive(desk, text, bytes, &derived); // its mistakes are the answer
    Text json = {.keep = desk->keep};
    plan_derived_json(&derived, desk->problems, &json);
    answer_json(answer, 200, &json);
}

static void put_advice(Desk *desk, const char *text, size_t bytes, Answer *answer)
{
    Derived derived;
    if (!derive(desk, text, bytes, &derived)) {
        answer_problems(desk, answer);
        return;
    }
    const PlanAdvice advice = plan_advise(&derived, desk->keep);
    Text json = {.keep = desk->keep};
    plan_advice_json(&derived, &advice, &json);
    answer_json(answer, 200, &json);
}

void answer_check(Desk *desk, const Request *request, Answer *answer)
{
    Derived derived;
    (void)derive(desk, request->body, request->body_bytes, &derived);
    Text json = {.keep = desk->keep};
    plan_check_json(desk->problems, &json);
    answer_json(answer, 200, &json);
}

void answer_derive(Desk *desk, const Request *request, Answer *answer)
{
    put_derived(desk, request->body, request->body_bytes, answer);
}

void answer_derive_hide(Desk *desk, const Request *request, Answer *answer)
{
    static const Whole which = {0, JOB_HIDES_MAX - 1, 0};
    int64_t hide = 0;
    Text json = {.keep = desk->keep};
    if (request_whole(request, "hide", which, &hide, desk->problems) &&
        plan_job_hide_facts_json(request->body, request->body_bytes, (int)hide, desk->keep,
                                 desk->scratch, &json, desk->problems)) {
        answer_json(answer, 200, &json);
    } else {
        answer_problems(desk, answer);
    }
}

void answer_stroke(Desk *desk, const Request *request, Answer *answer)
{
    Text json = {.keep = desk->keep};
    if (plan_stroke_json(request->body, request->body_bytes, desk->keep, desk->scratch, &json,
                         desk->problems)) {
        answer_json(answer, 200, &json);
    } else {
        answer_problems(desk, answer);
    }
}

void answer_advise(Desk *desk, const Request *request, Answer *answer)
{
    put_advice(desk, request->body, request->body_bytes, answer);
}

static void of_kept(Desk *desk, const Request *request,
                    void (*put)(Desk *desk, const char *text, size_t bytes, Answer *answer),
                    Answer *answer)
{
    Kept kept;
    if (!kept_read(desk, request, &kept)) {
        answer_problems(desk, answer);
    } else {
        put(desk, kept.document.data, kept.document.bytes, answer);
        answer->etag = kept.etag;
    }
}

void answer_job_derived(Desk *desk, const Request *request, Answer *answer)
{
    of_kept(desk, request, put_derived, answer);
}

void answer_job_advice(Desk *desk, const Request *request, Answer *answer)
{
    of_kept(desk, request, put_advice, answer);
}
