#include "base/units.h"

#include <math.h>

double length_to_mm(double value, LengthUnit unit)
{
    return unit == LENGTH_IN ? value * MM_PER_IN : value;
}

double length_from_mm(double mm, LengthUnit unit)
{
    return unit == LENGTH_IN ? mm / MM_PER_IN : mm;
}

double area_to_mm2(double value, AreaUnit unit)
{
    return value * (unit == AREA_FT2 ? MM2_PER_FT2 : MM2_PER_M2);
}

double area_from_mm2(double mm2, AreaUnit unit)
{
    return mm2 / (unit == AREA_FT2 ? MM2_PER_FT2 : MM2_PER_M2);
}

double leather_to_mm(double value, LeatherUnit unit)
{
    return unit == LEATHER_OZ ? value * MM_PER_OZ : value;
}

double leather_from_mm(double mm, LeatherUnit unit)
{
    return unit == LEATHER_OZ ? mm / MM_PER_OZ : mm;
}

// A whole number and a fraction of `parts`, reduced: 296/16 is `18 1/2`.
static const char *fraction_text(double value, long parts, Arena *keep)
{
    const long total = lround(fabs(value) * (double)parts);
    const char *sign = value < 0 && total > 0 ? "-" : "";
    const long whole = total / parts;
    long over = total % parts;
    long under = parts;
    if (over == 0) {
        return arena_text(keep, "%s%ld", sign, whole);
    }
    while (over % 2 == 0) {
        over /= 2;
        under /= 2;
    }
    if (whole == 0) {
        return arena_text(keep, "%s%ld/%ld", sign, over, under);
    }
    return arena_text(keep, "%s%ld %ld/%ld", sign, whole, over, under);
}

const char *length_digits(double mm, LengthUnit unit, Arena *keep)
{
    if (unit == LENGTH_IN) {
        return fraction_text(mm / MM_PER_IN, 16, keep);
    }
    const long whole = lround(mm);
    return arena_text(keep, "%ld", whole);
}

const char *length_text(double mm, LengthUnit unit, Arena *keep)
{
    return arena_text(keep, "%s %s", length_digits(mm, unit, keep), length_unit_name(unit));
}

const char *area_text(double mm2, AreaUnit unit, Arena *keep)
{
    return arena_text(keep, "%.2f %s", area_from_mm2(mm2, unit), area_unit_name(unit));
}

const char *leather_text(double mm, LeatherUnit unit, Arena *keep)
{
    if (unit == LEATHER_OZ) {
        return arena_text(keep, "%s oz (%.1f mm)", fraction_text(mm / MM_PER_OZ, 4, keep), mm);
    }
    return arena_text(keep, "%.1f mm", mm);
}

const char *length_unit_name(LengthUnit unit)
{
    return unit == LENGTH_IN ? "in" : "mm";
}

const char *area_unit_name(AreaUnit unit)
{
    return unit == AREA_FT2 ? "ft²" : "m²";
}
