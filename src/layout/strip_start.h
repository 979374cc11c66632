// The first layout on a strip, and the slide that makes pieces touch: the bottom-left rule of
// Baker, Coffman and Rivest 1980 (named from memory), lying on its side.
#pragma once

#include "layout/separate.h"

/// Lays all copies clear of each other and of what lies still, large pieces first, each where it
/// ends farthest to the left. The strip gets as long as it takes; beyond its end there are no
/// flaws.
void strip_start(Strip *strip);

/// One after the other, 1 mm more than the gap from each other, to the right of all that lies
/// still: needs no search. Sets the length.
void strip_row(Strip *strip);

/// Slides all pieces to the left and down, in whole units, as far as that goes. Pieces lie
/// clear before and after.
void strip_slide(Strip *strip);

/// Takes up the placements of all copies that move, in any order, each in the turn that is nearest
/// to its own. False when they are not the copies of this strip.
bool strip_take(Strip *strip, const Placement *placements);
