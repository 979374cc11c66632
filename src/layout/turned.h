// The pieces of a strip in each turn that is tried: outlines on the judge's lattice, cut
// into convex parts.
//
// All lengths are lattice units (0.01 mm), whole numbers held in doubles: products of two
// differences stay exact up to STRIP_UNITS_MAX.
#pragma once

#include "layout/layout.h"
#include "layout/pair.h"

#define STRIP_UNITS_MAX 2e7 ///< 200 m; (2 * 2e7)^2 is below 2^53

enum { TURNED_MAX = 64 };

/// A piece in one turn, moved so that its own box begins at (0, 0).
typedef struct Turned {
    int number; ///< among all turned pieces of a strip
    double turn_rad;
    double shift_x_mm; ///< from the piece's own origin to (0, 0)
    double shift_y_mm;
    double width; ///< of the piece itself, which may touch the strip's edge
    double height;
    Body body; ///< with half the gap around the piece
} Turned;

typedef struct StripPiece {
    const Turned *turned;
    int turned_count;
    double area; ///< in square units
} StripPiece;

/// What all pieces of a strip have in common.
typedef struct StripMaking {
    double gap_mm;
    double width;
    int points_most;  ///< in an outline; beyond them it is simplified, to the safe side
    int turns_most;   ///< of a piece; of more that fit, so many are taken evenly
    int first_number; ///< of the turned pieces that are made
} StripMaking;

/// How many turns of a piece are tried at most, `most` or fewer.
int strip_turns_tried(const Piece *piece, int most);

/// The turns in which the piece fits the width. False when there is none, or when the
/// gap cannot be put around it.
bool strip_piece_make(const Piece *piece, StripMaking making, Arena *keep, StripPiece *made);
