// Which pieces lie on which sheets of a stock, and the filling of one sheet.
#pragma once

#include "layout/layout.h"

typedef struct Plan {
    Placement *items; ///< [LAYOUT_COPIES_MAX]
    int count;
    int *missing; ///< for each piece, copies that lie nowhere
} Plan;

/// Fills sheets one at a time, and counts the work.
typedef struct Filler {
    const LayoutTask *task;
    const Progress *progress;
    uint64_t seed;
    uint64_t fills; ///< so far
    double done;    ///< units of work
    double limit;
    double share_at; ///< of the whole work, where the fill at hand begins
    double share_of; ///< and how much it may take
    bool stopped;    ///< the user wants no more
    Arena *keep;     ///< given back after each fill
    Arena *scratch;
} Filler;

/// The locked placements alone.
Plan plan_make(const LayoutTask *task, Arena *arena);
/// Adds what of `start` the judge accepts beside the locked placements; of two that it does not
/// accept together, the first.
void plan_begin_from(const LayoutTask *task, const Placement *start, int count, Plan *plan,
                     Arena *scratch);
void plan_copy(const LayoutTask *task, const Plan *from, Plan *to);
bool plan_complete(const LayoutTask *task, const Plan *plan);
/// Pieces on a sheet that are not locked.
int plan_count_on(const Plan *plan, int sheet);

/// Takes all but the locked pieces off a sheet.
void plan_clear(Plan *plan, int sheet);

/// Lays missing pieces on a sheet beside the locked ones, the most worth by `worth` (for each
/// piece). What else lies there is where it begins: it may be moved or taken off for what is worth
/// more. When stopped, perhaps none.
void plan_fill(Filler *filler, Plan *plan, int sheet, const double *worth, double work);
