// How much leather to ask for is tried.
#include "serve/work_kinds.h"

#include "plan/served_buy.h"

#include <string.h>

static void on_sharper(void *context, const char *json)
{
    work_better(context, json);
}

static bool run(WorkRun *run)
{
    const WorkOrder *order = run->order;
    const BuyWatch watch = {on_sharper, run, run->progress};
    Derived derived;
    BuyServed served;
    if (!plan_derive_text(order->document.data, order->document.bytes, "job", run->keep,
                          run->scratch, &derived, run->problems) ||
        !plan_buy_served(&derived, order->options, &watch, run->keep, run->scratch, &served,
                         run->problems)) {
        return false;
    }
    text_add_bytes(&run->result, served.json, strlen(served.json));
    run->stopped = served.stopped;
    return true;
}

const WorkKind work_buying = {.name = "buying", .so_far = "curve", .run = run};
