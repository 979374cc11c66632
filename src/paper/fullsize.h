// Covers drawn at 1:1, for plotters, cutting machines and templates.
#pragma once

#include "paper/pack.h"

/// Draws a cover's lines, its (0, 0) at `origin`: cut outline, limits of the bands,
/// tack line, frame, and centre marks where straight lines from the middle to the
/// front, right, back and left meet them. No texts, no arrow.
void draw_cover_lines(Drawing *drawing, const Cover *cover, Point origin);

/// An arrow with a filled head.
void draw_firm_arrow(Drawing *drawing, Point from, Point to);

/// Where the straight line from the cover's middle towards a side leaves a ring.
/// False when it never meets it.
bool cover_middle_of_side(const Cover *cover, Ring ring, Side side, Point *place);
