// A strip made shorter and shorter.
#pragma once

#include "base/workers.h"
#include "layout/layout.h"
#include "layout/separate.h"

enum { FAILURES_MAX = 8 };

/// Layouts that would not come apart at the length that is tried, the least overlap first.
typedef struct Failures {
    Spot *spots[FAILURES_MAX];
    double overlap[FAILURES_MAX];
    int count;
} Failures;

/// One stream of the search: its own strip, memory and random numbers.
typedef struct Shortening {
    const LayoutTask *task;
    const LayoutOptions *options;
    SharedProgress *progress; ///< of all streams
    Sheet long_sheet;         ///< bare, as long as any layout on the way needs
    LayoutTask long_task;
    double sheet_length; ///< in units; longer layouts are judged on the long sheet
    Strip strip;
    Spot *best;           ///< the shortest layout that the judge accepted
    double best_length;   ///< in units; 0: none yet
    double least_length;  ///< below which there is no layout
    double step;          ///< the share that is tried next
    double touching_step; ///< of a grid that holds all corners, in units; 0: there is none
    Failures failures;
} Shortening;

/// The length to try next, shorter than the best by a share. A layout that touches all along ends
/// on the corners' grid, where there is one: a small step does not pass over such a length, below
/// which there may be none.
double shortening_next_length(const Shortening *stream, double share);

/// With a strip that is made.
void shortening_begin(Shortening *stream);

/// Placements of all copies: the locked ones as the task has them, then the others at some spots.
Placement *shortening_placements(const Shortening *stream, const Spot *spots, Arena *keep);

/// Keeps the layout as it lies when it is shorter than the best and the judge accepts it. True
/// when he does.
bool shortening_keep(Shortening *stream);

/// Goes on from another stream's best layout when that is shorter.
void shortening_adopt(Shortening *stream, const Shortening *other);

/// From the best layout: the strip is shortened by a share, what sticks out pushed in, and the
/// pieces taken apart, until so much of the stream's work is spent.
///
/// Method   after a failure the search goes on from one of the layouts with the least overlap
///          at that length, two of its pieces exchanged: Gardeyn, Vanden Berghe and Wauters
///          2025.
void shorten(Shortening *stream, double share);
