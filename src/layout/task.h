// Whether a task can be searched at all: numbers, counts, outlines.
#pragma once

#include "layout/layout.h"

/// Collects what is wrong with the sheets and pieces, then with the locked
/// placements. True when nothing is.
bool task_check(const LayoutTask *task, Arena *scratch, Problems *problems);

/// Of all sheets and pieces.
double task_widest_gap_mm(const LayoutTask *task);
