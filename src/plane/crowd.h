// How many points of an outline lie near each other: what growing it costs.
#pragma once

#include "plane/polygon.h"

/// Whether so many points lie within `reach_mm` of each other that edges put around all of
/// them would cross millions of times.
///
/// Method   points are counted in square cells as wide as the reach (and no more than 256
///          along each axis); each counts with all in its own cell and the eight around it.
bool polygon_set_is_crowded(PolygonSet set, double reach_mm, Arena *scratch);
