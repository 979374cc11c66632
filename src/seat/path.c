#include "seat/path.h"
#include "base/units.h"

const char *const bottom_edge_names[BOTTOM_EDGE_COUNT] = {
    [BOTTOM_SQUARE] = "square", [BOTTOM_ROUNDED] = "rounded", [BOTTOM_BEVELLED] = "bevelled"};

Section section_of(const BuildUp *build_up, int layers, double thickness_mm)
{
    double top_mm = 0;
    double side_mm = 0;
    for (int i = 0; i < layers; i++) {
        const Layer layer = build_up->layers[i];
        // What goes under has come down the side. What ends at the lower edge lies under
        // the leather there all the same.
        const bool on_side = layer.on_sides || layer.goes_under;
        top_mm += layer.thickness_mm;
        side_mm += on_side ? layer.thickness_mm : 0;
    }
    const bool shaped = build_up->bottom_edge != BOTTOM_SQUARE;
    const bool rounded = build_up->bottom_edge == BOTTOM_ROUNDED;
    const bool bevelled = build_up->bottom_edge == BOTTOM_BEVELLED;
    return (Section){
        .build_up = build_up,
        .rounding_mm = build_up->edge_radius_mm + top_mm + thickness_mm / 2,
        .bottom_mm = (rounded ? build_up->bottom_mm : 0) + side_mm + thickness_mm / 2,
        .bevel_mm = bevelled ? build_up->bottom_mm * sqrt(2) : 0,
        .lower_mm = shaped ? build_up->bottom_mm : 0,
        // The leather's own thickness goes out with its way and in with its radius.
        .dome_growth_mm = build_up->overhang_mm + side_mm - build_up->edge_radius_mm - top_mm,
    };
}

double sides_toward(const Sides *sides, Point outward)
{
    // Quarters of a turn from the right, so that whole numbers are the four sides.
    static const Side counter_clockwise[] = {SIDE_RIGHT, SIDE_BACK, SIDE_LEFT, SIDE_FRONT};
    double quarters = atan2(outward.y, outward.x) / (PI / 2);
    quarters = quarters < 0 ? quarters + 4 : quarters;
    const int from = (int)quarters % 4;
    const double beyond = quarters - floor(quarters);
    const double blend = fmin(1, fmax(0, 3 * beyond - 1));
    return sides->at[counter_clockwise[from]] * (1 - blend) +
           sides->at[counter_clockwise[(from + 1) % 4]] * blend;
}

// The line that touches the upper rounded edge and a lower one, whose centre lies so far below
// and so far out of the upper one's.
static SectionEdge touching(const Section *section, double down_mm, double in_mm)
{
    const double more_mm = section->rounding_mm - section->bottom_mm; // upper radius less lower
    const double apart_mm = hypot(in_mm, down_mm);
    const double length2_mm2 = apart_mm * apart_mm - more_mm * more_mm;
    if (length2_mm2 < 0 || apart_mm == 0) {
        return (SectionEdge){.closes = length2_mm2 >= 0};
    }
    const double lean_rad = asin(more_mm / apart_mm) + atan2(in_mm, down_mm);
    // Leaning more than a quarter turn, the leather would come up again to the frame.
    return (SectionEdge){
        .side_mm = sqrt(length2_mm2), .lean_rad = lean_rad, .closes = lean_rad <= PI / 2};
}

SectionEdge section_edge(const Section *section, double height_mm)
{
    const BuildUp *build_up = section->build_up;
    const double down_mm =
        build_up->frame_thickness_mm - section->lower_mm + height_mm - build_up->edge_radius_mm;
    if (build_up->overhang_mm == 0) {
        // exact where the formulas cancel
        return (SectionEdge){.side_mm = fabs(down_mm), .closes = true};
    }
    const double in_mm = build_up->overhang_mm - (section->rounding_mm - section->bottom_mm);
    const SectionEdge edge = touching(section, down_mm, in_mm);
    if (section->bevel_mm == 0 || edge.lean_rad <= PI / 4) {
        return edge;
    }
    // Leaning more than the bevel, it leaves the bevel's outer corner behind.
    SectionEdge inner = touching(section, down_mm + section->lower_mm, in_mm + section->lower_mm);
    inner.over_bevel = true;
    return inner;
}

static double end_slope_rad(const Section *section, double support_mm)
{
    return dome_end_slope_rad(section->build_up->profile, fmax(support_mm, 0),
                              section->build_up->crown_mm);
}

double section_dome_reach_mm(const Section *section, double support_mm)
{
    // reach = radius sin(slope(support + reach)); the slope falls as the reach grows,
    // so there is exactly one.
    double low_mm = 0;
    double high_mm = section->rounding_mm;
    for (int i = 0; i < 50; i++) {
        const double reach_mm = (low_mm + high_mm) / 2;
        const double slope_rad = end_slope_rad(section, support_mm + reach_mm);
        *(reach_mm < section->rounding_mm * sin(slope_rad) ? &low_mm : &high_mm) = reach_mm;
    }
    return high_mm;
}

LeatherPath section_path(const Section *section, const Fixing *fixing, Point outward,
                         double support_mm)
{
    const double height_mm = sides_toward(&section->build_up->padding_edge_mm, outward);
    const SectionEdge edge = section_edge(section, height_mm);
    const double slope_rad = end_slope_rad(section, support_mm);
    const double inset_mm = sides_toward(&fixing->tack_inset_mm, outward);
    return (LeatherPath){
        .round_mm = section->rounding_mm * (PI / 2 - slope_rad + edge.lean_rad),
        .side_mm = edge.side_mm,
        .bottom_mm = section->bottom_mm * (PI / 2 - edge.lean_rad) +
                     (edge.over_bevel ? 0 : section->bevel_mm),
        .under_mm = fmax(0, inset_mm - section->lower_mm),
        .hold_mm = sides_toward(&fixing->hold_mm, outward),
        .grip_mm = sides_toward(&fixing->grip_mm, outward),
        .slope_rad = slope_rad,
        .padding_edge_mm = height_mm,
    };
}
