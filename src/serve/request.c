#include "serve/request.h"

#include "base/number.h"
#include "serve/refusal.h"

#include <errno.h>
#include <string.h>

const char *const method_names[METHOD_COUNT] = {"GET", "POST", "PUT", "DELETE"};

const char *request_query(const Request *request, const char *key)
{
    for (int i = 0; i < request->query_count; i++) {
        if (strcmp(request->query[i].key, key) == 0) {
            return request->query[i].value;
        }
    }
    return NULL;
}

const char *request_shown(const char *utf8, Arena *keep)
{
    enum { SHOWN = 40 };
    return arena_text(keep, "%.*s", (int)text_bytes_of(utf8, SHOWN), utf8);
}

bool request_refuse(const char *key, const char *given, const char *allowed, Problems *problems)
{
    return problems_add(
        problems, (Problem){.kind = PROBLEM_BAD_INPUT,
                            .where = key,
                            .found = given ? request_shown(given, problems->keep) : "it is missing",
                            .allowed = allowed});
}

bool request_whole(const Request *request, const char *key, Whole whole, int64_t *value,
                   Problems *problems)
{
    const char *text = request_query(request, key);
    if (!text) {
        *value = whole.usual;
        return true;
    }
    if (digits_read(text, strlen(text), value) && *value >= whole.min && *value <= whole.max) {
        return true;
    }
    const char *allowed = arena_text(problems->keep, "a whole number from %lld to %lld",
                                     (long long)whole.min, (long long)whole.max);
    return request_refuse(key, text, allowed, problems);
}

bool request_yes(const Request *request, const char *key, bool *value, Problems *problems)
{
    const char *text = request_query(request, key);
    *value = text && (strcmp(text, "1") == 0 || strcmp(text, "true") == 0);
    if (!text || *value || strcmp(text, "0") == 0 || strcmp(text, "false") == 0) {
        return true;
    }
    return request_refuse(key, text, "1, true, 0 or false", problems);
}

bool request_version(const Request *request, int64_t *version, bool *given)
{
    const char *text = request->if_match;
    *given = text != NULL;
    if (!text || text[0] != '"') {
        return false;
    }
    const size_t length = strlen(text);
    return length > 2 && text[length - 1] == '"' && digits_read(text + 1, length - 2, version);
}

bool request_has(const Request *request, const char *etag)
{
    const char *list = request->if_none_match;
    if (!list) {
        return false;
    }
    if (strcmp(list, "*") == 0) {
        return true;
    }
    // Tags stand in quotes, so that none is a part of another.
    return strstr(list, etag) != NULL;
}

void answer_json(Answer *answer, int status, const Text *text)
{
    answer->status = status;
    answer->type = "application/json";
    answer->bytes = text_string(text);
    answer->count = text->length;
}

static const char problem_type[] = "application/problem+json";

static void answer_refusal(Desk *desk, Refusal refusal, Answer *answer)
{
    Text text = {.keep = desk->keep};
    refusal.title = status_title(refusal.status);
    plan_refusal_json(&refusal, desk->problems, &text);
    answer_json(answer, refusal.status, &text);
    answer->type = problem_type;
}

void answer_problems_as(Desk *desk, int status, Answer *answer)
{
    answer_refusal(desk, (Refusal){.status = status}, answer);
}

void answer_conflict(Desk *desk, int64_t present, Answer *answer)
{
    answer_refusal(desk, (Refusal){.status = 412, .present = present}, answer);
}

void answer_problems(Desk *desk, Answer *answer)
{
    Text text = {.keep = desk->keep};
    const int status = problems_refusal(desk->problems, &text);
    answer_json(answer, status, &text);
    answer->type = problem_type;
}

void answer_refuse(Desk *desk, int status, const char *where, const char *found,
                   const char *allowed, Answer *answer)
{
    (void)problems_add(
        desk->problems,
        (Problem){.kind = status_kind(status), .where = where, .found = found, .allowed = allowed});
    answer_problems_as(desk, status, answer);
}

void answer_bytes(const Request *request, const char *type, const char *bytes, size_t count,
                  const char *etag, Answer *answer)
{
    answer->etag = etag;
    answer->type = type;
    answer->status = 200;
    if (request_has(request, etag)) {
        answer->status = 304;
        return;
    }
    answer->bytes = bytes;
    answer->count = count;
}
