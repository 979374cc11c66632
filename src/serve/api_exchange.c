// Jobs, or the whole workshop, as a file to take elsewhere; and such files taken in.
#include "plan/exchange.h"
#include "serve/handlers.h"

// A name for the file that anybody's disk can hold: letters and digits of the job's name.
static const char *file_name(const char *title, Arena *keep)
{
    char word[41];
    size_t length = 0;
    for (const char *c = title; *c && length < sizeof word - 1; c++) {
        const bool plain =
            (*c >= 'a' && *c <= 'z') || (*c >= 'A' && *c <= 'Z') || (*c >= '0' && *c <= '9');
        if (plain || (length > 0 && word[length - 1] != '-')) {
            word[length++] = (char)(plain ? *c : '-');
        }
    }
    length -= length > 0 && word[length - 1] == '-';
    word[length] = '\0';
    return arena_text(keep, "%s.seatwright", length > 0 ? word : "job");
}

static void answer_file(Desk *desk, const int64_t *jobs, int count, const char *name,
                        Answer *answer)
{
    int file = -1;
    if (!exchange_export(desk->store, jobs, count, desk->keep, &file, desk->problems)) {
        answer_problems(desk, answer);
        return;
    }
    *answer = (Answer){.status = 200,
                       .type = "application/vnd.sqlite3",
                       .disposition = arena_text(desk->keep, "attachment; filename=\"%s\"", name),
                       .file = file + 1};
}

void answer_export(Desk *desk, const Request *request, Answer *answer)
{
    (void)request;
    answer_file(desk, NULL, 0, "workshop.seatwright", answer);
}

void answer_export_job(Desk *desk, const Request *request, Answer *answer)
{
    Record record;
    if (!kept_job(desk, request, &record)) {
        answer_problems(desk, answer);
        return;
    }
    answer_file(desk, &record.id, 1, file_name(record.title, desk->keep), answer);
}

void answer_import(Desk *desk, const Request *request, Answer *answer)
{
    ImportReport report = {0};
    if (!exchange_import(desk->store, body_of(request), desk->keep, &report, desk->problems)) {
        answer_problems(desk, answer);
        return;
    }
    Json json = {.text.keep = desk->keep};
    json_begin_object(&json, NULL);
    json_int(&json, "jobs", report.jobs);
    json_int(&json, "hides", report.hides);
    json_int(&json, "versions", report.versions);
    json_int(&json, "other", report.keepsakes);
    json_int(&json, "moved", report.moved);
    json_int(&json, "apart", report.apart);
    json_int(&json, "cuts_left_out", report.cuts_left_out);
    json_end_object(&json);
    answer_json(answer, 200, &json.text);
}
