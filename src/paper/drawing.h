// Drawings: lists of strokes, fills and texts in millimetres, each on a layer that
// says what it means. The same drawing becomes PDF, SVG or DXF.
//
// Frame of reference: x right, y UP, origin in the lower left corner of the sheet.
// How a layer looks (width, dash, tint) stands in one table, layer_styles, made so
// that it reads well in black and white and at arm's length.
#pragma once

#include "base/arena.h"
#include "base/progress.h"
#include "base/text.h"
#include "plane/ring.h"

/// What a stroke means. Also the layer names of SVG groups and DXF layers.
typedef enum DrawLayer {
    LAYER_HIDE,      ///< the hide's edge
    LAYER_REGION,    ///< limits of regions
    LAYER_HATCH,     ///< hatching along the firm direction
    LAYER_FLAW,      ///< flaws
    LAYER_BACKBONE,  ///< backbone and its scale
    LAYER_CUT,       ///< where to cut
    LAYER_TURN,      ///< inner limit of the grip: what the shears take off again
    LAYER_EDGE,      ///< inner limit of the turn: the frame's lower edge
    LAYER_FACE,      ///< inner limit of the edge: what is sat on
    LAYER_TACK,      ///< tack line
    LAYER_FRAME,     ///< the wooden frame's outline
    LAYER_LEFT,      ///< the largest whole rectangle that is left
    LAYER_BAND,      ///< charts: where a value may lie
    LAYER_CHART,     ///< charts: curves and bars
    LAYER_DIRECTION, ///< arrows of the firm direction
    LAYER_MARK,      ///< marks to chalk, registration marks, centre marks
    LAYER_TEXT,      ///< names and readings
    LAYER_RULE,      ///< rules of tables, frames of boxes, proof lines
    LAYER_COUNT
} DrawLayer;

extern const char *const layer_names[LAYER_COUNT]; ///< hide, region, hatch, ...

typedef enum TextAlign { ALIGN_LEFT, ALIGN_MIDDLE, ALIGN_RIGHT } TextAlign;

typedef enum DrawKind { DRAW_LINE, DRAW_SHAPE, DRAW_TEXT } DrawKind;

typedef struct DrawItem {
    DrawKind kind;
    DrawLayer layer;
    bool closed;         ///< LINE: joins its ends
    bool filled;         ///< SHAPE: with the layer's tint; its edge is drawn too
    const Point *points; ///< LINE, SHAPE; TEXT: points[0] is the anchor on the baseline
    int point_count;
    const char *text; ///< TEXT: UTF-8, one line
    double size_mm;   ///< TEXT: height of a capital letter
    TextAlign align;
    bool bold;
    double turn_rad; ///< TEXT: counter-clockwise about its anchor
} DrawItem;

typedef struct Drawing {
    Arena *keep;
    double width_mm;
    double height_mm;
    const char *title; ///< for outlines of documents and SVG titles
    DrawItem *items;
    int count;
    int capacity;
} Drawing;

/// An empty drawing whose items live in `keep`.
Drawing *drawing_create(double width_mm, double height_mm, const char *title, Arena *keep);

void draw_line(Drawing *drawing, DrawLayer layer, Point from, Point to);
/// Points are copied.
void draw_polyline(Drawing *drawing, DrawLayer layer, const Point *points, int count, bool closed);
void draw_shape(Drawing *drawing, DrawLayer layer, Ring ring, bool filled);
void draw_text(Drawing *drawing, DrawLayer layer, Point anchor, double size_mm, TextAlign align,
               bool bold, double turn_rad, const char *format, ...) PRINTF_LIKE(8, 9);

/// Width that a text will take in the PDF, in mm. Measured with the same font.
double draw_text_width_mm(const char *text, double size_mm, bool bold);

/// What documents say about themselves.
typedef struct PaperTitle {
    const char *title;
    const char *date; ///< ISO 8601, `2026-01-31`; stated on pages and in the file
} PaperTitle;

/// Bytes made by a renderer; they live in the arena that it was given.
typedef struct Bytes {
    const char *data;
    size_t length;
} Bytes;

/// One PDF of one page for each drawing, true to scale (1 mm is 1 mm on paper).
/// The same drawings and date give the same bytes.
/// Errors   false when the drawing library refuses (out of memory), or `progress`, which may
///          be NULL, asks for a stop.
MUST_CHECK bool paper_pdf(Drawing *const *pages, int count, PaperTitle title,
                          const Progress *progress, Arena *keep, Bytes *bytes);

/// One SVG 1.1 of a drawing, width and height in mm, viewBox in mm, a group for each layer.
void paper_svg(const Drawing *drawing, Text *text);

/// One DXF R12 (AC1009) of a drawing, units mm, y up, a layer for each meaning;
/// closed rings as closed POLYLINEs.
void paper_dxf(const Drawing *drawing, Text *text);
