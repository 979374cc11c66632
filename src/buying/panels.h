// Covers on cut panels: how many panels of one size are needed.
//
// A panel is a clean rectangle of firm leather, so nothing is left to chance: one layout says
// how many hold all covers. Method: docs/layout.md.
#pragma once

#include "cutting/cutting.h"

enum { PANELS_LAID_MAX = 20 }; ///< laid together; more covers are laid so many panels at a time

typedef struct PanelTask {
    const CoverDemand *demands;
    int demand_count;
    const LayingRules *rules;
    double length_mm; ///< along the firm direction
    double width_mm;
    uint64_t seed;
    double work; ///< units of the engine's work for each layout
} PanelTask;

/// The fewest panels that the engine finds room on; 0: some cover fits on none.
///
/// Errors   as cutting_lay(); PROBLEM_CANCELLED when it was stopped.
MUST_CHECK bool panels_needed(const PanelTask *task, const Progress *progress, Arena *scratch,
                              int *needed, Problems *problems);
