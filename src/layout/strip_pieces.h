// The pieces of a strip, made once for all streams that lay them.
#pragma once

#include "layout/strip_fixed.h"

typedef struct StripPieces {
    const StripPiece *pieces; ///< the task's, then one for each thing that lies still
    const int *piece_of;      ///< copy -> piece: copies that move, locked ones, flaws
    int movable;              ///< copies that move
    int laid;                 ///< with the locked ones
    int all;                  ///< with the flaws
    StripStill still;
    int turned_count;    ///< of all that moves
    TurnSteps steps;     ///< of the intervals
    double width;        ///< of the strip, in units
    double step;         ///< of the grid on which places are looked for
    bool holds_corners;  ///< all corners lie on that grid
    double least_length; ///< below which there is no layout: by area and by the longest piece
} StripPieces;

/// Errors   a piece that fits the width in no allowed turn, or is too large; and those of
///          strip_still_make().
MUST_CHECK bool strip_pieces_make(const LayoutTask *task, double width, Arena *keep,
                                  StripPieces *made, Problems *problems);
