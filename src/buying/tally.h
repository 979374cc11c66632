// What the trials of a study say: from how large a hide on each found room, and with what
// certainty that answers how large a hide to buy.
//
// Areas are steps of half a square foot, the trade's own coarse measure: step i is an area of
// i / 2 ft². A tally takes the same memory for ten trials as for a million.
#pragma once

#include "base/units.h"

#include <stdbool.h>
#include <stdint.h>

enum { AREA_STEPS = 200 };                    ///< 100 ft²
static const double area_step_mm2 = 46451.52; ///< half a square foot, exactly

/// Between which two areas a trial's covers begin to find room: none at `failed`, all at `fits`.
/// failed is -1 when they fit on the least area looked at, fits AREA_STEPS when on none.
typedef struct Bracket {
    int failed;
    int fits;
} Bracket;

typedef struct Tally {
    int trials;
    int careful; ///< trials in which the second, longer search was needed
    /// [failed + 1][fits]
    uint32_t count[AREA_STEPS + 1][AREA_STEPS + 1];
} Tally;

void tally_add(Tally *tally, Bracket bracket, bool careful);

/// The mean of the brackets' middles, in steps; those that end nowhere at the largest hide.
double tally_mean_step(const Tally *tally);

/// A share with the interval in which it lies with a given confidence.
typedef struct Chance {
    double share;
    double low;
    double high;
} Chance;

/// For 95 %.
#define CHANCE_Z 1.96

/// Of `trials` some `happened` (may be a fraction); z is 1.96 for 95 %.
///
/// Method   the score interval of Wilson (J. Am. Stat. Assoc. 22, 1927).
Chance chance_of(double happened, double trials, double z);

/// The chances of all areas. Within a bracket the trial counts in part, evenly
/// over its steps.
typedef struct TallyCurve {
    int trials;
    double fitting[AREA_STEPS]; ///< how many of them find room on each
} TallyCurve;

TallyCurve tally_curve(const Tally *tally);

/// The chance that an area is enough.
Chance curve_chance(const TallyCurve *curve, int step, double z);

/// The same of a single area: for several ask a curve.
Chance tally_chance(const Tally *tally, int step, double z);

/// The least area whose chance reaches `comfort`, and the interval for it: from the least area
/// whose chance could reach it to the least whose chance does so for sure. AREA_STEPS: none does.
typedef struct AreaFor {
    int step;
    int low;
    int high;
} AreaFor;

AreaFor tally_area_for(const Tally *tally, double comfort, double z);

/// An area of the tally as one asks for it, rounded up: `52 ft²`, `4.85 m²`.
const char *area_step_text(int step, AreaUnit unit, Arena *keep);

/// A chance as one says it: `19 times in 20`, `2 times in 3`, `hardly ever`.
const char *chance_words(double share);
