// Kept jobs as the answers about them need them.
#include "serve/handlers.h"

bool kept_job(Desk *desk, const Request *request, Record *record)
{
    if (!record_get(desk->store, request->number[0], desk->keep, record, desk->problems)) {
        return false;
    }
    return record->kind == RECORD_JOB ||
           problems_add(desk->problems,
                        (Problem){.kind = PROBLEM_NOT_FOUND,
                                  .where = "job",
                                  .found = arena_text(desk->keep, "%lld is a hide, not a job",
                                                      (long long)record->id)});
}

bool kept_read(Desk *desk, const Request *request, Kept *kept)
{
    int64_t version = 0;
    if (!request_whole(request, "version", VERSION_WANTED, &version, desk->problems) ||
        !kept_job(desk, request, &kept->record)) {
        return false;
    }
    kept->number = version > 0 ? version : kept->record.present;
    kept->etag = version_etag(kept->number, desk->keep);
    return record_read(desk->store, kept->record.id, kept->number, desk->keep, &kept->document,
                       desk->problems);
}

const char *version_etag(int64_t number, Arena *keep)
{
    return arena_text(keep, "\"%lld\"", (long long)number);
}

Json begin_list(const char *name, Arena *keep)
{
    Json json = {.text.keep = keep};
    json_begin_object(&json, NULL);
    json_begin_array(&json, name);
    return json;
}

void answer_list(Json *json, Answer *answer)
{
    json_end_array(json);
    json_end_object(json);
    answer_json(answer, 200, &json->text);
}

void put_record(Json *json, const Record *record)
{
    json_begin_object(json, NULL);
    json_int(json, "id", record->id);
    json_text(json, "uid", record->uid);
    json_text(json, "name", record->title);
    json_int(json, "version", record->present);
    json_int(json, "versions", record->version_count);
    json_int(json, "begun_ms", record->begun_ms);
    json_int(json, "saved_ms", record->saved_ms);
    json_bool(json, "away", record->away);
}

bool kept_based_on(Desk *desk, const Request *request, int64_t *version, Answer *answer)
{
    bool given = false;
    if (request_version(request, version, &given)) {
        return true;
    }
    answer_refuse(desk, given ? 400 : 428, "If-Match",
                  given ? request_shown(request->if_match, desk->keep) : "it is missing",
                  "the version that was edited, in quotes, as ETag had it: \"7\"", answer);
    return false;
}

void answer_not_changed(Desk *desk, int64_t present, Answer *answer)
{
    const Problems *problems = desk->problems;
    if (present > 0 && problems->count > 0 && problems->items[0].kind == PROBLEM_CONFLICT) {
        answer_conflict(desk, present, answer);
        answer->etag = version_etag(present, desk->keep);
    } else {
        answer_problems(desk, answer);
    }
}
