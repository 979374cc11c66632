// Letters: texts made safe, and set with pango so that they measure in mm.
#pragma once

#include "base/arena.h"

#include <pango/pangocairo.h>
#include <stdbool.h>
#include <stdint.h>

/// The next character of a UTF-8 text; *text moves behind it. Bytes that are not
/// UTF-8 read as U+FFFD, one by one; 0 at the end, where *text stays.
uint32_t letters_next(const char **text);

/// A copy as one line of valid UTF-8 that any of the formats can hold: bytes that
/// are not UTF-8 become U+FFFD, control characters become spaces. NULL becomes "".
char *letters_clean(const char *text, Arena *keep);

/// A context whose user unit is the mm and whose glyphs are not moved to whole units.
/// `cairo` may be NULL: for measuring. Free with g_object_unref().
PangoContext *letters_context(cairo_t *cairo);

/// A line of text. Free with g_object_unref().
PangoLayout *letters_line(PangoContext *context, const char *text, double size_mm, bool bold);

double letters_line_width_mm(PangoLayout *line);
