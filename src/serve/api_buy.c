// How much leather to ask for: begun here, watched and stopped like all long work.
#include "plan/served_buy.h"
#include "serve/handlers.h"
#include "serve/work_kinds.h"

#include <unistd.h>

bool request_buy_order(const Request *request, BuyOrder *order, Problems *problems)
{
    static const char *const names[] = {"grade",   "form",   "pieces",
                                        "comfort", "trials", "precision"};
    bool good = true;
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        const char *value = request_query(request, names[i]);
        const char *allowed = value ? plan_buy_option(names[i], value, order) : NULL;
        if (allowed) {
            good = request_refuse(names[i], value, allowed, problems);
        }
    }
    if (order->trials > 0 && order->precision > 0) {
        good = request_refuse("precision", request_query(request, "precision"),
                              "only one of trials and precision", problems);
    }
    order->threads = (int)sysconf(_SC_NPROCESSORS_ONLN);
    return good;
}

static bool read_question(const Request *request, BuyAsked *asked, Problems *problems)
{
    bool thrift = false;
    bool split = false;
    bool offers = !request_query(request, "offers");
    if (!request_yes(request, "thrift", &thrift, problems) ||
        !request_yes(request, "split", &split, problems) ||
        (!offers && !request_yes(request, "offers", &offers, problems))) {
        return false;
    }
    if (thrift && split) {
        return request_refuse("split", request_query(request, "split"),
                              "only one of thrift and split", problems);
    }
    asked->question = thrift ? BUY_THRIFT : split ? BUY_SPLIT : BUY_HOW_MUCH;
    asked->no_offers = !offers;
    return true;
}

void answer_buy(Desk *desk, const Request *request, Answer *answer)
{
    Kept kept;
    BuyAsked asked = {0};
    const bool understood = request_buy_order(request, &asked.order, desk->problems);
    if (!read_question(request, &asked, desk->problems) || !understood ||
        !kept_read(desk, request, &kept)) {
        answer_problems(desk, answer);
        return;
    }
    WorkOrder order;
    if (!work_order(&work_buying, kept.record.id, kept.number, kept.document, &order,
                    desk->problems)) {
        answer_problems(desk, answer);
        return;
    }
    BuyAsked *options = ARENA_NEW(order.keep, BuyAsked);
    *options = asked;
    options->order.grade = arena_copy_text(order.keep, asked.order.grade);
    order.options = options;
    answer_begun(desk, &order, answer);
}
