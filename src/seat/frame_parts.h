// Private to the seat module: what the frame's source files share.
#pragma once

#include "seat/frame.h"
#include "seat/say.h"

/// One side of a frame with corners: straight, bowed, or half an ellipse.
typedef struct FrameSide {
    Point from;
    Point to;
    double sagitta_mm; ///< outward at its middle
    double ellipse_mm; ///< > 0: half an ellipse this deep instead (the back of a D)
} FrameSide;

/// A frame with corners before they are rounded and notched.
typedef struct FrameCorners {
    FrameSide side[SIDE_COUNT];
    Point meeting[CORNER_COUNT]; ///< where the two sides' straight lines meet
} FrameCorners;

/// Curves as chords within this.
#define FRAME_TOLERANCE_MM 0.05

/// Keys of corners in documents: front_left, ...
extern const char *const corner_fields[CORNER_COUNT];

/// Sides straight between four corners, with the frame's bows.
FrameCorners frame_corners_of(const Frame *frame, const Point corner[CORNER_COUNT]);

/// Bows, rounds and notches. The outline may share points with `scratch` results;
/// it is copied into `keep`.
bool frame_corners_outline(const Frame *frame, FrameCorners corners, Say say, Arena *keep,
                           Arena *scratch, Ring *outline);

/// Cuts the notches out of an outline.
bool frame_cut_notches(const Frame *frame, const FrameCorners *corners, Say say, Ring whole,
                       Arena *scratch, Ring *outline);

/// The corners that fit six measures; front on the x axis, its middle the origin.
bool frame_measured_corners(const Frame *frame, Say say, Point corner[CORNER_COUNT]);
