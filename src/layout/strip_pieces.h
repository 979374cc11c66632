// The pieces of a strip, made once for all streams that lay them.
#pragma once

#include "layout/turned.h"

typedef struct StripPieces {
    const StripPiece *pieces;
    const int *piece_of; ///< copy -> piece
    int count;           ///< copies
    int turned_count;    ///< of all pieces
    double width;        ///< of the strip, in units
    double step;         ///< of the grid on which places are looked for
    double least_length; ///< below which there is no layout: by area and by the longest piece
} StripPieces;

/// Errors   a piece that fits the width in no allowed turn, or is too large.
MUST_CHECK bool strip_pieces_make(const LayoutTask *task, double width, Arena *keep,
                                  StripPieces *made, Problems *problems);
