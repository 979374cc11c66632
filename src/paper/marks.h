// Marks: where to set the chalk for a cover, as readings of a tape laid up the
// backbone and square out from it.
#pragma once

#include "paper/label.h"

enum { MARKS_MAX = 12 };

/// A place on the cut outline and what the tape shows there. Readings are rounded to
/// what a tape is read to: 1/8 in or 1 mm.
typedef struct Mark {
    Point place;   ///< exact, in the hide's frame of reference
    double up_mm;  ///< rounded; negative beyond the butt end of the backbone
    double out_mm; ///< rounded; positive to the left, negative to the right
} Mark;

typedef struct Marks {
    Mark items[MARKS_MAX];
    int count;
    int diagonal[2][2]; ///< two pairs of marks whose distances check the drawn shape
    int diagonal_count; ///< 2, or 0 for a triangle
} Marks;

/// Chooses the marks of a cut outline on the hide.
///
/// Result   all corners when there are at most MARKS_MAX; else the points that
///          lie furthest to the four corners of the seat, and those half way along the
///          outline from each to the next. Counter-clockwise, the first at the front
///          left of the seat. They lie on the outline.
/// Method   `turn_rad` is the placement's turn. The diagonals join the four
///          corners; else they are the longest two without a common mark.
Marks marks_of(Ring cut, double turn_rad, LengthUnit unit);

/// The line from which the tape reads out: `backbone`, or a panel's `middle line`.
const char *marks_axis_name(const Hide *hide);

/// What the tape is read to.
double marks_rounding_mm(LengthUnit unit);
double marks_rounded_mm(double mm, LengthUnit unit);

/// `34 1/4`, or `2 1/2 behind` for a place beyond the butt end.
const char *marks_up_text(double up_mm, LengthUnit unit, Arena *keep);
/// `12 3/8 left`, `4 right`, or `0` on the backbone.
const char *marks_out_text(double out_mm, LengthUnit unit, Arena *keep);

/// From one mark to another as a tape shows it.
const char *marks_distance_text(const Marks *marks, int from, int to, LengthUnit unit, Arena *keep);

/// What a placed cover is called, as a bold label of this size: a name that is too wide is cut
/// short before the copy's number.
Label marks_cover_label(const PackMatter *matter, const PlacedCover *cover, double size_mm,
                        double width_mm, Arena *keep);
