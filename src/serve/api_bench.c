// The work at the bench: its steps, and which of them are done.
#include "plan/laid.h"
#include "plan/served_bench.h"
#include "serve/clock.h"
#include "serve/handlers.h"

void answer_bench(Desk *desk, const Request *request, Answer *answer)
{
    Kept kept;
    Document layout;
    Derived derived;
    CutPlan plan;
    if (!kept_read(desk, request, &kept) || !kept_layout(desk, &kept, &layout, NULL)) {
        answer_problems(desk, answer);
        return;
    }
    if (layout.bytes == 0) {
        answer_refuse(desk, 409, "layout", "this version of the job has not been laid yet",
                      "a layout that was kept or found: POST to lay looks for one", answer);
        return;
    }
    if (!plan_derive_text(kept.document.data, kept.document.bytes, "job", desk->keep, desk->scratch,
                          &derived, desk->problems) ||
        !plan_laid(&derived, layout, desk->keep, desk->scratch, &plan, desk->problems)) {
        answer_problems(desk, answer);
        return;
    }
    Text text = {.keep = desk->keep};
    plan_bench_json(&derived, &plan, desk->scratch, &text);
    answer_json(answer, 200, &text);
}

static void answer_all(Desk *desk, int64_t job, Answer *answer)
{
    Ticks ticks;
    if (!ticks_list(desk->store, job, desk->keep, &ticks, desk->problems)) {
        answer_problems(desk, answer);
        return;
    }
    Text text = {.keep = desk->keep};
    plan_ticks_json(ticks, date_ms(), &text);
    answer_json(answer, 200, &text);
}

void answer_ticks(Desk *desk, const Request *request, Answer *answer)
{
    Record record;
    if (!kept_job(desk, request, &record)) {
        answer_problems(desk, answer);
        return;
    }
    answer_all(desk, record.id, answer);
}

void answer_tick(Desk *desk, const Request *request, Answer *answer)
{
    Record record;
    Ticks ticks;
    if (!kept_job(desk, request, &record) ||
        !plan_ticks_read(body_of(request), desk->keep, &ticks, desk->problems) ||
        !ticks_put(desk->store, record.id, ticks, desk->problems)) {
        answer_problems(desk, answer);
        return;
    }
    answer_all(desk, record.id, answer);
}
