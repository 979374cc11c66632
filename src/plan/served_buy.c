#include "plan/served_buy.h"

#include "plan/buy_split.h"
#include "plan/buy_thrift.h"

enum { TOLD_BYTES_MAX = 64 << 20 };

// What the answer so far is told with.
typedef struct Telling {
    const Derived *derived;
    const BuyWatch *watch;
    const BuyAnswer *answer; ///< its order is known before the first trial
} Telling;

static void tell_sharper(void *context, const StudyAnswer *so_far)
{
    const Telling *telling = context;
    Arena *keep = arena_create("sharper curve", TOLD_BYTES_MAX);
    if (!keep) {
        return; // the next one may be told
    }
    BuyAnswer *told = ARENA_NEW(keep, BuyAnswer);
    *told = *telling->answer;
    told->study = *so_far;
    Text text = {.keep = keep};
    plan_buy_json(telling->derived, told, NULL, &text);
    telling->watch->sharper(telling->watch->context, text_string(&text));
    arena_destroy(keep);
}

typedef struct Serving {
    const Derived *derived;
    const BuyAsked *asked;
    const BuyWatch *watch;
    Arena *keep;
    Arena *scratch;
    Problems *problems;
} Serving;

static bool serve_area(const Serving *serving, BuyServed *served)
{
    const bool alone = serving->asked->no_offers;
    BuyAnswer *answer = ARENA_NEW(serving->keep, BuyAnswer);
    const Telling telling = {serving->derived, serving->watch, answer};
    // The watch only reads it.
    union {
        const Telling *telling;
        void *context;
    } told = {&telling};
    const StudyWatch watch = {tell_sharper, told.context};
    BuyOrder order = serving->asked->order;
    order.watch = serving->watch->sharper ? &watch : NULL;
    ProgressPart part = {.whole = serving->watch->progress, .to = alone ? 1 : BUY_STUDY_SHARE};
    const Progress reports = {progress_report_part, &part};
    if (!plan_buy(serving->derived, &order, &reports, serving->keep, serving->scratch, answer,
                  serving->problems)) {
        return false;
    }
    BuyBeside beside = {.stopped = answer->study.stopped};
    part.from = part.to;
    part.to = 1;
    if (!alone && !beside.stopped &&
        !plan_buy_beside(serving->derived, answer, &reports, serving->keep, serving->scratch,
                         &beside, serving->problems)) {
        return false;
    }
    Text text = {.keep = serving->keep};
    plan_buy_json(serving->derived, answer, &beside, &text);
    *served = (BuyServed){text_string(&text), beside.stopped};
    return true;
}

static bool serve_thrift(const Serving *serving, BuyServed *served)
{
    BuyThrift *thrift = ARENA_NEW(serving->keep, BuyThrift);
    if (!plan_buy_thrift(serving->derived, &serving->asked->order, serving->watch->progress,
                         serving->keep, serving->scratch, thrift, serving->problems)) {
        return false;
    }
    Text text = {.keep = serving->keep};
    plan_buy_thrift_json(serving->derived, thrift, &text);
    *served = (BuyServed){text_string(&text), thrift->answer.stopped};
    return true;
}

static bool serve_split(const Serving *serving, BuyServed *served)
{
    BuySplit *split = ARENA_NEW(serving->keep, BuySplit);
    if (!plan_buy_split(serving->derived, &serving->asked->order, serving->watch->progress,
                        serving->keep, serving->scratch, split, serving->problems)) {
        return false;
    }
    Text text = {.keep = serving->keep};
    plan_buy_split_json(serving->derived, split, &text);
    *served = (BuyServed){text_string(&text), split->stopped};
    return true;
}

bool plan_buy_served(const Derived *derived, const BuyAsked *asked, const BuyWatch *watch,
                     Arena *keep, Arena *scratch, BuyServed *served, Problems *problems)
{
    const Serving serving = {derived, asked, watch, keep, scratch, problems};
    switch (asked->question) {
    case BUY_THRIFT:
        return serve_thrift(&serving, served);
    case BUY_SPLIT:
        return serve_split(&serving, served);
    case BUY_HOW_MUCH:
        break;
    }
    return serve_area(&serving, served);
}
