// What is left of a sheet once pieces are cut from it.
#pragma once

#include "layout/layout.h"

/// A sheet and the outlines cut from it.
typedef struct CutSheet {
    const Sheet *sheet;
    const Ring *cuts;
    int cut_count;
} CutSheet;

/// Measures it; accuracy as layout_measure().
Remnant remnant_measure(CutSheet cut, double useful_mm, Arena *scratch);
