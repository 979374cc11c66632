// The turns of a piece that are tried on a strip.
#pragma once

#include "layout/layout.h"

enum { TURNS_LISTED_MAX = LAYOUT_TURNS_MAX * 28 };

/// Which turns of an interval are tried, and when.
typedef struct TurnSteps {
    bool few;        ///< all turns from the beginning on: there are few in all
    double fine_rad; ///< how far the fine turns are apart at most; 0: there are none
} TurnSteps;

/// The coarse ones first, then the fine ones.
typedef struct TurnList {
    double turn_rad[TURNS_LISTED_MAX];
    int coarse_count;
    int count;
} TurnList;

/// Turns that look alike are listed once.
///
/// Coarse   steps of 15 degrees at most, from end to end; but of an interval below 30 degrees,
///          unless there are few turns in all, the middle and multiples of a quarter turn.
/// Fine     between them, from end to end. When there is no more room, they end.
TurnList turn_list(const Piece *piece, TurnSteps steps);

/// What all intervals of a task allow: the more turns, the more pairs must be made before any
/// piece is moved. No piece gets fine turns beyond `each_most` turns.
TurnSteps turn_steps(const LayoutTask *task, int each_most);
