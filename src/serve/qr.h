// A text as a QR code (ISO/IEC 18004), made by libqrencode; only this file knows it.
#pragma once

#include "base/text.h"

/// As a picture in SVG, dark on white, with the quiet zone of four modules that the standard
/// wants. `name` is what a screen reader says of it. Errors   false: too long; no memory.
MUST_CHECK bool qr_svg(const char *content, const char *name, Text *svg);

/// As lines of half blocks for a terminal, quiet zone and all; with `coloured` in black on white
/// whatever the terminal's colours are, else for black letters on white paper.
MUST_CHECK bool qr_blocks(const char *content, bool coloured, Text *lines);
