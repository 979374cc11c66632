// Costs of places: means of a sheet's cost field.
#pragma once

#include "layout/layout.h"

/// A cost field with its sums, so that the mean over an upright rectangle takes four
/// look-ups (summed-area table; Crow, SIGGRAPH 1984).
typedef struct FieldSums {
    CostField field;
    double *sums; ///< [(row) * (columns + 1) + column]: all cells below and left
    double highest;
} FieldSums;

FieldSums field_sums(CostField field, Arena *keep);

/// Mean over the cells whose middles lie in the box; of the nearest cell when there is
/// none. 0 without a field.
double field_box_mean(const FieldSums *sums, Box box);

/// The same over a ring: what a placement costs.
double field_ring_mean(CostField field, Ring ring);
