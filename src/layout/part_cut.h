// Convex parts cut along straight lines, one after the other (Sutherland and Hodgman 1974, named
// from memory), and rounded outward.
#pragma once

#include "layout/parts.h"

/// What of the part lies in the box: a convex part that holds it all. False when there is
/// nothing with an area. The sides of the box lie on whole units.
///
/// Shapes   coordinates up to 2^28, the box's up to 2^25; at most PARTS_POINTS_MAX - 8 corners.
/// Accuracy where a side cuts a slanted edge between two units, both are taken: too much by a
///          unit at most.
bool part_in_box(const ConvexPart *part, Box box, Arena *keep, ConvexPart *cut);
