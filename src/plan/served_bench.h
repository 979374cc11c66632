// The work at the bench for the workshop's pages: one step after the other, with what a small
// drawing needs to show where it is; and which steps are done.
#pragma once

#include "plan/plan.h"
#include "store/ticks.h"

/// Steps, hides, covers and kinds of a job that is laid: src/serve/openapi.json describes them.
void plan_bench_json(const Derived *derived, const CutPlan *plan, Arena *scratch, Text *text);

/// Ticks of a job, and the server's clock, by which a device sets its own.
void plan_ticks_json(Ticks ticks, int64_t now_ms, Text *text);

/// Reads `{"ticks": [{"step": ..., "done": ..., "ticked_ms": ..., "device": ...}, ...]}`.
/// Errors   false with all mistakes.
MUST_CHECK bool plan_ticks_read(Document text, Arena *keep, Ticks *ticks, Problems *problems);
