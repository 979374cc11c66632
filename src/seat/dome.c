#include "seat/cover.h"

#include <assert.h>

const char *const dome_profile_names[DOME_PROFILE_COUNT] = {
    [DOME_PARABOLA] = "parabola", [DOME_CIRCLE] = "circle", [DOME_FLAT] = "flat"};

// Gauss and Legendre's places and weights for eight points on -1 to 1, the half that
// is positive; Abramowitz and Stegun, Handbook of Mathematical Functions, table 25.4.
enum { GAUSS_PAIRS = 4 };
static const double gauss_place[GAUSS_PAIRS] = {0.183434642495649805, 0.525532409916328986,
                                                0.796666477413626740, 0.960289856497536232};
static const double gauss_weight[GAUSS_PAIRS] = {0.362683783378361983, 0.313706645877887287,
                                                 0.222381034453374471, 0.101228536290376259};

// Fall over run at a share of the way out, for the profiles that are powers:
// z = h (1 - s^n), so dz/dx = n h/run s^(n - 1).
static double power_fall(DomeProfile profile, double rise, double share)
{
    return profile == DOME_FLAT ? 4 * rise * share * share * share : 2 * rise * share;
}

// Arc length over plan length, in `parts` equal parts.
static double arc_share(DomeProfile profile, double rise, int parts)
{
    double sum = 0;
    const double half = 0.5 / parts;
    for (int part = 0; part < parts; part++) {
        const double middle = (part + 0.5) / parts;
        for (int i = 0; i < GAUSS_PAIRS; i++) {
            const double inner = power_fall(profile, rise, middle - half * gauss_place[i]);
            const double outer = power_fall(profile, rise, middle + half * gauss_place[i]);
            sum += gauss_weight[i] * (sqrt(1 + inner * inner) + sqrt(1 + outer * outer));
        }
    }
    return sum * half;
}

double dome_arc_mm(DomeProfile profile, double run_mm, double crown_mm)
{
    assert(run_mm >= 0 && crown_mm >= 0);
    if (run_mm == 0 || crown_mm == 0) {
        return fmax(run_mm, crown_mm);
    }
    if (profile == DOME_CIRCLE) {
        const double half_angle_rad = 2 * atan2(crown_mm, run_mm);
        return (run_mm * run_mm + crown_mm * crown_mm) / (2 * crown_mm) * half_angle_rad;
    }
    const double rise = crown_mm / run_mm;
    // Beyond this the way is down a wall and the integrand a spike: two straight
    // lines serve to 1e-12.
    if (rise > 1e12) {
        return crown_mm;
    }
    double coarse = arc_share(profile, rise, 1);
    for (int parts = 2; parts <= 1 << 16; parts *= 2) {
        const double fine = arc_share(profile, rise, parts);
        if (fabs(fine - coarse) <= 1e-11 * fine) {
            return fine * run_mm;
        }
        coarse = fine;
    }
    return coarse * run_mm;
}

double dome_height_mm(DomeProfile profile, double run_mm, double crown_mm, double share)
{
    assert(run_mm >= 0 && crown_mm >= 0 && share >= 0 && share <= 1);
    if (profile == DOME_CIRCLE && crown_mm > 0) {
        const double radius_mm = (run_mm * run_mm + crown_mm * crown_mm) / (2 * crown_mm);
        const double out_mm = run_mm * share;
        return sqrt(fmax(0, radius_mm * radius_mm - out_mm * out_mm)) - (radius_mm - crown_mm);
    }
    const double square = share * share;
    return crown_mm * (1 - (profile == DOME_FLAT ? square * square : square));
}

double dome_end_slope_rad(DomeProfile profile, double run_mm, double crown_mm)
{
    assert(run_mm >= 0 && crown_mm >= 0);
    if (crown_mm == 0) {
        return 0;
    }
    if (profile == DOME_CIRCLE) {
        return 2 * atan2(fmin(crown_mm, run_mm), run_mm);
    }
    return atan2((profile == DOME_FLAT ? 4 : 2) * crown_mm, run_mm);
}
