// Flaws as areas. Private to the module.
#pragma once

#include "hide/places.h"

/// Makes a flaw's area of what the user marked.
///
/// Accuracy the area covers all that was marked: discs are drawn round the circle,
///          lines a trifle wider (0.3 %).
/// Errors   bad input at `where.at`, `.radius`, `.line`, `.width` or `.area`.
MUST_CHECK bool flaw_make(const FlawEntry *entry, const char *where, const HideReading *reading,
                          Arena *keep, Arena *scratch, Flaw *flaw);

/// Whether a flaw lies wholly off the outline.
bool flaw_is_off(const Flaw *flaw, Ring outline, Arena *scratch);

/// A simple counter-clockwise ring of the points that a user drew round an area.
///
/// Errors   bad input at `where` (the path of the list of points).
MUST_CHECK bool drawn_ring(const HideReading *reading, const char *where, Ring drawn, Arena *keep,
                           Arena *scratch, Ring *ring);
