// The search from within: what layout_search() does, with its counts, for tests and
// benches.
#pragma once

#include "layout/layout.h"

typedef struct SearchTally {
    int layouts;    ///< built and weighed
    int refused;    ///< placements that the judge refused at the end; 0 unless there is a defect
    double work;    ///< units spent
    double cell_mm; ///< of the raster
    int poses;
} SearchTally;

typedef struct SearchResult {
    Layout layout;
    SearchTally tally;
} SearchResult;

MUST_CHECK bool search_run(const LayoutTask *task, LayoutOptions options, const Progress *progress,
                           Arena *keep, Arena *scratch, SearchResult *result, Problems *problems);
