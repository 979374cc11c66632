// A line drawn by hand, as a page sends it to be made fit for a document.
#pragma once

#include "base/problem.h"
#include "plane/point.h"

typedef struct AskedStroke {
    const Point *points;
    int count;
    double within_mm; ///< how far the line may move
    bool closed;      ///< it goes round something
} AskedStroke;

enum { STROKE_POINTS_MAX = 5000 };

/// Reads `{"points_mm": [[x, y], ...], "within_mm": 3, "closed": true}`; `closed` may be left out.
/// Errors   false with all mistakes, as job_read(); *stroke is then untouched.
MUST_CHECK bool asked_stroke_read(const char *text, size_t bytes, Arena *keep, AskedStroke *stroke,
                                  Problems *problems);
