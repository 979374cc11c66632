// Private to the seat module: whether outlines look the same mirrored or turned.
#pragma once

#include "plane/ring.h"

/// Outlines nearer than this count as the same. Where corners turn, the left and the right of a
/// symmetric seat may be a fifth of a millimetre apart, by the places of their points; no shears
/// cut so finely.
static const double ALIKE_MM = 0.5;

/// Whether the ring, mirrored about the line x = 0, lies within `tolerance_mm` of
/// itself.
bool ring_looks_mirrored(Ring ring, double tolerance_mm);
/// The same, turned half round about `middle`.
bool ring_looks_half_turned(Ring ring, Point middle, double tolerance_mm);
/// Whether it is a circle about `middle`.
bool ring_looks_round(Ring ring, Point middle, double tolerance_mm);
