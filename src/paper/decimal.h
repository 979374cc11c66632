// Decimals for SVG and DXF: fixed places, no trailing zeros, no locale.
#pragma once

#include "base/text.h"

/// Adds `value` rounded to `places` (0 to 6): `12.5`, `-0.001`, `0`, never `-0`.
/// |value| < 1e9.
void decimal_add(Text *text, double value, int places);
