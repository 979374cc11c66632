#include "cutting/fit.h"

// The order of harm as an upholsterer would put it: common practice, thought through in
// docs/tolerance.md. First what nobody sees, then what costs work, then looks, then money,
// then comfort.

const char *const fit_kind_names[FIT_KIND_COUNT] = {
    [FIT_FOLLOWING] = "cut following",
    [FIT_EITHER_WAY] = "either way",
    [FIT_TURN] = "turn window",
    [FIT_GRIP] = "grip",
    [FIT_FLAW] = "flaw",
    [FIT_FIRMNESS] = "firmness",
    [FIT_LARGER] = "larger hide",
    [FIT_FEWER] = "fewer covers",
};

typedef struct Harm {
    int rank; // 0: not offered
    const char *words;
} Harm;

// For each kind of flaw and the innermost band that would have it.
static const Harm flaw_harm[FLAW_KIND_COUNT][BAND_COUNT] = {
    [FLAW_TICKS] = {[BAND_FACE] = {34, "specks are seen on the seat; sound"},
                    [BAND_EDGE] = {26, "specks are seen at the edge; sound"},
                    [BAND_TURN] = {24, "out of sight"}},
    [FLAW_VEINS] = {[BAND_FACE] = {35, "a mark on the seat; sound"},
                    [BAND_EDGE] = {27, "a mark at the edge; sound"},
                    [BAND_TURN] = {24, "out of sight"}},
    [FLAW_WRINKLE] = {[BAND_FACE] = {36, "a mark on the seat; sound"},
                      [BAND_EDGE] = {28, "a mark at the edge; sound"},
                      [BAND_TURN] = {24, "out of sight"}},
    [FLAW_SCAR] = {[BAND_FACE] = {40, "a healed scar is seen on the seat; sound"},
                   [BAND_EDGE] = {29, "a healed scar is seen at the edge; sound"},
                   [BAND_TURN] = {24, "out of sight"}},
    [FLAW_STAIN] = {[BAND_FACE] = {72, "a stain on the seat"},
                    [BAND_EDGE] = {56, "a stain is seen at the edge"},
                    [BAND_TURN] = {24, "out of sight"}},
    [FLAW_BRAND] = {[BAND_FACE] = {74, "a stiff brand on the seat"},
                    [BAND_EDGE] = {58, "a stiff brand is seen at the edge"},
                    [BAND_TURN] = {25, "stiff to fold, out of sight"}},
    [FLAW_GRUB_HOLES] = {[BAND_FACE] = {84, "small holes open on the seat and let dirt in"},
                         [BAND_EDGE] = {76, "small holes are seen at the edge"},
                         [BAND_TURN] = {30, "small holes beside the tacks"}},
    [FLAW_LOOSE_GRAIN] = {[BAND_FACE] = {82, "the grain pipes and creases where it is sat on"},
                          [BAND_EDGE] = {66, "the grain creases round the edge"},
                          [BAND_TURN] = {25, "out of sight"}},
    [FLAW_STRETCHED] = {[BAND_FACE] = {83, "bags when sat on"},
                        [BAND_EDGE] = {67, "lies slack round the edge"},
                        [BAND_TURN] = {25, "out of sight"}},
};

// Loose leather on the face is never offered: it bags within weeks.
static const Harm firmness_harm[FIRMNESS_COUNT][BAND_COUNT] = {
    [MIDDLING] = {[BAND_FACE] = {48, "gives a little more when sat on"},
                  [BAND_EDGE] = {38, "gives a little more round the edge"},
                  [BAND_TURN] = {24, "out of sight"}},
    [SOFT] = {[BAND_FACE] = {80, "bags when sat on"},
              [BAND_EDGE] = {64, "wrinkles where it wraps the edge"},
              [BAND_TURN] = {30, "gives under the hands; out of sight"}},
    [LOOSE] = {[BAND_EDGE] = {81, "wrinkles, and gives at the edge"},
               [BAND_TURN] = {68, "gives under the tacks: more of them, nearer together"}},
};

static const Harm in_the_grip = {20, "cut off again with the grip"};

static Harm band_harm(const Harm *by_band, Tolerance allowed)
{
    if (allowed == BAND_GRIP && by_band[BAND_EDGE].rank > 0) {
        return in_the_grip;
    }
    return allowed < (int)BAND_COUNT ? by_band[allowed] : (Harm){0};
}

static const double slight_turn_rad = 0.2618; // 15 degrees in all
static const double least_turn_rad = 0.1745;

static Harm turn_harm(double window_rad)
{
    const int degrees = (int)lround(window_rad / RAD_PER_DEG);
    if (window_rad <= least_turn_rad + 1e-6) {
        return (Harm){12, "within common practice"};
    }
    if (window_rad <= slight_turn_rad + 1e-6) {
        return (Harm){10 + degrees, "the give runs a little askew; hardly felt"};
    }
    return (Harm){30 + degrees, "the give runs askew: the seat may wear to one side"};
}

static Harm grip_harm(const FitChange *change)
{
    int sides = 0;
    for (int side = 0; side < SIDE_COUNT; side++) {
        sides += change->sides[side];
    }
    return (Harm){26 + sides + (int)lround(change->shorter_mm / 5),
                  "less for the hands to pull on; pliers help"};
}

static Harm harm_of(const FitChange *change)
{
    switch (change->kind) {
    case FIT_FOLLOWING:
        return (Harm){1, "curves for the shears; nothing on the seat"};
    case FIT_EITHER_WAY:
        return (Harm){10, "grain and shade run the other way on some seats"};
    case FIT_TURN:
        return turn_harm(change->turn_window_rad);
    case FIT_GRIP:
        return grip_harm(change);
    case FIT_FLAW:
        return band_harm(flaw_harm[change->flaw], change->allowed);
    case FIT_FIRMNESS:
        return band_harm(firmness_harm[change->firmness], change->allowed);
    case FIT_LARGER:
        return (Harm){60, "another hide to buy"};
    case FIT_FEWER:
        return (Harm){62, "seats left bare, or covered from other leather"};
    case FIT_KIND_COUNT:
        break;
    }
    return (Harm){0};
}

int fit_harm(const FitChange *change, const char **words)
{
    const Harm harm = harm_of(change);
    if (words) {
        *words = harm.words;
    }
    return harm.rank;
}
