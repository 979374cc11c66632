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
