// Jobs in the workshop file: lists, documents, saves.
#include "serve/handlers.h"

#include <string.h>

void answer_jobs(Desk *desk, const Request *request, Answer *answer)
{
    RecordSearch search = {.kind = RECORD_JOB, .words = request_query(request, "words")};
    Records records;
    if (!request_yes(request, "away", &search.away, desk->problems) ||
        !records_find(desk->store, &search, desk->keep, &records, desk->problems)) {
        answer_problems(desk, answer);
        return;
    }
    Json json = begin_list("jobs", desk->keep);
    for (int i = 0; i < records.count; i++) {
        put_record(&json, &records.items[i]);
        json_end_object(&json);
    }
    answer_list(&json, answer);
}

void answer_job_state(Desk *desk, int64_t id, int status, Answer *answer)
{
    Record record;
    if (!record_get(desk->store, id, desk->keep, &record, desk->problems)) {
        answer_problems(desk, answer);
        return;
    }
    Json json = {.text.keep = desk->keep};
    put_record(&json, &record);
    json_end_object(&json);
    answer_json(answer, status, &json.text);
    answer->etag = version_etag(record.present, desk->keep);
}

void answer_job(Desk *desk, const Request *request, Answer *answer)
{
    Record record;
    if (!kept_job(desk, request, &record)) {
        answer_problems(desk, answer);
        return;
    }
    answer_job_state(desk, record.id, 200, answer);
}

// A body that is no JSON is not kept: everything that reads a job could not even begin.
static bool may_be_kept(Desk *desk, const Request *request, Answer *answer)
{
    if (plan_may_be_kept(request->body, request->body_bytes, desk->scratch, desk->problems)) {
        return true;
    }
    answer_problems(desk, answer);
    return false;
}

void answer_job_begin(Desk *desk, const Request *request, Answer *answer)
{
    int64_t id = 0;
    if (!may_be_kept(desk, request, answer)) {
        return;
    }
    if (!record_begin(desk->store, RECORD_JOB, body_of(request), &id, desk->problems)) {
        answer_problems(desk, answer);
        return;
    }
    answer_job_state(desk, id, 201, answer);
    answer->location = arena_text(desk->keep, "/api/jobs/%lld", (long long)id);
}

void answer_document(Desk *desk, const Request *request, Answer *answer)
{
    Kept kept;
    if (!kept_read(desk, request, &kept)) {
        answer_problems(desk, answer);
        return;
    }
    *answer = (Answer){.status = 200,
                       .type = "application/json",
                       .etag = kept.etag,
                       .bytes = kept.document.data,
                       .count = kept.document.bytes};
}

// Where a job stands after a change, or why there was none.
static void answer_change(Desk *desk, const Request *request, bool done, int64_t present,
                          Answer *answer)
{
    if (done) {
        answer_job_state(desk, request->number[0], 200, answer);
    } else {
        answer_not_changed(desk, present, answer);
    }
}

// A job that is there and the version that the caller saw.
static bool begin_change(Desk *desk, const Request *request, int64_t *version, Answer *answer)
{
    Record record;
    if (!kept_job(desk, request, &record)) {
        answer_problems(desk, answer);
        return false;
    }
    return kept_based_on(desk, request, version, answer);
}

void answer_save(Desk *desk, const Request *request, Answer *answer)
{
    Save save = {.record = request->number[0],
                 .document = body_of(request),
                 .name = request_query(request, "call")};
    int64_t present = 0;
    if (begin_change(desk, request, &save.based_on, answer) && may_be_kept(desk, request, answer)) {
        const bool done = record_save(desk->store, &save, &present, desk->problems);
        answer_change(desk, request, done, present, answer);
    }
}

void answer_save_beside(Desk *desk, const Request *request, Answer *answer)
{
    Save save = {.record = request->number[0],
                 .document = body_of(request),
                 .name = request_query(request, "call")};
    int64_t number = 0;
    if (!begin_change(desk, request, &save.based_on, answer) ||
        !may_be_kept(desk, request, answer)) {
        return;
    }
    if (!record_save_beside(desk->store, &save, &number, desk->problems)) {
        answer_problems(desk, answer);
        return;
    }
    Json json = {.text.keep = desk->keep};
    json_begin_object(&json, NULL);
    json_int(&json, "version", number);
    json_end_object(&json);
    answer_json(answer, 201, &json.text);
    answer->location = arena_text(desk->keep, "/api/jobs/%lld/document?version=%lld",
                                  (long long)save.record, (long long)number);
}

void answer_put_away(Desk *desk, const Request *request, Answer *answer)
{
    Record record;
    const bool done = kept_job(desk, request, &record) &&
                      record_put_away(desk->store, record.id, true, desk->problems);
    answer_change(desk, request, done, 0, answer);
}

void answer_take_out(Desk *desk, const Request *request, Answer *answer)
{
    Record record;
    const bool done = kept_job(desk, request, &record) &&
                      record_put_away(desk->store, record.id, false, desk->problems);
    answer_change(desk, request, done, 0, answer);
}

static void step(Desk *desk, const Request *request,
                 bool (*move)(Store *store, int64_t record, int64_t at, int64_t *present,
                              Problems *problems),
                 Answer *answer)
{
    int64_t at = 0;
    int64_t present = 0;
    if (begin_change(desk, request, &at, answer)) {
        const bool done = move(desk->store, request->number[0], at, &present, desk->problems);
        answer_change(desk, request, done, present, answer);
    }
}

void answer_undo(Desk *desk, const Request *request, Answer *answer)
{
    step(desk, request, history_undo, answer);
}

void answer_redo(Desk *desk, const Request *request, Answer *answer)
{
    step(desk, request, history_redo, answer);
}

void answer_go(Desk *desk, const Request *request, Answer *answer)
{
    Jump jump = {0};
    int64_t present = 0;
    if (!request_whole(request, "version", VERSION_WANTED, &jump.to, desk->problems)) {
        answer_problems_as(desk, 400, answer);
    } else if (jump.to == 0) {
        answer_refuse(desk, 400, "version", "it is missing", "the version to go to", answer);
    } else if (begin_change(desk, request, &jump.at, answer)) {
        const bool done =
            history_go(desk->store, request->number[0], jump, &present, desk->problems);
        answer_change(desk, request, done, present, answer);
    }
}

static void put_version(Json *json, const Version *version)
{
    json_begin_object(json, NULL);
    json_int(json, "version", version->number);
    json_int(json, "base", version->base);
    json_int(json, "redo", version->again);
    json_int(json, "saved_ms", version->saved_ms);
    json_text(json, "call", version->name);
    json_text(json, "name", version->title);
    json_int(json, "bytes", (long long)version->bytes);
    json_end_object(json);
}

void answer_versions(Desk *desk, const Request *request, Answer *answer)
{
    Record record;
    Versions versions;
    if (!kept_job(desk, request, &record) ||
        !history_list(desk->store, record.id, desk->keep, &versions, desk->problems)) {
        answer_problems(desk, answer);
        return;
    }
    Json json = {.text.keep = desk->keep};
    json_begin_object(&json, NULL);
    json_int(&json, "present", record.present);
    json_begin_array(&json, "versions");
    for (int i = 0; i < versions.count; i++) {
        put_version(&json, &versions.items[i]);
    }
    answer_list(&json, answer);
}

void answer_version_name(Desk *desk, const Request *request, Answer *answer)
{
    Record record;
    const char *name = request_query(request, "call");
    const bool done = kept_job(desk, request, &record) &&
                      history_name(desk->store, record.id, request->number[1],
                                   name && *name ? name : NULL, desk->problems);
    answer_change(desk, request, done, 0, answer);
}
