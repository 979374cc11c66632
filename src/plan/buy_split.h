// One hide for the whole set, or several, each for its own chairs. A part of plan/plan.h's face,
// behind plan/buy.h.
#pragma once

#include "buying/split.h"
#include "plan/buy.h"

enum { SPLIT_TRIALS_USUAL = 192 };

/// One hide of the set.
typedef struct BuySplitHide {
    CoverDemand *demands; ///< of its chairs
    int demand_count;
    double cut_mm2;
    StudyAnswer study;
    int step; ///< its area; AREA_STEPS: none is enough
    Chance chance;
} BuySplitHide;

typedef struct BuySplit {
    BuyAnswer one;       ///< all from one hide, with its study
    int easy_step;       ///< no larger hide is easily had
    bool one_is_easy;    ///< one hide does, and is easily had
    BuySplitHide *hides; ///< what each must be when there are several
    int hide_count;      ///< 0: stopped before that was known, or a set of one cover
    const char **parted; ///< kinds of seat whose chairs come from several hides
    int parted_count;
    bool enough;    ///< areas were found for which all are enough as often as wanted
    bool easy;      ///< and each is easily had
    Chance chance;  ///< that all are enough
    double all_mm2; ///< of all hides together
    bool stopped;
} BuySplit;

/// Studies the set on one hide, and divided over several.
///
/// Groups   chairs side by side stay together as long as each hide is then easily had; else their
///          row is cut. order.pieces hides; 0: the fewest from two on that are easily had.
/// Trials   order.trials on each hide; 0: SPLIT_TRIALS_USUAL.
/// Result   the same for the same job, order and seed, on any number of threads; in `keep`. A stop
///          keeps what is known: of one hide at least.
/// Errors   as plan_buy().
MUST_CHECK bool plan_buy_split(const Derived *derived, const BuyOrder *order,
                               const Progress *progress, Arena *keep, Arena *scratch,
                               BuySplit *split, Problems *problems);

/// Whether what an answer asks for could be shared out: several pieces, a cover for each.
bool plan_buy_may_split(const BuyAnswer *answer);

/// The chairs of a hide: `4 × side chair (A), side chair number 4 (B)`.
const char *plan_buy_split_chairs(const BuySplitHide *hide, Arena *keep);

/// What to ask for, in sentences.
const char *plan_buy_split_advice(const Derived *derived, const BuySplit *split, Arena *keep);

/// The document of `buy --split --json`.
void plan_buy_split_json(const Derived *derived, const BuySplit *split, Text *text);
