// Where the default lines between regions lie, and what the leather between them is like.
// Private to the module.
#pragma once

#include "hide/hide.h"

// Of the whole area: outside the belly lines (Roberts and Etherington 1982), and in
// shoulder and neck together (from memory, 27 to 30 %).
#define BELLY_SHARE 0.23
#define SHOULDER_AND_NECK_SHARE 0.28
// Up the backbone, in backbone lengths (common practice; legs from the statistics).
#define BUTT_TO 0.35
#define NECK_FROM 0.87
#define HIND_SHANK_TO 0.15
#define FORE_SHANK_FROM 0.60
#define FORE_SHANK_TO 0.80
#define FLANK_FROM 0.10
#define FLANK_TO 0.33
// Out from the backbone, in distances of the belly line: between the belly's edge (1.28
// to 1.34 on the mean outline of the statistics) and the shanks' tips (1.53 and 1.57).
#define SHANK_OUT 1.34

/// Area of the part of a ring where x * across.x + y * across.y is at least `offset`.
double area_beyond_mm2(Ring ring, Point across, double offset);

/// What the leather of a kind is like by default.
Region default_region(RegionKind kind, PolygonSet area);
