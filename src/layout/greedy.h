// One layout by one rule: pieces in an order, each at the place that the rule likes
// best among all that are free: the bottom-left rule of Baker, Coffman and Rivest 1980 (named from
// memory) with other likings.
#pragma once

#include "layout/model.h"

#define ALL_TURNS (~UINT64_C(0))

/// What makes a place good; the least sum wins. Places count from 0 to about 1 over
/// the sheet.
typedef struct Rule {
    double cost;     ///< weight of the cost field
    double along_x;  ///< > 0: to the left; < 0: to the right
    double along_y;  ///< > 0: down; < 0: up
    double straight; ///< weight of a turn away from the middle of its interval
    uint64_t tried;  ///< turns off the middle are tried by pose: bit (pose % 64)
    bool any_sheet;  ///< the best place on any sheet; else on the first with room
} Rule;

/// Which shapes are known to find no room on which sheets.
typedef struct Greedy {
    Model *model;
    uint64_t *full; ///< [shape * sheet_count + sheet]: the round it was found full in
} Greedy;

/// Before model_make(), with what will be the model.
Greedy greedy_begin(Model *model, const LayoutTask *task, Arena *arena);

/// Finds the best place for a piece. False when there is none. A shape without room is not looked
/// at again before model_clear(), so rules that try other turns need a round of their own.
bool greedy_find(Greedy *greedy, int piece, const Rule *rule, Laid *found);

/// Finds the free place nearest to a placement, a few cells away at most, at the nearest of
/// the turns that are tried.
bool greedy_find_near(Greedy *greedy, const Placement *placement, Laid *found);
