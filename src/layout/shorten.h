// A strip made shorter and shorter.
#pragma once

#include "layout/layout.h"
#include "layout/separate.h"

typedef struct Shortening {
    const LayoutTask *task;
    Sheet long_sheet; ///< the strip, as long as any layout on the way needs
    LayoutTask long_task;
    Strip strip;
    Spot *best;          ///< the shortest layout that the judge accepted
    double best_length;  ///< in units; 0: none yet
    double least_length; ///< below which there is no layout
} Shortening;

/// The copies as they lie.
Placement *shortening_placements(const Shortening *run, Arena *keep);

/// Keeps the layout as it lies when it is shorter than the best and the judge accepts it. True
/// when he does.
bool shortening_keep(Shortening *run);

/// From the best layout: the strip is shortened by a share, what sticks out pushed in, and the
/// pieces taken apart, until the work is spent.
///
/// Method   after a failure the search goes on from one of the layouts with the least overlap
///          at that length, two of its pieces exchanged: Gardeyn, Vanden Berghe and Wauters
///          2025.
void shorten(Shortening *run);
