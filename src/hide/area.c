#include "hide/hide.h"

// Common practice: a careful second measurement agrees with the stamp within 2 %;
// beyond 3 % the buyer talks to the seller.
static const double AGREED_SHARE = 0.02;
static const double DISPUTED_SHARE = 0.03;
// 51 ft2 against 50 ft2 is 2 % and agrees, whatever the last digit says.
static const double ROUNDING_SHARE = 1e-9;

AreaVerdict hide_area_verdict(double measured_mm2, double stamped_mm2, double *difference_mm2)
{
    const bool stamped = stamped_mm2 > 0;
    const double difference = stamped ? measured_mm2 - stamped_mm2 : 0;
    if (difference_mm2) {
        *difference_mm2 = difference;
    }
    if (!stamped) {
        return AREA_NOT_STAMPED;
    }
    const double share = fabs(difference) / stamped_mm2;
    if (share <= AGREED_SHARE + ROUNDING_SHARE) {
        return AREA_AGREES;
    }
    return share <= DISPUTED_SHARE + ROUNDING_SHARE ? AREA_DOUBTED : AREA_DISPUTED;
}

const char *hide_area_text(const Hide *hide, AreaUnit unit, Arena *keep)
{
    double difference_mm2 = 0;
    const AreaVerdict verdict =
        hide_area_verdict(hide->area_mm2, hide->stamped_mm2, &difference_mm2);
    if (verdict == AREA_NOT_STAMPED) {
        return NULL;
    }
    return arena_text(keep, "stamped %s, %s the outline holds %s, %.1f %% %s",
                      area_text(hide->stamped_mm2, unit, keep),
                      verdict == AREA_AGREES ? "and" : "but", area_text(hide->area_mm2, unit, keep),
                      100 * fabs(difference_mm2) / hide->stamped_mm2,
                      difference_mm2 < 0 ? "less" : "more");
}
