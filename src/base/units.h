// Units: conversions at the border, and nowhere else.
//
// Inside the program lengths are mm, areas mm2, angles radians. Factors are exact
// by definition: the international inch of 1959 (25.4 mm) and the leather ounce
// of 1/64 in.
#pragma once

#include "base/arena.h"

#define MM_PER_IN 25.4
#define MM2_PER_FT2 92903.04 ///< (12 x 25.4)^2
#define MM2_PER_M2 1e6
#define MM_PER_OZ 0.396875 ///< 1/64 in
#define RAD_PER_DEG 0.017453292519943295
#define PI 3.14159265358979323846 ///< rad in half a turn
#define WHOLE_TURN_RAD 6.283185307179586

typedef enum LengthUnit { LENGTH_MM, LENGTH_IN } LengthUnit;
typedef enum AreaUnit { AREA_M2, AREA_FT2 } AreaUnit;
typedef enum LeatherUnit { LEATHER_MM, LEATHER_OZ } LeatherUnit;

/// What a file states and a report speaks.
typedef struct Units {
    LengthUnit length;
    AreaUnit area;
    LeatherUnit leather;
} Units;

double length_to_mm(double value, LengthUnit unit);
double length_from_mm(double mm, LengthUnit unit);
double area_to_mm2(double value, AreaUnit unit);
double area_from_mm2(double mm2, AreaUnit unit);
double leather_to_mm(double value, LeatherUnit unit);
double leather_from_mm(double mm, LeatherUnit unit);

/// A length as one reads it off a tape, with its unit: `18 1/2 in` (nearest
/// 1/16 in, fraction reduced) or `470 mm` (nearest mm). Text lives in `keep`.
const char *length_text(double mm, LengthUnit unit, Arena *keep);

/// The same without the unit, for table columns: `18 1/2`, `470`.
const char *length_digits(double mm, LengthUnit unit, Arena *keep);

/// `52.25 ft²` or `4.85 m²`.
const char *area_text(double mm2, AreaUnit unit, Arena *keep);

/// `2 3/4 oz (1.1 mm)` or `1.1 mm`. Ounces to the nearest quarter.
const char *leather_text(double mm, LeatherUnit unit, Arena *keep);

/// `in`, `mm`.
const char *length_unit_name(LengthUnit unit);
/// `ft²`, `m²`.
const char *area_unit_name(AreaUnit unit);
