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
///
/// Method   parts of a width: what is left, opened by a disc (Serra 1982, named from memory); the
///          rectangle: left.h, on cells, then each side pushed out to what ends it.
Remnant remnant_measure(CutSheet cut, double useful_mm, Arena *scratch);
