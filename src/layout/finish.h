// The finish: once all that can be placed is placed, pieces are moved, straightened,
// exchanged and pushed together until the layout is the nicest that its work finds.
//
// Wishes come one after the other (Waltz, An engineering approach: hierarchical
// optimization criteria, IEEE Trans. Autom. Control 12, 1967; named from memory): each is
// brought as far as it goes, then held but for a tolerance while the next is looked at.
#pragma once

#include "layout/layout.h"

/// Of a search's work, what the finish gets.
#define FINISH_SHARE 0.25

/// Improves a layout that the judge accepts, and measures it.
///
/// Result   the same pieces; locked ones where they were. By the exact measures, taken in the
///          order of the wishes, the first that changes by more than its tolerance got
///          better; accepted by layout_check().
/// Cost     about `work` units, and two measurements; of sheets that nothing moved on, one; one
///          less of all when `layout` comes with its measures.
/// Errors   none. When stopped, what is reached by then is the result.
void finish_run(const LayoutTask *task, double work, const Progress *progress, Arena *keep,
                Arena *scratch, Layout *layout);

/// How much worse a wish may get for the sake of those after it.
double finish_tolerance(const LayoutTask *task, LayoutWish wish);
