// The parts of cutting that its files share.
#pragma once

#include "cutting/cutting.h"

/// Margins are taken so much wider: grown outlines come out up to 0.2 % short at round corners
/// (plane/polygon.h).
static const double sure_growth = 1.003;

/// A hide as a sheet: forbidden areas for each depth by the table, and the cost of
/// each place. False with a problem at `where`.
MUST_CHECK bool sheet_of_hide(const Hide *hide, const LayingRules *rules, const char *where,
                              Arena *keep, Arena *scratch, Sheet *sheet, Problems *problems);

/// The cost of leather at each place of a hide (docs/tolerance.md has the formula).
CostField cost_of_places(const Hide *hide, const ToleranceTable *table, Arena *keep,
                         Arena *scratch);

/// Fills in what a placed cover touches. False with a problem.
MUST_CHECK bool find_touches(const Hide *hide, PlacedCover *cover, Arena *keep, Arena *scratch,
                             Problems *problems);

/// Why copies of a demand found no place. A report before each sheet; stopped, it says what
/// the sheets by then tell.
MUST_CHECK bool find_reason(const LayoutTask *task, const Layout *layout, int demand,
                            const Progress *progress, Arena *scratch, const char **reason,
                            Problems *problems);

/// cutting_task() with a report before each hide. A stop is PROBLEM_CANCELLED.
MUST_CHECK bool cutting_task_reported(const Laying *laying, const Progress *progress, Arena *keep,
                                      Arena *scratch, LayoutTask *task, Problems *problems);

/// The engine's task as cutting_task() makes it, on sheets that are ready: of the same
/// hides, gap and tolerance table.
MUST_CHECK bool task_on_sheets(const Laying *laying, const Sheet *sheets, Arena *keep,
                               LayoutTask *task, Problems *problems);

/// A layout as a plan: covers in the order of cutting, what they touch, what is unplaced; but
/// not yet why.
MUST_CHECK bool plan_of_layout(const Laying *laying, const LayoutTask *task, const Layout *layout,
                               Arena *keep, Arena *scratch, CutPlan *plan, Problems *problems);
