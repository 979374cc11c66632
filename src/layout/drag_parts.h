// What lies still while one piece is moved, as the check and the snapping of it see it.
// Private to the two.
#pragma once

#include "layout/drag.h"
#include "layout/edge_grid.h"

typedef enum StillKind {
    STILL_OUTLINE,
    STILL_HOLE,
    STILL_AREA,
    STILL_AREA_HOLE,
    STILL_PIECE
} StillKind;

// A ring that lies still on a sheet. Holes of an area stand right behind it.
typedef struct Still {
    StillKind kind;
    int depth; // of the outline that it concerns
    int index; // of the area or the placement
} Still;

typedef struct StillSheet {
    int index;
    const Still *stills;
    const LatticeRing *rings; // of each
    int count;
    int64_t gap; // the widest of the sheet's and all pieces'
    EdgeGrid grid;
} StillSheet;

struct Drag {
    const LayoutTask *task;
    const Placement *placements;
    int count;
    const bool *surplus; // of each placement: one more than wanted
    const StillSheet *sheets;
};
