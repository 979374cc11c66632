// How many points of an outline lie near each other: what growing it costs.
#pragma once

#include "plane/polygon.h"

/// Whether so many points lie within `reach_mm` of each other that edges put around all of
/// them would cross millions of times.
///
/// Method   points are counted in square cells half as wide as the reach (and no more than 512
///          along each axis); each counts with all that may be within reach of it, by cells.
bool polygon_set_is_crowded(PolygonSet set, double reach_mm, Arena *scratch);
