// The papers of a job: begun here, watched like all long work, and taken file by file.
#include "plan/served_papers.h"
#include "serve/handlers.h"
#include "serve/work_kinds.h"

#include "base/digest.h"

#include <string.h>

static bool read_asked(Desk *desk, const Request *request, PapersAsked *asked)
{
    const char *paper = request_query(request, "paper");
    const char *date = request_query(request, "date");
    JobPaper named = PAPER_A4;
    if (paper && !plan_paper_named(paper, &named)) {
        return request_refuse("paper", paper, "A4 or Letter", desk->problems);
    }
    if (date && !plan_is_date(date)) {
        return request_refuse("date", date, "a date such as 2026-01-31", desk->problems);
    }
    asked->paper = paper ? (int)named + 1 : 0;
    asked->date = date ? date : plan_today(desk->keep);
    return request_yes(request, "buying", &asked->buying, desk->problems) &&
           request_buy_order(request, &asked->buying_order, desk->problems);
}

void answer_papers(Desk *desk, const Request *request, Answer *answer)
{
    Kept kept;
    PapersAsked asked = {0};
    WorkOrder order;
    if (!read_asked(desk, request, &asked) || !kept_read(desk, request, &kept) ||
        !kept_layout(desk, &kept, &asked.layout, NULL) ||
        !work_order(&work_papers, kept.record.id, kept.number, kept.document, &order,
                    desk->problems)) {
        answer_problems(desk, answer);
        return;
    }
    PapersAsked *options = ARENA_NEW(order.keep, PapersAsked);
    *options = asked;
    options->date = arena_copy_text(order.keep, asked.date);
    options->buying_order.grade = arena_copy_text(order.keep, asked.buying_order.grade);
    char *layout = arena_alloc(order.keep, asked.layout.bytes + 1, 1);
    if (asked.layout.bytes > 0) {
        memcpy(layout, asked.layout.data, asked.layout.bytes);
    }
    options->layout.data = layout;
    order.options = options;
    answer_begun(desk, &order, answer);
}

void answer_paper(Desk *desk, const Request *request, Answer *answer)
{
    PackFile file;
    bool download = false;
    if (!request_yes(request, "download", &download, desk->problems)) {
        answer_problems(desk, answer);
        return;
    }
    if (!work_file(desk->works, request->number[0], request->word, desk->keep, &file)) {
        answer_refuse(desk, 404, "papers", "there is no such paper any more",
                      "one of the last four works that made papers", answer);
        return;
    }
    Digest digest = digest_begin();
    digest_add(&digest, file.data, file.bytes);
    const char *etag = arena_text(desk->keep, "\"%s\"", digest_hex(digest, desk->keep));
    answer_bytes(request, file.type, file.data, file.bytes, etag, answer);
    // Names of ours are plain letters, so they need no coding (RFC 6266).
    answer->disposition = arena_text(desk->keep, "%s; filename=\"%s\"",
                                     download ? "attachment" : "inline", plan_paper_name(&file));
}
