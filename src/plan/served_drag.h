// A table: covers laid on hides, one of which is moved by hand while the page asks at each moment
// what is wrong with where it is.
#pragma once

#include "plan/plan.h"

typedef struct PlanTable PlanTable;

/// Looks once at all that lies there, in `keep`, for as long as the table is asked.
///
/// `layout` is what asked_layout_read() reads (job/asked.h).
/// Errors   mistakes of the layout; covers and hides that the job has not; more copies of a cover
///          than it wants. Placements that overlap are none: they are told when asked for.
MUST_CHECK bool plan_table(const Derived *derived, const char *layout, size_t bytes, Arena *keep,
                           Arena *scratch, PlanTable **table, Problems *problems);

/// A place to try. `placement` counts as in the layout, from 0.
typedef struct TablePlace {
    int placement;
    int hide; ///< counts as in the job, from 0
    double x_mm;
    double y_mm;
    double turn_deg;
} TablePlace;

int plan_table_placements(const PlanTable *table);

/// What would be wrong there, and what the cover would touch: `fits`, `faults` and `touches`.
/// Quick; may be called from several threads at once, each with its own memory.
///
/// Errors   false: numbers out of range, or what it touches cannot be told.
MUST_CHECK bool plan_table_try(const PlanTable *table, const TablePlace *place, Arena *scratch,
                               Text *text, Problems *problems);

enum { TABLE_REACH_MAX_MM = 200 };

/// The nearest place within reach (drag_snap()) where the cover may lie and touches something, and
/// the same of it; `found` false: none, and the place is the one that was asked for.
MUST_CHECK bool plan_table_snap(const PlanTable *table, const TablePlace *place, double reach_mm,
                                Arena *scratch, Text *text, Problems *problems);

/// What is wrong with each placement, which covers are not laid, and, when nothing is wrong,
/// measures to compare it by and what is left of each hide. Takes as long as it takes to measure.
MUST_CHECK bool plan_table_report(const PlanTable *table, Arena *scratch, Text *text,
                                  Problems *problems);
