// Long work: begin, look, watch, stop.
#include "serve/handlers.h"
#include "serve/work_kinds.h"

#include "job/fields.h"

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

// The options of a search, from the query, and placements to begin with, from the body.
static bool read_lay(Desk *desk, const Request *request, int64_t *times, LayWork *options)
{
    enum { TIMES_MAX = 100, SECONDS_MAX = 3600 };
    int64_t seed = 0;
    if (!request_whole(request, "times", (Whole){1, TIMES_MAX, *times}, times, desk->problems) ||
        !request_whole(request, "seconds", (Whole){1, SECONDS_MAX, 0}, &options->seconds,
                       desk->problems) ||
        !request_whole(request, "seed", (Whole){1, (int64_t)JOB_SEED_MAX, 0}, &seed,
                       desk->problems)) {
        return false;
    }
    options->seed = (uint64_t)seed;
    return true;
}

static void begin_laying(Desk *desk, const Request *request, const WorkKind *kind,
                         const LayWork *options, Answer *answer)
{
    Kept kept;
    WorkOrder order;
    if (!kept_read(desk, request, &kept) ||
        !work_order(kind, kept.record.id, kept.number, kept.document, &order, desk->problems)) {
        answer_problems(desk, answer);
        return;
    }
    LayWork *own = ARENA_NEW(order.keep, LayWork);
    *own = *options;
    if (request->body_bytes > 0) {
        char *copy = arena_alloc(order.keep, request->body_bytes + 1, 1);
        memcpy(copy, request->body, request->body_bytes);
        own->from = (Document){copy, request->body_bytes};
    }
    order.options = own;
    order.plain = options->times == 1 && options->seconds == 0 && options->seed == 0 &&
                  request->body_bytes == 0;
    answer_begun(desk, &order, answer);
}

void answer_lay(Desk *desk, const Request *request, Answer *answer)
{
    LayWork options = {0};
    int64_t times = 1;
    if (!read_lay(desk, request, &times, &options)) {
        answer_problems(desk, answer);
        return;
    }
    options.times = (double)times;
    begin_laying(desk, request, &work_layout, &options, answer);
}

void answer_fit(Desk *desk, const Request *request, Answer *answer)
{
    LayWork options = {.times = 1};
    int64_t times = 8; // as `lay --fit`
    if (!read_lay(desk, request, &times, &options)) {
        answer_problems(desk, answer);
        return;
    }
    options.fit_times = (double)times;
    begin_laying(desk, request, &work_fit, &options, answer);
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
