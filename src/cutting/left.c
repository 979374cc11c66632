#include "cutting/cutting.h"

bool hide_is_left_whole(const CutPlan *plan, int hide)
{
    for (int i = 0; i < plan->cover_count; i++) {
        if (plan->covers[i].hide == hide) {
            return false;
        }
    }
    return true;
}

// Less is always there; more would be found out with the knife.
static double rounded_down_mm(double mm, LengthUnit unit)
{
    const double step_mm = unit == LENGTH_IN ? MM_PER_IN / 2 : 5;
    return step_mm * floor(mm / step_mm + 1e-6);
}

const char *remnant_rectangle_text(const Remnant *left, double useful_mm, LengthUnit unit,
                                   Arena *keep)
{
    const double along_mm = left->rectangle.max.x - left->rectangle.min.x;
    const double across_mm = left->rectangle.max.y - left->rectangle.min.y;
    if (fmin(along_mm, across_mm) < useful_mm) {
        return "none";
    }
    return arena_text(keep, "%s by %s", length_digits(rounded_down_mm(along_mm, unit), unit, keep),
                      length_text(rounded_down_mm(across_mm, unit), unit, keep));
}

const char *remnant_area_text(const Remnant *left, AreaUnit unit, Arena *keep)
{
    return left->area_mm2 > 0 ? area_text(left->area_mm2, unit, keep) : "none";
}

const char *shared_cuts_text(SharedCuts cuts, LengthUnit unit, Arena *keep)
{
    const double shared_mm = rounded_down_mm(cuts.shared_mm, unit);
    const double in_line_mm = rounded_down_mm(cuts.in_line_mm, unit);
    if (shared_mm <= 0 && in_line_mm <= 0) {
        return "";
    }
    if (shared_mm <= 0) {
        return arena_text(keep, "%s on a line with a neighbour's",
                          length_text(in_line_mm, unit, keep));
    }
    const char *shared =
        arena_text(keep, "%s side by side with a neighbour's", length_text(shared_mm, unit, keep));
    return in_line_mm > 0 ? arena_text(keep, "%s, %s on a line with one", shared,
                                       length_text(in_line_mm, unit, keep))
                          : shared;
}
