// How each layer looks, in one table: line, dash, colour, tint, and what it means.
//
// Meaning is never carried by colour alone: layers that meet on one page differ in
// width or dash too, and all lines are dark enough to read in black and white.
#pragma once

#include "paper/drawing.h"

enum { DASH_MAX = 4 };

/// Red, green and blue from 0 to 1.
typedef struct Colour {
    double red;
    double green;
    double blue;
} Colour;

typedef struct LayerStyle {
    const char *meaning; ///< for people: titles of SVG groups, legends, docs/paper.md
    double width_mm;
    double dash_mm[DASH_MAX]; ///< stroke, gap, stroke, gap; a stroke of 0 is a dot
    Colour line;
    Colour tint;    ///< of filled shapes
    int dash_count; ///< 0: drawn through
    int dxf_colour; ///< colour number of DXF, 1 to 255
} LayerStyle;

extern const LayerStyle layer_styles[LAYER_COUNT];

/// The order in which layers are drawn, from below: bands of charts, then rules, so that
/// they show on a band and a tinted box lies under what stands in it, then the others in
/// the order of DrawLayer.
/// Within a layer: shapes, then lines, then texts, each in the order of their making.
extern const DrawLayer layer_order[LAYER_COUNT];

/// Height of a capital letter of DejaVu Sans for a font size of 1 (sCapHeight 1493 of
/// 2048 units in the font's OS/2 table).
#define CAPITAL_PER_FONT_SIZE (1493.0 / 2048.0)
#define FONT_FAMILY "DejaVu Sans"
