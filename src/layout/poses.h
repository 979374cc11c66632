// The turns that the search tries, and what the outlines of all of them cost.
#pragma once

#include "layout/model.h"

enum { TURNS_TRIED_MAX = 17 }; ///< of an interval

typedef struct Turns {
    double turn_rad[LAYOUT_TURNS_MAX * TURNS_TRIED_MAX];
    double off_middle[LAYOUT_TURNS_MAX * TURNS_TRIED_MAX];
    int count;
} Turns;

/// The middle of each interval first; with `middles_only`, nothing else.
Turns poses_turns(const Piece *piece, bool middles_only);

/// Whether two pieces have the same outlines, turns and gap.
bool poses_same_shape(const Piece *a, const Piece *b);

/// How many stretches (layout/bands.h) outlines have: at most `for_height` / height of a
/// band + `for_points`.
typedef struct OutlineCost {
    double for_height;
    double for_points;
} OutlineCost;

/// All different pieces in all their turns, grown by each gap.
typedef struct PoseSums {
    int poses;
    bool middles_only; ///< intervals are tried in their middles alone, since there are so many
    OutlineCost all;
    OutlineCost most; ///< of any one outline
} PoseSums;

PoseSums poses_sums(const LayoutTask *task);
