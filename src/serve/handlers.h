// All that answers, by subject. Private to the module.
#pragma once

#include "plan/buy.h"
#include "serve/request.h"
#include "store/hides.h"
#include "store/history.h"

// kept.c: what is asked for of the workshop file

/// The job that the route names. Errors   no such job.
MUST_CHECK bool kept_job(Desk *desk, const Request *request, Record *record);

/// A number of a version in the query; 0 when it is not there.
#define VERSION_WANTED ((Whole){1, VERSIONS_MAX, 0})
/// The same of a job or hide.
#define RECORD_WANTED ((Whole){1, 1000000000, 0})

/// One version of a job.
typedef struct Kept {
    Record record;
    int64_t number;
    const char *etag;
    Document document;
} Kept;

/// The version that `?version=` names, or the present one. Errors   no such job or version.
MUST_CHECK bool kept_read(Desk *desk, const Request *request, Kept *kept);

/// `"7"`, with its quotes.
const char *version_etag(int64_t number, Arena *keep);

/// Begins a document that is one list, of this name.
Json begin_list(const char *name, Arena *keep);
/// Ends a list and the document that it is the last of, which is the answer.
void answer_list(Json *json, Answer *answer);

/// Begins an object with what every record says of itself; the caller ends it.
void put_record(Json *json, const Record *record);

/// The version that a change is based on, from If-Match; answered where it is not named.
MUST_CHECK bool kept_based_on(Desk *desk, const Request *request, int64_t *version, Answer *answer);

/// Why there was no change: 412 where another version stands there by now, which `present` is.
void answer_not_changed(Desk *desk, int64_t present, Answer *answer);

// assets.c: pages and documents that lie in the program itself
void answer_asset(Desk *desk, const Request *request, Answer *answer);
void answer_api(Desk *desk, const Request *request, Answer *answer);
void answer_schema(Desk *desk, const Request *request, Answer *answer);
void answer_about(Desk *desk, const Request *request, Answer *answer);
void answer_examples(Desk *desk, const Request *request, Answer *answer);
void answer_example(Desk *desk, const Request *request, Answer *answer);

// api_buy.c: how much leather to ask for
/// The options of `buy` by the same names, as it reads them. Errors   false with each that is none.
MUST_CHECK bool request_buy_order(const Request *request, BuyOrder *order, Problems *problems);
void answer_buy(Desk *desk, const Request *request, Answer *answer);

// api_bench.c: the steps of the bench, and which are done
void answer_bench(Desk *desk, const Request *request, Answer *answer);
void answer_ticks(Desk *desk, const Request *request, Answer *answer);
void answer_tick(Desk *desk, const Request *request, Answer *answer);

// api_drafts.c: what follows from a job as it is typed
void answer_check(Desk *desk, const Request *request, Answer *answer);
void answer_derive(Desk *desk, const Request *request, Answer *answer);
void answer_derive_hide(Desk *desk, const Request *request, Answer *answer);
void answer_stroke(Desk *desk, const Request *request, Answer *answer);
void answer_advise(Desk *desk, const Request *request, Answer *answer);
void answer_job_derived(Desk *desk, const Request *request, Answer *answer);
void answer_job_advice(Desk *desk, const Request *request, Answer *answer);

// api_exchange.c: jobs as files
void answer_export(Desk *desk, const Request *request, Answer *answer);
void answer_export_job(Desk *desk, const Request *request, Answer *answer);
void answer_import(Desk *desk, const Request *request, Answer *answer);

// api_hides.c: hides of the workshop
/// Errors   a hide that was cut: it is not changed any more, nor put on a table.
MUST_CHECK bool hide_is_whole(Desk *desk, const HideState *state);
/// Answers with where hides stand.
void answer_hide_states(Desk *desk, const HideStates *states, Answer *answer);
void answer_hides(Desk *desk, const Request *request, Answer *answer);
void answer_hide_begin(Desk *desk, const Request *request, Answer *answer);
void answer_hide(Desk *desk, const Request *request, Answer *answer);
void answer_hide_document(Desk *desk, const Request *request, Answer *answer);
void answer_hide_save(Desk *desk, const Request *request, Answer *answer);
void answer_hide_facts(Desk *desk, const Request *request, Answer *answer);
void answer_hide_remnants(Desk *desk, const Request *request, Answer *answer);
void answer_hide_put_away(Desk *desk, const Request *request, Answer *answer);
void answer_hide_take_out(Desk *desk, const Request *request, Answer *answer);

// api_tabled.c: hides on the tables of jobs
void answer_job_hides(Desk *desk, const Request *request, Answer *answer);
void answer_job_hides_keep(Desk *desk, const Request *request, Answer *answer);
void answer_job_hides_take(Desk *desk, const Request *request, Answer *answer);
void answer_job_hide_give(Desk *desk, const Request *request, Answer *answer);
void answer_job_cut(Desk *desk, const Request *request, Answer *answer);
void answer_job_hide_off(Desk *desk, const Request *request, Answer *answer);

// api_pictures.c: pictures to trace
void answer_pictures(Desk *desk, const Request *request, Answer *answer);
void answer_picture_keep(Desk *desk, const Request *request, Answer *answer);
void answer_picture(Desk *desk, const Request *request, Answer *answer);
void answer_picture_away(Desk *desk, const Request *request, Answer *answer);

// api_jobs.c: jobs and their versions
/// Where a job stands, after whatever was done with it.
void answer_job_state(Desk *desk, int64_t id, int status, Answer *answer);
void answer_jobs(Desk *desk, const Request *request, Answer *answer);
void answer_job_begin(Desk *desk, const Request *request, Answer *answer);
void answer_job(Desk *desk, const Request *request, Answer *answer);
void answer_document(Desk *desk, const Request *request, Answer *answer);
void answer_save(Desk *desk, const Request *request, Answer *answer);
void answer_versions(Desk *desk, const Request *request, Answer *answer);
void answer_save_beside(Desk *desk, const Request *request, Answer *answer);
void answer_version_name(Desk *desk, const Request *request, Answer *answer);
void answer_undo(Desk *desk, const Request *request, Answer *answer);
void answer_redo(Desk *desk, const Request *request, Answer *answer);
void answer_go(Desk *desk, const Request *request, Answer *answer);
void answer_put_away(Desk *desk, const Request *request, Answer *answer);
void answer_take_out(Desk *desk, const Request *request, Answer *answer);

// api_layouts.c: layouts that are kept
/// The layout that counts for a version of a job: the newest that was kept, with its number; else
/// one that was looked for with nothing but the job, and is remembered, with 0. No bytes: there is
/// none. `number` may be NULL.
MUST_CHECK bool kept_layout(Desk *desk, const Kept *kept, Document *layout, int64_t *number);
void answer_layout_that_counts(Desk *desk, const Request *request, Answer *answer);
void answer_layouts(Desk *desk, const Request *request, Answer *answer);
void answer_layout_keep(Desk *desk, const Request *request, Answer *answer);
void answer_layout(Desk *desk, const Request *request, Answer *answer);
void answer_layout_put_away(Desk *desk, const Request *request, Answer *answer);

// api_share.c: the workshop's network, and who was let in
void answer_share(Desk *desk, const Request *request, Answer *answer);
void answer_share_code(Desk *desk, const Request *request, Answer *answer);
void answer_share_qr(Desk *desk, const Request *request, Answer *answer);
void answer_share_end(Desk *desk, const Request *request, Answer *answer);
void answer_device_drop(Desk *desk, const Request *request, Answer *answer);
void answer_devices_drop(Desk *desk, const Request *request, Answer *answer);
void answer_pair(Desk *desk, const Request *request, Answer *answer);

// api_papers.c: papers of a job
void answer_papers(Desk *desk, const Request *request, Answer *answer);
void answer_paper(Desk *desk, const Request *request, Answer *answer);

// api_tables.c: layouts that are moved by hand
void answer_table_lay(Desk *desk, const Request *request, Answer *answer);
void answer_table(Desk *desk, const Request *request, Answer *answer);
void answer_table_snap(Desk *desk, const Request *request, Answer *answer);
void answer_table_try(Desk *desk, const Request *request, Answer *answer);
void answer_table_clear(Desk *desk, const Request *request, Answer *answer);

// api_work.c: long work
struct WorkOrder;
/// Begins a work and tells where it can be watched; 503 when too much is under way.
void answer_begun(Desk *desk, const struct WorkOrder *order, Answer *answer);
void answer_lay(Desk *desk, const Request *request, Answer *answer);
void answer_fit(Desk *desk, const Request *request, Answer *answer);
void answer_works(Desk *desk, const Request *request, Answer *answer);
void answer_work(Desk *desk, const Request *request, Answer *answer);
void answer_work_stop(Desk *desk, const Request *request, Answer *answer);
void answer_work_layout(Desk *desk, const Request *request, Answer *answer);
void answer_work_curve(Desk *desk, const Request *request, Answer *answer);
void answer_work_result(Desk *desk, const Request *request, Answer *answer);
void answer_events(Desk *desk, const Request *request, Answer *answer);
