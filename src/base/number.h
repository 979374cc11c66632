// Numbers as people write them: `18 1/2`, `18-1/2`, `18½`, `18.5`, `18,5`.
//
// Read without regard to the process locale, so that a comma locale changes
// nothing.
#pragma once

#include "base/attributes.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum { NUMBER_TEXT_MAX = 64 }; ///< bytes in a number's text; longer is refused

/// What may stand behind a number.
typedef enum NumberUnit {
    NUMBER_BARE,
    NUMBER_IN, ///< in, inch, inches, "
    NUMBER_FT, ///< ft, foot, feet, '
    NUMBER_MM, ///< mm
    NUMBER_CM, ///< cm
    NUMBER_M,  ///< m
} NumberUnit;

typedef struct Number {
    double value;
    NumberUnit unit;
} Number;

/// Reads a whole text as one number.
///
/// Shapes   optional sign; a decimal (point or comma, no thousands marks), or a
///          whole number with a fraction behind a space or hyphen, or a fraction
///          alone, or one of ½ ¼ ¾ ⅛ ⅜ ⅝ ⅞; then an optional unit.
/// Errors   returns the reason as a text without full stop ("the fraction has
///          the denominator 0"), and leaves *number alone; NULL when read.
MUST_CHECK const char *number_read(const char *text, Number *number);

/// Reads so many bytes as a whole number for machines: digits only, 1 to 18 of them; no sign, no
/// blank, nothing behind. False, with *value alone, for anything else.
MUST_CHECK bool digits_read(const char *text, size_t length, int64_t *value);

/// Reads an area stamp in square feet as the trade writes it: whole feet and
/// quarters, so that `52.3`, `52³` and `52 3/4` all mean 52.75 ft2.
///
/// Errors   the reason, as above: a quarter mark other than 0 to 3 is refused.
/// Source   quarter notation of sellers' pages (trade guidance, not a standard).
MUST_CHECK const char *stamp_read(const char *text, double *area_ft2);
