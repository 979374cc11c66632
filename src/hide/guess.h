// What a person may have meant who wrote a number down wrongly. Private to the module.
#pragma once

#include "base/units.h"

enum { GUESSES_MAX = 120 };

/// Values that may have been meant by `value`, both in the user's unit; commoner slips
/// first: a factor of ten or of another unit, a digit doubled, two digits swapped, a
/// digit lost. Fractions of an inch stay as they are.
///
/// Result   how many; at most GUESSES_MAX. The value itself may be among them.
int guess_meant(double value, LengthUnit unit, double *guesses);
