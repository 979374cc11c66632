#include "serve/routes.h"

#include "base/number.h"
#include "serve/handlers.h"

#include <stdio.h>
#include <string.h>

static const char job_document[] = "application/json";
static const char workshop_file[] = "application/vnd.sqlite3";

#define GET .method = METHOD_GET
#define POST .method = METHOD_POST
#define PUT .method = METHOD_PUT
#define DELETE .method = METHOD_DELETE
#define TAKES_JOB .body_max = BODY_DOCUMENT_MAX, .takes = job_document
#define TAKES_LAYOUT .body_max = BODY_LAYOUT_MAX, .takes = job_document
#define TAKES_WORKSHOP .body_max = BODY_WORKSHOP_MAX, .takes = workshop_file
#define TAKES_PICTURE .body_max = BODY_PICTURE_MAX, .takes = "image/jpeg, image/png"
#define WRITES .writes = true
#define TAKES_PAIRING .body_max = BODY_PAIRING_MAX, .takes = job_document
#define MACHINE .who = FOR_THE_MACHINE
#define DOOR .who = FOR_THE_DOOR

const Route routes[] = {
    {"/", answer_asset, GET, DOOR},
    {"/api", answer_api, GET},
    {"/api/job.schema.json", answer_schema, GET},
    {"/api/about", answer_about, GET},
    {"/api/examples", answer_examples, GET},
    {"/api/examples/{name}", answer_example, GET},
    {"/api/check", answer_check, POST, TAKES_JOB},
    {"/api/derive", answer_derive, POST, TAKES_JOB},
    {"/api/advise", answer_advise, POST, TAKES_JOB},
    {"/api/derive/hide", answer_derive_hide, POST, TAKES_JOB},
    {"/api/stroke", answer_stroke, POST, TAKES_LAYOUT},
    {"/api/hides", answer_hides, GET},
    {"/api/hides", answer_hide_begin, POST, TAKES_JOB, WRITES},
    {"/api/hides/{id}", answer_hide, GET},
    {"/api/hides/{id}/document", answer_hide_document, GET},
    {"/api/hides/{id}/document", answer_hide_save, PUT, TAKES_JOB, WRITES},
    {"/api/hides/{id}/facts", answer_hide_facts, GET},
    {"/api/hides/{id}/remnants", answer_hide_remnants, GET},
    {"/api/hides/{id}/put-away", answer_hide_put_away, POST, WRITES},
    {"/api/hides/{id}/take-out", answer_hide_take_out, POST, WRITES},
    {"/api/jobs/{id}/hides", answer_job_hides, GET},
    {"/api/jobs/{id}/hides/keep", answer_job_hides_keep, POST, WRITES},
    {"/api/jobs/{id}/hides/take", answer_job_hides_take, POST, WRITES},
    {"/api/jobs/{id}/hides/{number}", answer_job_hide_give, PUT, WRITES},
    {"/api/jobs/{id}/hides/{number}", answer_job_hide_off, DELETE, WRITES},
    {"/api/jobs/{id}/cut", answer_job_cut, POST, TAKES_LAYOUT, WRITES},
    {"/api/pictures", answer_pictures, GET},
    {"/api/pictures", answer_picture_keep, POST, TAKES_PICTURE, WRITES},
    {"/api/pictures/{name}", answer_picture, GET},
    {"/api/pictures/{name}", answer_picture_away, POST, WRITES},
    {"/api/jobs", answer_jobs, GET},
    {"/api/jobs", answer_job_begin, POST, TAKES_JOB, WRITES},
    {"/api/jobs/{id}", answer_job, GET},
    {"/api/jobs/{id}/document", answer_document, GET},
    {"/api/jobs/{id}/document", answer_save, PUT, TAKES_JOB, WRITES},
    {"/api/jobs/{id}/derived", answer_job_derived, GET},
    {"/api/jobs/{id}/advice", answer_job_advice, GET},
    {"/api/jobs/{id}/versions", answer_versions, GET},
    {"/api/jobs/{id}/versions", answer_save_beside, POST, TAKES_JOB, WRITES},
    {"/api/jobs/{id}/versions/{number}/name", answer_version_name, PUT, WRITES},
    {"/api/jobs/{id}/undo", answer_undo, POST, WRITES},
    {"/api/jobs/{id}/redo", answer_redo, POST, WRITES},
    {"/api/jobs/{id}/go", answer_go, POST, WRITES},
    {"/api/jobs/{id}/put-away", answer_put_away, POST, WRITES},
    {"/api/jobs/{id}/take-out", answer_take_out, POST, WRITES},
    {"/api/jobs/{id}/buy", answer_buy, POST},
    {"/api/jobs/{id}/papers", answer_papers, POST},
    {"/api/jobs/{id}/bench", answer_bench, GET},
    {"/api/jobs/{id}/ticks", answer_ticks, GET},
    {"/api/jobs/{id}/ticks", answer_tick, POST, TAKES_LAYOUT, WRITES},
    {"/api/jobs/{id}/export", answer_export_job, GET},
    {"/api/export", answer_export, GET},
    {"/api/import", answer_import, POST, TAKES_WORKSHOP, WRITES},
    {"/api/jobs/{id}/lay", answer_lay, POST, TAKES_LAYOUT},
    {"/api/jobs/{id}/fit", answer_fit, POST, TAKES_LAYOUT},
    {"/api/work", answer_works, GET},
    {"/api/work/{id}", answer_work, GET},
    {"/api/work/{id}", answer_work_stop, DELETE},
    {"/api/work/{id}/layout", answer_work_layout, GET},
    {"/api/work/{id}/curve", answer_work_curve, GET},
    {"/api/work/{id}/result", answer_work_result, GET},
    {"/api/work/{id}/papers/{name}", answer_paper, GET},
    {"/api/work/{id}/events", answer_events, GET},
    {"/api/jobs/{id}/tables", answer_table_lay, POST, TAKES_LAYOUT},
    {"/api/tables/{id}", answer_table, GET},
    {"/api/tables/{id}", answer_table_clear, DELETE},
    {"/api/tables/{id}/snap", answer_table_snap, GET},
    {"/api/tables/{id}/try", answer_table_try, GET},
    {"/api/jobs/{id}/layout", answer_layout_that_counts, GET},
    {"/api/jobs/{id}/layouts", answer_layouts, GET},
    {"/api/jobs/{id}/layouts", answer_layout_keep, POST, TAKES_LAYOUT, WRITES},
    {"/api/layouts/{id}", answer_layout, GET},
    {"/api/layouts/{id}", answer_layout_put_away, DELETE, WRITES},
    {"/api/share", answer_share, GET, MACHINE},
    {"/api/share", answer_share_end, DELETE, MACHINE},
    {"/api/share/code", answer_share_code, POST, MACHINE},
    {"/api/share/qr/{number}", answer_share_qr, GET, MACHINE},
    {"/api/share/devices", answer_devices_drop, DELETE, MACHINE, WRITES},
    {"/api/share/devices/{id}", answer_device_drop, DELETE, MACHINE, WRITES},
    {"/api/pair", answer_pair, POST, TAKES_PAIRING, DOOR},
    {"/{name}", answer_asset, GET, DOOR},
};
const int route_count = sizeof routes / sizeof routes[0];

// Numbers of records and versions: at most fifteen digits, none of them in front for nothing.
static bool read_number(const char *text, size_t length, int64_t *number)
{
    enum { DIGITS_MAX = 15 };
    return length <= DIGITS_MAX && text[0] != '0' && digits_read(text, length, number);
}

// One part of the pattern, from its `{` or first letter to the next slash, against one of the path.
static bool part_fits(const char *pattern, size_t pattern_length, const char *part, size_t length,
                      Request *request, int *numbers)
{
    if (pattern[0] != '{') {
        return pattern_length == length && memcmp(pattern, part, length) == 0;
    }
    if (strncmp(pattern, "{name}", pattern_length) == 0) {
        request->word = part; // it is the last part of its patterns
        return length > 0 && part[length] == '\0';
    }
    return *numbers < PATH_PARTS_MAX && read_number(part, length, &request->number[(*numbers)++]);
}

static bool path_fits(const char *pattern, const char *path, Request *request)
{
    int numbers = 0;
    while (*pattern == '/' && *path == '/') {
        pattern++;
        path++;
        const size_t pattern_length = strcspn(pattern, "/");
        const size_t length = strcspn(path, "/");
        if (!part_fits(pattern, pattern_length, path, length, request, &numbers)) {
            return false;
        }
        pattern += pattern_length;
        path += length;
    }
    return *pattern == '\0' && *path == '\0';
}

const Route *route_find(Request *request, int *allowed)
{
    *allowed = 0;
    for (int i = 0; i < route_count; i++) {
        Request tried = *request;
        if (!path_fits(routes[i].pattern, request->path, &tried)) {
            continue;
        }
        if (routes[i].method == request->method) {
            *request = tried;
            return &routes[i];
        }
        (*allowed)++;
    }
    return NULL;
}

void route_methods(const char *path, char text[METHODS_ROOM])
{
    size_t length = 0;
    text[0] = '\0';
    for (int m = 0; m < METHOD_COUNT; m++) {
        int others = 0;
        Request request = {.method = (Method)m, .path = path};
        if (route_find(&request, &others)) {
            const char *name = m == METHOD_GET ? "GET, HEAD" : method_names[m];
            length += (size_t)snprintf(text + length, METHODS_ROOM - length, "%s%s",
                                       length > 0 ? ", " : "", name);
        }
    }
}

void route_answer(const Route *route, Desk *desk, const Request *request, Answer *answer)
{
    *answer = (Answer){0};
    route->answer(desk, request, answer);
}
