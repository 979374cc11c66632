// Long work: begin, look, watch, stop.
#include "serve/handlers.h"
#include "serve/work_kinds.h"

#include <string.h>

static void answer_news(Desk *desk, const WorkNews *news, int status, Answer *answer)
{
    Text text = {.keep = desk->keep};
    const ServedWork work = work_served(news);
    plan_work_json(&work, &text);
    answer_json(answer, status, &text);
}

static bool find_work(Desk *desk, const Request *request, WorkText text, WorkNews *news,
                      Answer *answer)
{
    if (work_news(desk->works, request->number[0], text, desk->keep, news)) {
        return true;
    }
    answer_refuse(desk, 404, "work",
                  arena_text(desk->keep, "there is no work %lld", (long long)request->number[0]),
                  "one of the last 32", answer);
    return false;
}

void answer_begun(Desk *desk, const WorkOrder *order, Answer *answer)
{
    int64_t id = 0;
    WorkNews news;
    if (!work_begin(desk->works, order, &id, desk->problems) ||
        !work_news(desk->works, id, WORK_NO_TEXT, desk->keep, &news)) {
        answer_problems_as(desk, 503, answer);
        answer->retry_s = 5;
        return;
    }
    answer_news(desk, &news, 202, answer);
    answer->location = arena_text(desk->keep, "/api/work/%lld", (long long)id);
}

void answer_lay(Desk *desk, const Request *request, Answer *answer)
{
    enum { TIMES_MAX = 100 };
    Kept kept;
    int64_t times = 1;
    if (!request_whole(request, "times", (Whole){1, TIMES_MAX, 1}, &times, desk->problems) ||
        !kept_read(desk, request, &kept)) {
        answer_problems(desk, answer);
        return;
    }
    WorkOrder order;
    if (!work_order(&work_layout, kept.record.id, kept.number, kept.document, &order,
                    desk->problems)) {
        answer_problems(desk, answer);
        return;
    }
    LayWork *options = ARENA_NEW(order.keep, LayWork);
    options->times = (double)times;
    order.options = options;
    order.plain = times == 1;
    answer_begun(desk, &order, answer);
}

void answer_works(Desk *desk, const Request *request, Answer *answer)
{
    (void)request;
    WorkNews news[WORKS_KEPT];
    const int count = works_list(desk->works, desk->keep, news, WORKS_KEPT);
    Text text = {.keep = desk->keep};
    ServedWork works[WORKS_KEPT];
    for (int i = 0; i < count; i++) {
        works[i] = work_served(&news[i]);
    }
    plan_works_json(works, count, &text);
    answer_json(answer, 200, &text);
}

void answer_work(Desk *desk, const Request *request, Answer *answer)
{
    WorkNews news;
    if (find_work(desk, request, WORK_NO_TEXT, &news, answer)) {
        answer_news(desk, &news, 200, answer);
    }
}

void answer_work_stop(Desk *desk, const Request *request, Answer *answer)
{
    WorkNews news;
    if (find_work(desk, request, WORK_NO_TEXT, &news, answer)) {
        (void)work_stop(desk->works, news.id);
        answer_news(desk, &news, 202, answer);
    }
}

static void answer_text(Answer *answer, int status, const char *type, const char *json)
{
    answer->status = status;
    answer->type = type;
    answer->bytes = json;
    answer->count = strlen(json);
}

// The best so far, of work that tells it by this name.
static void answer_so_far(Desk *desk, const Request *request, const char *name, Answer *answer)
{
    WorkNews news;
    if (!find_work(desk, request, WORK_SO_FAR, &news, answer)) {
        return;
    }
    if (!news.so_far || strcmp(news.kind->so_far, name) != 0) {
        answer_refuse(desk, 404, name, "none was found yet", NULL, answer);
        return;
    }
    answer_text(answer, 200, "application/json", news.so_far);
}

void answer_work_layout(Desk *desk, const Request *request, Answer *answer)
{
    answer_so_far(desk, request, "layout", answer);
}

void answer_work_curve(Desk *desk, const Request *request, Answer *answer)
{
    answer_so_far(desk, request, "curve", answer);
}

void answer_work_result(Desk *desk, const Request *request, Answer *answer)
{
    WorkNews news;
    if (!find_work(desk, request, WORK_RESULT, &news, answer)) {
        return;
    }
    if (!news.result) {
        answer_refuse(desk, 409, "work", "it has not ended", NULL, answer);
        return;
    }
    answer_text(answer, news.status,
                news.status == 200 ? "application/json" : "application/problem+json", news.result);
}

void answer_events(Desk *desk, const Request *request, Answer *answer)
{
    WorkNews news;
    if (find_work(desk, request, WORK_NO_TEXT, &news, answer)) {
        answer->status = 200;
        answer->type = "text/event-stream";
        answer->watched = news.id;
    }
}
