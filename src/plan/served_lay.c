// Layouts that are watched while they are looked for.
#include "plan/laid.h"
#include "plan/put.h"
#include "plan/served.h"

// What a layout in the making is told with.
typedef struct Telling {
    const Derived *derived;
    const LayWatch *watch;
} Telling;

enum { TOLD_BYTES_MAX = 64 << 20 };

// On whatever thread found it, so in memory of its own.
static void tell_improved(void *context, const Layout *layout)
{
    const Telling *telling = context;
    Arena *keep = arena_create("improved layout", TOLD_BYTES_MAX);
    if (!keep) {
        return; // the next one may be told
    }
    Json json = {.text.keep = keep};
    json_begin_object(&json, NULL);
    json_begin_array(&json, "placements");
    for (int i = 0; i < layout->count; i++) {
        put_laid(&json, telling->derived, &layout->placements[i]);
    }
    json_end_array(&json);
    json_end_object(&json);
    telling->watch->improved(telling->watch->context, text_string(&json.text));
    arena_destroy(keep);
}

// Where the search begins, as far as somebody said.
static bool begin_from(const Derived *derived, const LayWatch *watch, LayoutOptions *search,
                       Arena *keep, Arena *scratch, Problems *problems)
{
    PlanLaid laid;
    if (!watch->from.data) {
        return true;
    }
    if (!plan_laid_read(derived, watch->from, false, keep, scratch, &laid, problems) ||
        !plan_locked_may_stay(&laid, scratch, problems)) {
        return false;
    }
    search->start = laid.placements;
    search->start_count = laid.count;
    return true;
}

bool plan_lay_watched(const Derived *derived, const LayWatch *watch, const Progress *progress,
                      Arena *keep, Arena *scratch, CutPlan *plan, Problems *problems)
{
    Telling telling = {derived, watch};
    Derived watched = *derived;
    LayoutOptions *search = &watched.job.search;
    search->work = (search->work > 0 ? search->work : 1) * (watch->times > 0 ? watch->times : 1);
    search->seed = watch->seed > 0 ? watch->seed : search->seed;
    if (watch->improved) {
        search->improved = tell_improved;
        search->improved_context = &telling;
    }
    return begin_from(&watched, watch, search, keep, scratch, problems) &&
           plan_lay(&watched, progress, keep, scratch, plan, problems);
}

static void put_work(Json *json, const ServedWork *work)
{
    json_begin_object(json, NULL);
    json_int(json, "work", work->id);
    json_text(json, "kind", work->kind);
    json_int(json, "job", work->job);
    json_int(json, "version", work->version);
    json_text(json, "state", work->state);
    json_text(json, "what", work->what);
    json_rounded(json, "share", work->share, 4);
    json_int(json, "begun_ms", work->begun_ms);
    json_int(json, "improvements", work->improvements);
    json_end_object(json);
}

void plan_work_json(const ServedWork *work, Text *text)
{
    Json json = {.text = *text};
    put_work(&json, work);
    *text = json.text;
}

void plan_works_json(const ServedWork *works, int count, Text *text)
{
    Json json = {.text = *text};
    json_begin_object(&json, NULL);
    json_begin_array(&json, "works");
    for (int i = 0; i < count; i++) {
        put_work(&json, &works[i]);
    }
    json_end_array(&json);
    json_end_object(&json);
    *text = json.text;
}
