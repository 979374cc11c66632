// Rasters on the safe side: polygons to cells, so that what is free in cells is free
// in truth.
//
// A cell is marked when any part of it lies in the shape, or nearer to the shape's
// edge than a reach. The reach is never less than SAFE_MM, which covers the
// rounding of moved outlines to the judge's lattice.
//
// Laying on rasters: Segenreich and Faria Braga 1986, Oliveira and Ferreira 1993 (named from
// memory); rounding to the safe side only, so that no result needs mending, is ours.
#pragma once

#include "layout/bitmap.h"
#include "plane/polygon.h"

/// 0.01 mm lattice: a point moves by at most 0.0071 mm when it is rounded.
#define SAFE_MM 0.02

/// Square cells; `corner` is the lower left corner of cell (0, 0).
typedef struct Grid {
    Point corner;
    double cell_mm;
    int columns;
    int rows;
} Grid;

/// Marks each cell that meets the polygon grown by `reach_mm`.
void raster_area(Grid grid, Polygon polygon, double reach_mm, Bitmap map, Arena *scratch);

/// Marks each cell that is not wholly inside the ring, and SAFE_MM off its edge.
void raster_outside(Grid grid, Ring ring, Bitmap map, Arena *scratch);
