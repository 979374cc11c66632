// How two turned pieces overlap: whether, exactly, and how badly, roughly.
#pragma once

#include "layout/turned.h"

/// Whether the insides meet when `b` lies at (x, y) as seen from `a`. Touching is not
/// meeting; the same answer as lattice_interiors_meet().
bool turned_meet(const Turned *a, const Turned *b, double x, double y, Arena *scratch);

/// A measure of overlap that falls smoothly when the pieces are moved apart.
typedef struct Severity {
    float depth; ///< of the deepest pair of circles; > 0: the pieces meet for sure
    float sum;   ///< of depth times smaller diameter, each depth made positive
} Severity;

/// `reach` is the depth under which the measure fades out instead of ending at 0.
/// Source: Gardeyn, Vanden Berghe and Wauters 2025.
Severity turned_severity(const Circles *a, const Circles *b, float x, float y, float reach);
