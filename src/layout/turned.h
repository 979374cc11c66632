// The pieces of a strip in each turn that is tried: outlines on the judge's lattice, cut
// into convex parts.
//
// All lengths are lattice units (0.01 mm), whole numbers held in doubles: products of two
// differences stay exact up to STRIP_UNITS_MAX.
#pragma once

#include "layout/layout.h"
#include "layout/pair.h"
#include "layout/turn_list.h"

#define STRIP_UNITS_MAX 2e7 ///< 200 m; (2 * 2e7)^2 is below 2^53

enum { TURNED_MAX = 64 };

/// A piece in one turn, moved so that its own box begins at (0, 0).
typedef struct Turned {
    int number; ///< among all turned pieces of a strip
    double turn_rad;
    bool fine;         ///< between the turns that are tried from the beginning
    double shift_x_mm; ///< from the piece's own origin to (0, 0)
    double shift_y_mm;
    double width; ///< of the piece itself, which may touch the strip's edge
    double height;
    Body body;                ///< with half the gap around the piece
    Body bare[LAYOUT_DEPTHS]; ///< without it, which flaws of each depth are told from; no
                              ///< parts: nothing of the piece is so deep
    bool flaw;                ///< `body` is a flaw
    int depth;                ///< of the flaw
} Turned;

/// A turn that is not tried, because the piece looks the same in one that is.
typedef struct AlikeTurn {
    int turned; ///< the one that is
    double turn_rad;
    double shift_x_mm; ///< as in Turned
    double shift_y_mm;
} AlikeTurn;

typedef struct StripPiece {
    const Turned *turned; ///< no two look the same
    int turned_count;
    const AlikeTurn *alike;
    int alike_count;
    double area; ///< in square units
} StripPiece;

/// What lies still on a strip, in the one place that it has.
typedef struct StripFixed {
    Turned turned;
    double x; ///< lower left corner, whole units
    double y;
} StripFixed;

/// What all pieces of a strip have in common.
typedef struct StripMaking {
    double gap_mm;
    double width;
    int points_most;           ///< in an outline; beyond them it is simplified, to the safe side
    int turns_most;            ///< of a piece; of more that fit, so many are taken evenly
    TurnSteps steps;           ///< of the intervals
    int first_number;          ///< of the turned pieces that are made
    bool flaws[LAYOUT_DEPTHS]; ///< whether there are any of a depth
} StripMaking;

/// The turns in which the piece fits the width, one of each that look the same. False when there is
/// none, or when the gap cannot be put around it.
bool strip_piece_make(const Piece *piece, StripMaking making, Arena *keep, StripPiece *made);

/// A piece that stays where it is, exactly as the judge sees it. False when the gap cannot be
/// put around it.
bool strip_locked_make(const Piece *piece, Motion motion, StripMaking making, Arena *keep,
                       StripFixed *made);
