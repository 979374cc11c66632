#include "hide/hide.h"

// How far up the backbone (in backbone lengths) the leg pockets lie, how far beyond
// them their pull fades out, and the angle there. docs/hides.md has the sources.
static const double HIND_POCKET = 0.14;
static const double HIND_FADES = 0.44; ///< towards the neck; towards the butt it goes down the leg
static const double FORE_FROM = 0.44;
static const double FORE_POCKET = 0.66;
static const double FORE_FADES = 0.90;
static const double POCKET_RAD = 29 * RAD_PER_DEG;
// Width over which the turn grows from nothing at the edge of the firm regions.
static const double BLEND = 0.10;

// 1 at share 0, 0 from share 1 on, smooth at both ends.
static double fade(double share)
{
    const double rest = 1 - fmin(1, fmax(0, share));
    return rest * rest * (3 - 2 * rest);
}

// Turn on the left half where the blend is full. Down the hind leg the leather is
// firm along the leg, so from the pocket towards the butt the turn stays.
static double left_turn_rad(double up)
{
    const double hind = fade((up - HIND_POCKET) / (HIND_FADES - HIND_POCKET));
    const double fore = up < FORE_POCKET ? fade((FORE_POCKET - up) / (FORE_POCKET - FORE_FROM))
                                         : fade((up - FORE_POCKET) / (FORE_FADES - FORE_POCKET));
    return POCKET_RAD * (fore - hind);
}

static bool runs_straight(RegionKind kind)
{
    return kind == REGION_BUTT || kind == REGION_BACK || kind == REGION_SHOULDER ||
           kind == REGION_NECK;
}

double hide_firm_direction_rad(const Hide *hide, Point place)
{
    if (hide->whole) { // the leather of a remnant runs as it did on the hide
        return hide_firm_direction_rad(hide->whole, place);
    }
    const double length_mm = hide->backbone_mm;
    double from_straight_mm = BLEND * length_mm;
    for (int i = 0; i < hide->region_count && from_straight_mm > 0; i++) {
        if (runs_straight(hide->regions[i].kind)) {
            const double away_mm = polygon_set_distance_mm(hide->regions[i].area, place);
            from_straight_mm = fmin(from_straight_mm, away_mm);
        }
    }
    if (from_straight_mm <= 0) {
        return 0;
    }
    const double blend = 1 - fade(from_straight_mm / (BLEND * length_mm));
    // Left and right turn against each other; across the backbone one goes over into
    // the other, should the user have laid soft leather there.
    const double side = fmin(1, fmax(-1, place.y / (BLEND * length_mm)));
    return side * blend * left_turn_rad(place.x / length_mm);
}
