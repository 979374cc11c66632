// Seat frames: the wooden drop-in frame or board, seen from above.
//
// Frame of reference: front edge nearest to you, origin in the middle of the
// front edge, +x to the right, +y to the back. Outlines run counter-clockwise.
// Method: ours; docs/seats.md derives it.
#pragma once

#include "base/problem.h"
#include "plane/ring.h"

typedef enum Side { SIDE_FRONT, SIDE_RIGHT, SIDE_BACK, SIDE_LEFT, SIDE_COUNT } Side;

/// Corner i lies between side i - 1 and side i.
typedef enum Corner {
    CORNER_FRONT_LEFT,
    CORNER_FRONT_RIGHT,
    CORNER_BACK_RIGHT,
    CORNER_BACK_LEFT,
    CORNER_COUNT
} Corner;

/// One value for each side (lengths in mm).
typedef struct Sides {
    double at[SIDE_COUNT];
} Sides;

typedef enum FrameShape {
    FRAME_RECTANGLE, ///< front_mm, depth_mm
    FRAME_TAPER,     ///< front_mm, back_mm, depth_mm (square to the front)
    FRAME_D,         ///< front_mm, depth_mm; the back is half an ellipse of depth curve_mm
    FRAME_ROUND,     ///< front_mm is the diameter
    FRAME_OVAL,      ///< front_mm wide, depth_mm deep
    FRAME_MEASURED,  ///< four sides and two diagonals: a frame out of square
    FRAME_TRACED,    ///< traced: a ring in the seat's frame of reference
    FRAME_SHAPE_COUNT
} FrameShape;

/// The cut-out of a corner round a chair leg; width along the front or back, depth
/// along the side, measured from where the two sides would meet. 0 x 0 is none.
typedef struct Notch {
    double width_mm;
    double depth_mm;
    double radius_mm; ///< of the inner corner
} Notch;

/// All measures of a frame. Fields that the shape does not use are 0.
typedef struct Frame {
    FrameShape shape;
    double front_mm;
    double back_mm;
    double depth_mm;
    double left_mm;                 ///< MEASURED: front left corner to back left corner
    double right_mm;                ///< MEASURED: front right to back right
    double diagonal_left_mm;        ///< MEASURED: front left corner to back right corner
    double diagonal_right_mm;       ///< MEASURED: front right corner to back left corner
    double curve_mm;                ///< D: how deep the round part is; 0: half the width
    Sides bow_mm;                   ///< how far a side's middle stands out (negative: in);
                                    ///< rectangle, taper, measured
    double radius_mm[CORNER_COUNT]; ///< rounded corners; rectangle, taper, measured, D (front)
    Notch notch[CORNER_COUNT];      ///< rectangle, taper, measured, D
    Ring traced;
} Frame;

/// Names for files and messages, in the order of the enums.
extern const char *const side_names[SIDE_COUNT];               ///< front, right, back, left
extern const char *const corner_names[CORNER_COUNT];           ///< front left, ...
extern const char *const frame_shape_names[FRAME_SHAPE_COUNT]; ///< rectangle, taper, ...

/// Outline of a frame.
///
/// Shapes   curves as chords within 0.05 mm. Where a traced outline lies is kept.
/// Errors   bad input, at `where` (the path of the frame in its document) with the
///          field's name behind it (`seats[0].frame.diagonal_left`): measures that
///          cannot be joined to a frame; radius, notch or bow too large for their
///          sides; a traced ring that crosses itself. Four sides and two diagonals
///          that disagree by more than 1/4 in (6.4 mm) are refused with the
///          diagonal that would fit; by more than 1/16 in is a doubt.
/// Method   FRAME_MEASURED: the quadrilateral whose six distances fit the six
///          measures best in the least-squares sense (Gauss-Newton), then its front
///          is laid on the x axis.
MUST_CHECK bool frame_outline(const Frame *frame, const char *where, Arena *keep, Arena *scratch,
                              Ring *outline, Problems *problems);

/// The side that an edge of a frame or cover belongs to, by its outward normal:
/// within 45 degrees of straight to the front is front, and so on.
Side side_of_normal(Point outward);
