// What the page of a hide asks for: all that follows from one hide as it is entered, and lines
// drawn by hand made fit to be part of it.
#pragma once

#include "plan/plan.h"

/// A hide to be told of.
typedef struct HideOrder {
    const HideEntry *entry;
    const char *where; ///< its path in problems
    Units units;
    const ToleranceTable *table;
    const Problems *read; ///< what was found when it was read: mistakes and doubts at `where`
} HideOrder;

/// Check; the hide, as derive has it, when it could be made; how the areas compare in words; what
/// may touch it; hatching that shows how the leather lies; how its picture lies under it.
/// Described in src/serve/openapi.json as HideFacts.
void plan_hide_facts_json(const HideOrder *order, Arena *keep, Arena *scratch, Text *text);

/// The same of one hide of a job's text, from 0. Mistakes elsewhere in the job do not matter.
/// Errors   false: the text is no job, or has no such hide.
MUST_CHECK bool plan_job_hide_facts_json(const char *text, size_t bytes, int hide, Arena *keep,
                                         Arena *scratch, Text *json, Problems *problems);

/// The same of a hide's own document, with the usual tolerances.
/// Errors   false: the text is no hide at all.
MUST_CHECK bool plan_hide_document_facts_json(const char *text, size_t bytes, Arena *keep,
                                              Arena *scratch, Text *json, Problems *problems);

/// Whether a text may be kept as a hide of the workshop: a hide's document without mistakes, of
/// which a hide can be made. Errors   false with the mistakes.
MUST_CHECK bool plan_hide_may_be_kept(const char *text, size_t bytes, Arena *keep, Arena *scratch,
                                      Problems *problems);

/// Reads a line that was drawn (job/asked_stroke.h) and writes it as it may be kept: `points_mm`,
/// `length_mm`, `area_mm2` (of a closed one).
/// Errors   false: mistakes of the text; nothing lies within a closed line, or it crosses itself.
MUST_CHECK bool plan_stroke_json(const char *text, size_t bytes, Arena *keep, Arena *scratch,
                                 Text *json, Problems *problems);
