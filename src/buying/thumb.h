// The usual rules for how much leather to buy, side by side.
//
// They disagree by more than half, since each hides its waste elsewhere: in square feet to the
// yard, in a share added to what is cut, in a share of the hide. None of them knows the covers'
// shape. Figures and their standing: docs/buying.md.
#pragma once

#include "buying/tally.h"
#include "cutting/cutting.h"

typedef struct Thumb {
    const char *name;   ///< `18 ft² to the yard`
    const char *reckon; ///< how it comes to its area here: `2 3/4 yd of cloth 54 in wide`
    double area_mm2;
} Thumb;

enum { THUMBS_MAX = 12 };

/// Cloth that the covers would take, as a shop counts it: each in its box, side by side over
/// the width while they go, row under row. In mm of running length, to the next quarter yard.
///
/// Result   0 when a cover is wider than the cloth whichever way it lies.
double thumb_cloth_mm(const CoverDemand *demands, int demand_count, double width_mm);

/// How often what a rule asks for is enough when it is bought as so many pieces.
Chance thumb_chance(const Thumb *thumb, const Tally *tally, int pieces);

/// All rules that say anything for these covers. The number is the result, at most THUMBS_MAX.
int thumb_rules(const CoverDemand *demands, int demand_count, Arena *keep, Thumb *thumbs);
