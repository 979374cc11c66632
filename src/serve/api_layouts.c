// Layouts that are kept with the version of the job that they belong to.
#include "serve/handlers.h"

#include "plan/laid.h"
#include "serve/work_kinds.h"
#include "store/keepsakes.h"

#include <string.h>

// 0: none.
#define LAYOUT_WANTED ((Whole){0, 1000000000, 0})

static void put_kept(Json *json, const Keepsake *kept)
{
    json_begin_object(json, NULL);
    json_int(json, "layout", kept->id);
    json_int(json, "job", kept->record);
    json_int(json, "version", kept->version);
    json_text(json, "name", kept->name);
    json_int(json, "kept_ms", kept->kept_ms);
    json_int(json, "bytes", (int64_t)kept->bytes);
    json_bool(json, "away", kept->away);
    json_end_object(json);
}

void answer_layouts(Desk *desk, const Request *request, Answer *answer)
{
    Record record;
    KeepsakeSearch search = {.kind = KEEPSAKE_LAYOUT};
    Keepsakes kept;
    if (!request_yes(request, "away", &search.away, desk->problems) ||
        !request_whole(request, "version", VERSION_WANTED, &search.version, desk->problems) ||
        !kept_job(desk, request, &record)) {
        answer_problems(desk, answer);
        return;
    }
    search.record = record.id;
    if (!keepsakes_find(desk->store, &search, desk->keep, &kept, desk->problems)) {
        answer_problems(desk, answer);
        return;
    }
    Json json = begin_list("layouts", desk->keep);
    for (int i = 0; i < kept.count; i++) {
        put_kept(&json, &kept.items[i]);
    }
    answer_list(&json, answer);
}

// Only what may be cut is kept; what is kept is written anew from what was understood.
static bool judged(Desk *desk, const Request *request, const Kept *kept, Text *text)
{
    Derived *derived = ARENA_NEW(desk->keep, Derived);
    PlanLaid laid;
    CutPlan plan;
    if (!plan_derive_text(kept->document.data, kept->document.bytes, "job", desk->keep,
                          desk->scratch, derived, desk->problems) ||
        !plan_laid_read(derived, body_of(request), false, desk->keep, desk->scratch, &laid,
                        desk->problems) ||
        !plan_laid_judged(&laid, desk->keep, desk->scratch, &plan, desk->problems)) {
        return false;
    }
    plan_laid_json(&laid, text);
    return true;
}

void answer_layout_keep(Desk *desk, const Request *request, Answer *answer)
{
    Kept kept;
    Text text = {.keep = desk->keep};
    const char *call = request_query(request, "call");
    int64_t instead = 0;
    if (!request_whole(request, "instead", LAYOUT_WANTED, &instead, desk->problems) ||
        !kept_read(desk, request, &kept) || !judged(desk, request, &kept, &text)) {
        answer_problems(desk, answer);
        return;
    }
    const NewKeepsake layout = {.kind = KEEPSAKE_LAYOUT,
                                .record = kept.record.id,
                                .version = kept.number,
                                .name = call ? call : "by hand",
                                .document = {text_string(&text), text.length}};
    int64_t id = 0;
    if (!keepsake_put_instead(desk->store, &layout, instead, &id, desk->problems)) {
        answer_problems(desk, answer);
        return;
    }
    Json json = {.text.keep = desk->keep};
    json_begin_object(&json, NULL);
    json_int(&json, "layout", id);
    json_int(&json, "version", kept.number);
    json_end_object(&json);
    answer_json(answer, 201, &json.text);
    answer->location = arena_text(desk->keep, "/api/layouts/%lld", (long long)id);
}

bool kept_layout(Desk *desk, const Kept *kept, Document *layout, int64_t *number)
{
    const KeepsakeSearch search = {
        .kind = KEEPSAKE_LAYOUT, .record = kept->record.id, .version = kept->number};
    Keepsakes found;
    if (!keepsakes_find(desk->store, &search, desk->keep, &found, desk->problems)) {
        return false;
    }
    *layout = (Document){0};
    if (number) {
        *number = found.count > 0 ? found.items[0].id : 0;
    }
    if (found.count > 0) {
        return keepsake_read(desk->store, found.items[0].id, desk->keep, layout, desk->problems);
    }
    const WorkOrder like = {.kind = &work_layout, .job = kept->record.id, .version = kept->number};
    const char *result = NULL;
    if (work_done(desk->works, &like, desk->keep, &result)) {
        *layout = (Document){result, strlen(result)};
    }
    return true;
}

void answer_layout_that_counts(Desk *desk, const Request *request, Answer *answer)
{
    Kept kept;
    Document layout;
    int64_t number = 0;
    if (!kept_read(desk, request, &kept) || !kept_layout(desk, &kept, &layout, &number)) {
        answer_problems(desk, answer);
        return;
    }
    Text text = {.keep = desk->keep};
    text_add(&text, "{\"layout\": %lld, \"laid\": ", (long long)number);
    if (layout.bytes > 0) {
        text_add_bytes(&text, layout.data, layout.bytes);
    } else {
        text_add(&text, "null");
    }
    text_add(&text, "}\n");
    answer_json(answer, 200, &text);
}

// Offers and pictures are asked for elsewhere.
static bool is_layout(Desk *desk, const Request *request)
{
    Keepsakes kept;
    const KeepsakeSearch search = {.kind = KEEPSAKE_LAYOUT, .id = request->number[0], .away = true};
    return keepsakes_find(desk->store, &search, desk->keep, &kept, desk->problems) &&
           (kept.count > 0 ||
            problems_say(desk->problems, PROBLEM_NOT_FOUND, "layout", "there is no layout %lld",
                         (long long)request->number[0]));
}

void answer_layout(Desk *desk, const Request *request, Answer *answer)
{
    Document document;
    if (!is_layout(desk, request) ||
        !keepsake_read(desk->store, request->number[0], desk->keep, &document, desk->problems)) {
        answer_problems(desk, answer);
        return;
    }
    *answer = (Answer){
        .status = 200, .type = "application/json", .bytes = document.data, .count = document.bytes};
}

void answer_layout_put_away(Desk *desk, const Request *request, Answer *answer)
{
    if (is_layout(desk, request) &&
        keepsake_put_away(desk->store, request->number[0], true, desk->problems)) {
        answer->status = 204;
    } else {
        answer_problems(desk, answer);
    }
}
