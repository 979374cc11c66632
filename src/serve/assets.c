#include "serve/assets.h"

#include "base/version.h"
#include "serve/handlers.h"
#include "serve/routes.h"

#include <string.h>

// `folder` and `name`, one behind the other, are what the asset is called.
static const Asset *find(const char *folder, const char *name)
{
    const size_t length = strlen(folder);
    for (int i = 0; i < asset_count; i++) {
        if (strncmp(assets[i].name, folder, length) == 0 &&
            strcmp(assets[i].name + length, name) == 0) {
            return &assets[i];
        }
    }
    return NULL;
}

static void answer_with(Desk *desk, const Request *request, const Asset *asset, Answer *answer)
{
    if (!asset) {
        answer_refuse(desk, 404, "address", "there is nothing at this address", NULL, answer);
        return;
    }
    answer_bytes(request, asset->type, asset->bytes, asset->count, asset->etag, answer);
    // An address that carries the digest never shows anything else.
    const char *digest = request_query(request, "digest");
    answer->lasting = digest && *digest && strstr(asset->etag, digest) != NULL &&
                      strlen(digest) + 2 == strlen(asset->etag);
}

// What a device needs to be let in, and no more before it is.
static bool is_at_the_door(const char *name)
{
    static const char *const names[] = {"pair.html", "pair.js", "start.css"};
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        if (strcmp(name, names[i]) == 0) {
            return true;
        }
    }
    return false;
}

void answer_asset(Desk *desk, const Request *request, Answer *answer)
{
    const bool outside = request->guest && request->device == 0;
    const char *start = outside ? "pair.html" : "start.html";
    const char *name = request->word ? request->word : start;
    answer_with(desk, request, outside && !is_at_the_door(name) ? NULL : find("page/", name),
                answer);
}

void answer_api(Desk *desk, const Request *request, Answer *answer)
{
    answer_with(desk, request, find("", "api"), answer);
}

void answer_example(Desk *desk, const Request *request, Answer *answer)
{
    answer_with(desk, request, find("example/", request->word), answer);
}

void answer_schema(Desk *desk, const Request *request, Answer *answer)
{
    (void)request;
    Text text = {.keep = desk->keep};
    job_schema(&text);
    answer_json(answer, 200, &text);
    answer->type = "application/schema+json";
}

// The name of an example is read from it, so that it cannot differ.
static void put_example(Desk *desk, Json *json, const Asset *asset, const char *name)
{
    const ArenaMark mark = arena_mark(desk->scratch);
    Problems *problems = problems_in(desk->scratch);
    Job job;
    if (job_read(asset->bytes, asset->count, name, desk->scratch, &job, problems)) {
        json_begin_object(json, NULL);
        json_text(json, "example", name);
        json_text(json, "name", job.name);
        json_text(json, "notes", job.notes);
        json_int(json, "kinds", job.seat_count);
        json_int(json, "hides", job.hide_count);
        json_end_object(json);
    }
    arena_rewind(desk->scratch, mark);
}

void answer_examples(Desk *desk, const Request *request, Answer *answer)
{
    (void)request;
    static const char folder[] = "example/";
    Json json = begin_list("examples", desk->keep);
    for (int i = 0; i < asset_count; i++) {
        if (strncmp(assets[i].name, folder, sizeof folder - 1) == 0) {
            put_example(desk, &json, &assets[i], assets[i].name + sizeof folder - 1);
        }
    }
    answer_list(&json, answer);
}

void answer_about(Desk *desk, const Request *request, Answer *answer)
{
    Json json = {.text.keep = desk->keep};
    json_begin_object(&json, NULL);
    json_text(&json, "program", "seatwright");
    json_text(&json, "version", SEATWRIGHT_VERSION);
    json_text(&json, "workshop", store_path(desk->store));
    json_bool(&json, "guest", request->guest);
    json_begin_object(&json, "limits");
    json_int(&json, "document_bytes", BODY_DOCUMENT_MAX);
    json_int(&json, "version_name_bytes", VERSION_NAME_MAX);
    json_end_object(&json);
    json_end_object(&json);
    answer_json(answer, 200, &json.text);
}
