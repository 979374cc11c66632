// SVG 1.1 (W3C Recommendation, second edition, 16 August 2011).
#include "base/units.h"
#include "paper/decimal.h"
#include "paper/style.h"

#include <string.h>

enum { PLACES = 3 };

static void add_escaped(Text *text, const char *plain)
{
    for (const char *at = plain; *at; at++) {
        switch (*at) {
        case '&':
            text_add(text, "&amp;");
            break;
        case '<':
            text_add(text, "&lt;");
            break;
        case '>':
            text_add(text, "&gt;");
            break;
        case '"':
            text_add(text, "&quot;");
            break;
        default:
            text_add_bytes(text, at, 1);
        }
    }
}

static void add_attribute(Text *text, const char *name, double value)
{
    text_add(text, " %s=\"", name);
    decimal_add(text, value, PLACES);
    text_add(text, "\"");
}

static void add_colour(Text *text, const char *name, Colour colour)
{
    text_add(text, " %s=\"#%02x%02x%02x\"", name, (unsigned)lround(colour.red * 255),
             (unsigned)lround(colour.green * 255), (unsigned)lround(colour.blue * 255));
}

/// Only the places are mirrored: y runs down in SVG. Letters stay upright.
static void add_points(Text *text, const Drawing *drawing, const DrawItem *item)
{
    text_add(text, " points=\"");
    for (int i = 0; i < item->point_count; i++) {
        text_add(text, "%s", i > 0 ? " " : "");
        decimal_add(text, item->points[i].x, PLACES);
        text_add(text, ",");
        decimal_add(text, drawing->height_mm - item->points[i].y, PLACES);
    }
    text_add(text, "\"");
}

static void add_outline(Text *text, const Drawing *drawing, const DrawItem *item)
{
    text_add(text, "<%s", item->closed ? "polygon" : "polyline");
    add_points(text, drawing, item);
    if (item->filled) {
        add_colour(text, "fill", layer_styles[item->layer].tint);
    }
    text_add(text, "/>\n");
}

static void add_words(Text *text, const Drawing *drawing, const DrawItem *item)
{
    static const char *const anchors[] = {
        [ALIGN_LEFT] = "start", [ALIGN_MIDDLE] = "middle", [ALIGN_RIGHT] = "end"};
    const double x_mm = item->points[0].x;
    const double y_mm = drawing->height_mm - item->points[0].y;
    text_add(text, "<text");
    add_attribute(text, "x", x_mm);
    add_attribute(text, "y", y_mm);
    add_attribute(text, "font-size", item->size_mm / CAPITAL_PER_FONT_SIZE);
    text_add(text, " text-anchor=\"%s\"", anchors[item->align]);
    if (item->bold) {
        text_add(text, " font-weight=\"bold\"");
    }
    if (fabs(item->turn_rad) > 0) {
        text_add(text, " transform=\"rotate(");
        decimal_add(text, -item->turn_rad / RAD_PER_DEG, PLACES);
        text_add(text, " ");
        decimal_add(text, x_mm, PLACES);
        text_add(text, " ");
        decimal_add(text, y_mm, PLACES);
        text_add(text, ")\"");
    }
    // White space that the user typed stays: two spaces in a name are two spaces.
    text_add(text, " xml:space=\"preserve\">");
    add_escaped(text, item->text);
    text_add(text, "</text>\n");
}

static void add_kind(Text *text, const Drawing *drawing, DrawLayer layer, DrawKind kind)
{
    for (int i = 0; i < drawing->count; i++) {
        const DrawItem *item = &drawing->items[i];
        if (item->layer != layer || item->kind != kind) {
            continue;
        }
        if (kind == DRAW_TEXT) {
            add_words(text, drawing, item);
        } else {
            add_outline(text, drawing, item);
        }
    }
}

static void begin_group(Text *text, DrawLayer layer)
{
    const LayerStyle *style = &layer_styles[layer];
    text_add(text, "<g id=\"%s\" class=\"%s\" fill=\"none\"", layer_names[layer],
             layer_names[layer]);
    add_colour(text, "stroke", style->line);
    add_attribute(text, "stroke-width", style->width_mm);
    for (int i = 0; i < style->dash_count; i++) {
        text_add(text, i == 0 ? " stroke-dasharray=\"" : " ");
        decimal_add(text, style->dash_mm[i], PLACES);
    }
    text_add(text, "%s>\n<title>%s</title>\n", style->dash_count > 0 ? "\"" : "", style->meaning);
}

static bool has_layer(const Drawing *drawing, DrawLayer layer, bool texts)
{
    for (int i = 0; i < drawing->count; i++) {
        const DrawItem *item = &drawing->items[i];
        if (item->layer == layer && (item->kind == DRAW_TEXT) == texts) {
            return true;
        }
    }
    return false;
}

static void add_layer(Text *text, const Drawing *drawing, DrawLayer layer)
{
    const bool texts = has_layer(drawing, layer, true);
    if (!texts && !has_layer(drawing, layer, false)) {
        return;
    }
    begin_group(text, layer);
    add_kind(text, drawing, layer, DRAW_SHAPE);
    add_kind(text, drawing, layer, DRAW_LINE);
    if (texts) {
        text_add(text, "<g stroke=\"none\"");
        add_colour(text, "fill", layer_styles[layer].line);
        text_add(text, ">\n");
        add_kind(text, drawing, layer, DRAW_TEXT);
        text_add(text, "</g>\n");
    }
    text_add(text, "</g>\n");
}

void paper_svg(const Drawing *drawing, Text *text)
{
    text_add(text, "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
                   "<svg xmlns=\"http://www.w3.org/2000/svg\" version=\"1.1\" width=\"");
    decimal_add(text, drawing->width_mm, PLACES);
    text_add(text, "mm\" height=\"");
    decimal_add(text, drawing->height_mm, PLACES);
    text_add(text, "mm\" viewBox=\"0 0 ");
    decimal_add(text, drawing->width_mm, PLACES);
    text_add(text, " ");
    decimal_add(text, drawing->height_mm, PLACES);
    text_add(text, "\" stroke-linecap=\"round\" stroke-linejoin=\"round\""
                   " font-family=\"" FONT_FAMILY ", sans-serif\">\n<title>");
    add_escaped(text, drawing->title);
    text_add(text, "</title>\n");
    for (int i = 0; i < LAYER_COUNT; i++) {
        add_layer(text, drawing, layer_order[i]);
    }
    text_add(text, "</svg>\n");
}
