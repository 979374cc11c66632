// What is handed out in the end: judged, and added up.
#pragma once

#include "layout/layout.h"

/// A layout of these placements, locked ones first, without those that the judge refuses; the
/// locked ones were accepted before.
///
/// Result   how many it refused: 0 unless the search has a defect.
int result_make(const LayoutTask *task, const Placement *placements, int count, Arena *keep,
                Arena *scratch, Layout *layout);

double sheet_price(const Sheet *sheet);

/// Of all sheets that anything lies on.
double sheets_price(const LayoutTask *task, const Placement *placements, int count);
