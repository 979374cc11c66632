// What the workshop's pages ask for, beside what the command line asks for too.
#pragma once

#include "plan/buying.h"
#include "plan/plan.h"
#include "store/store.h"

/// Whether a text may be kept as a job: it is JSON, an object, and within the limits of a job,
/// whatever mistakes it has otherwise.
/// Errors   false with the mistakes of the text.
MUST_CHECK bool plan_may_be_kept(const char *text, size_t bytes, Arena *scratch,
                                 Problems *problems);

/// All that follows from a job as it stands, while it is typed: what `check` says of it, and the
/// covers and hides of those parts that are sound. Described in src/serve/openapi.json.
void plan_derived_json(const Derived *derived, const Problems *problems, Text *text);

/// What `check` says of a job, without its name.
void plan_check_json(const Problems *problems, Text *text);

/// `bad input`, `not found`, ...: kinds as the documents name them.
const char *plan_problem_kind(ProblemKind kind);

/// Why a request was refused.
typedef struct Refusal {
    int status;        ///< of HTTP
    const char *title; ///< of the status, in words
    int64_t present;   ///< a save's conflict: the version that stands there; 0: none
} Refusal;

/// A problem document (RFC 9457) with our list of problems.
void plan_refusal_json(const Refusal *refusal, const Problems *problems, Text *text);

/// A search for a layout that somebody watches.
typedef struct LayWatch {
    /// Called with each layout that is better than all before, as JSON: `placements`, each with
    /// `cover`, `hide`, `x_mm`, `y_mm`, `turn_deg`. On any thread, never two calls at once. With
    /// several hides it is not called; NULL: not wanted.
    void (*improved)(void *context, const char *json);
    void *context;
    double times;  ///< how many times the work that the job says; 0 counts as 1
    Document from; ///< placements to begin with (job/asked.h), those that are locked to stay;
                   ///< data NULL: none. With several hides only the locked ones count.
    uint64_t seed; ///< another one than the job says; 0: that
} LayWatch;

/// plan_lay(), watched. Errors   also mistakes of `from`, and covers that are locked where they may
/// not lie.
MUST_CHECK bool plan_lay_watched(const Derived *derived, const LayWatch *watch,
                                 const Progress *progress, Arena *keep, Arena *scratch,
                                 CutPlan *plan, Problems *problems);

/// Long work as it stands.
typedef struct ServedWork {
    int64_t id;
    const char *kind;
    int64_t job;
    int64_t version;
    const char *state;
    const char *what;
    double share;
    int64_t begun_ms;
    int improvements;
} ServedWork;

void plan_work_json(const ServedWork *work, Text *text);
void plan_works_json(const ServedWork *works, int count, Text *text);
