#include "paper/drawing.h"

#include "paper/letters.h"

#include <assert.h>
#include <stdarg.h>
#include <stdio.h>

Drawing *drawing_create(double width_mm, double height_mm, const char *title, Arena *keep)
{
    assert(isfinite(width_mm) && isfinite(height_mm) && width_mm > 0 && height_mm > 0);
    Drawing *drawing = ARENA_NEW(keep, Drawing);
    drawing->keep = keep;
    drawing->width_mm = width_mm;
    drawing->height_mm = height_mm;
    drawing->title = letters_clean(title, keep);
    return drawing;
}

static DrawItem *add_item(Drawing *drawing, DrawKind kind, DrawLayer layer)
{
    assert(layer >= 0 && layer < LAYER_COUNT);
    drawing->items = arena_room(drawing->keep, drawing->items, drawing->count, &drawing->capacity,
                                sizeof *drawing->items);
    DrawItem *item = &drawing->items[drawing->count++];
    *item = (DrawItem){.kind = kind, .layer = layer};
    return item;
}

static void set_points(Drawing *drawing, DrawItem *item, const Point *points, int count)
{
    Point *copy = ARENA_ARRAY(drawing->keep, Point, count);
    for (int i = 0; i < count; i++) {
        // Readers refuse numbers that are not finite long before they get here.
        assert(isfinite(points[i].x) && isfinite(points[i].y));
        copy[i] = points[i];
    }
    item->points = copy;
    item->point_count = count;
}

void draw_line(Drawing *drawing, DrawLayer layer, Point from, Point to)
{
    draw_polyline(drawing, layer, (const Point[]){from, to}, 2, false);
}

void draw_polyline(Drawing *drawing, DrawLayer layer, const Point *points, int count, bool closed)
{
    if (count < 2) {
        return; // nothing to see
    }
    DrawItem *item = add_item(drawing, DRAW_LINE, layer);
    set_points(drawing, item, points, count);
    item->closed = closed;
}

void draw_shape(Drawing *drawing, DrawLayer layer, Ring ring, bool filled)
{
    if (ring.count < 2) {
        return;
    }
    DrawItem *item = add_item(drawing, DRAW_SHAPE, layer);
    set_points(drawing, item, ring.points, ring.count);
    item->closed = true;
    item->filled = filled;
}

// One parameter more than elsewhere: a call reads like an order to a sign writer, and a
// struct would hide the format from the compiler's check.
// NOLINTNEXTLINE(readability-function-size)
void draw_text(Drawing *drawing, DrawLayer layer, Point anchor, double size_mm, TextAlign align,
               bool bold, double turn_rad, const char *format, ...)
{
    assert(isfinite(size_mm) && size_mm > 0 && isfinite(turn_rad));
    va_list arguments;
    va_start(arguments, format);
    const char *text = arena_text_list(drawing->keep, format, arguments);
    va_end(arguments);
    DrawItem *item = add_item(drawing, DRAW_TEXT, layer);
    set_points(drawing, item, &anchor, 1);
    item->text = letters_clean(text, drawing->keep);
    item->size_mm = size_mm;
    item->align = align;
    item->bold = bold;
    item->turn_rad = turn_rad;
}

double draw_text_width_mm(const char *text, double size_mm, bool bold)
{
    PangoContext *context = letters_context(NULL);
    PangoLayout *line = letters_line(context, text, size_mm, bold);
    const double width_mm = letters_line_width_mm(line);
    g_object_unref(line);
    g_object_unref(context);
    return width_mm;
}
