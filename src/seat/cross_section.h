// The seat cut through at the middle of one side: wood, padding, layers, and the leather's way
// over them.
//
// Drawn from the very lengths that make the allowance (path.h), so that what is drawn is as long
// as what is told. In mm, x outward from the seat's middle, y up from the underside of the board.
// Method: docs/seats.md section 2.
#pragma once

#include "seat/cover.h"

/// The parts of the leather's way, from the middle out; as the members of LeatherPath.
typedef enum PathPart {
    PART_DOME,
    PART_ROUND,
    PART_SIDE,
    PART_BOTTOM,
    PART_UNDER,
    PART_HOLD,
    PART_GRIP,
    PATH_PART_COUNT
} PathPart;

extern const char *const path_part_names[PATH_PART_COUNT]; ///< dome, round, side, ...
extern const Band path_part_bands[PATH_PART_COUNT];        ///< the band that each belongs to

/// Its length, in mm.
double path_part_mm(const LeatherPath *path, PathPart part);

/// Length of the way within one band, in mm. The turn has bottom, under and hold.
double path_band_mm(const LeatherPath *path, Band band);

/// Rings are counter-clockwise; the leather's parts are chains, not closed, each beginning where
/// the one before ends. A part without length has two points in one place.
typedef struct CrossSection {
    Ring board;
    Ring padding;                  ///< without points where nothing lies on the board
    Ring layers[LAYERS_MAX];       ///< as in the build-up: `layer_count` of it
    Ring leather[PATH_PART_COUNT]; ///< the neutral line, in the middle of its thickness
} CrossSection;

/// Accuracy  chords within 0.02 mm of arcs; a dome is 32 chords. Sheets have their thickness
///           in the middle and round the edge, and a little less between on a steep crown.
/// Shape     square to the edge from the dome's end on; where a side runs aslant the frame's edge
///           stands where it would if it were straight.
CrossSection cover_cross_section(const Cover *cover, Side side, Arena *keep);
