// The papers of a job are made.
#include "serve/work_kinds.h"

#include "plan/served_papers.h"

static bool run(WorkRun *run)
{
    const WorkOrder *order = run->order;
    const PapersAsked *asked = order->options;
    Derived derived;
    PapersMade made;
    if (!plan_derive_text(order->document.data, order->document.bytes, "job", run->keep,
                          run->scratch, &derived, run->problems) ||
        !plan_papers(&derived, asked, run->progress, run->keep, run->scratch, &made,
                     run->problems) ||
        !work_shelve(run, &made.files)) {
        return false;
    }
    plan_papers_json(&derived, asked, &made, &run->result);
    return true;
}

const WorkKind work_papers = {.name = "papers", .run = run};
