// DXF R12 (AC1009), the format that every drawing program and cutter reads: Autodesk,
// AutoCAD Release 12 Customization Manual, 1992, chapter 11 "Drawing interchange files".
#include "base/units.h"
#include "paper/decimal.h"
#include "paper/letters.h"
#include "paper/style.h"

enum {
    PLACES = 4,
    TEXT_BYTES_MAX = 250, ///< R12 reads at most 255 bytes in a line
};

/// A group: its code on one line, its value on the next.
static void add_word(Text *text, int code, const char *value)
{
    text_add(text, "%3d\n%s\n", code, value);
}

static void add_whole(Text *text, int code, int value)
{
    text_add(text, "%3d\n%d\n", code, value);
}

static void add_real(Text *text, int code, double value)
{
    text_add(text, "%3d\n", code);
    decimal_add(text, value, PLACES);
    text_add(text, "\n");
}

/// Codes 10, 20, 30 (or 11, 21, 31) of a place; R12 wants all three.
static void add_place(Text *text, int code, Point place)
{
    add_real(text, code, place.x);
    add_real(text, code + 10, place.y);
    add_real(text, code + 20, 0);
}

/// Layer and line type names: R12 knows capitals only.
static const char *capital_name(DrawLayer layer, char *room, size_t bytes)
{
    size_t i = 0;
    for (; i + 1 < bytes && layer_names[layer][i]; i++) {
        room[i] = (char)(layer_names[layer][i] - 'a' + 'A'); // all are small letters
    }
    room[i] = '\0';
    return room;
}

static void add_layer_name(Text *text, int code, DrawLayer layer)
{
    char room[32];
    add_word(text, code, capital_name(layer, room, sizeof room));
}

static Box items_box(const Drawing *drawing)
{
    Box box = {{0, 0}, {drawing->width_mm, drawing->height_mm}};
    bool first = true;
    for (int i = 0; i < drawing->count; i++) {
        const Ring points = {drawing->items[i].points, drawing->items[i].point_count};
        const Box one = ring_box(points);
        if (first) {
            box = one;
            first = false;
        }
        box.min = (Point){fmin(box.min.x, one.min.x), fmin(box.min.y, one.min.y)};
        box.max = (Point){fmax(box.max.x, one.max.x), fmax(box.max.y, one.max.y)};
    }
    return box;
}

static void add_header(Text *text, const Drawing *drawing)
{
    const Box box = items_box(drawing);
    add_word(text, 0, "SECTION");
    add_word(text, 2, "HEADER");
    add_word(text, 9, "$ACADVER");
    add_word(text, 1, "AC1009");
    // Newer than R12, whose readers pass over what they do not know: 4 is mm.
    add_word(text, 9, "$INSUNITS");
    add_whole(text, 70, 4);
    add_word(text, 9, "$EXTMIN");
    add_place(text, 10, box.min);
    add_word(text, 9, "$EXTMAX");
    add_place(text, 10, box.max);
    add_word(text, 0, "ENDSEC");
}

static void begin_table(Text *text, const char *name, int count)
{
    add_word(text, 0, "TABLE");
    add_word(text, 2, name);
    add_whole(text, 70, count);
}

static void add_line_type(Text *text, DrawLayer layer)
{
    const LayerStyle *style = &layer_styles[layer];
    double whole_mm = 0;
    for (int i = 0; i < style->dash_count; i++) {
        whole_mm += style->dash_mm[i];
    }
    add_word(text, 0, "LTYPE");
    add_layer_name(text, 2, layer);
    add_whole(text, 70, 0);
    add_word(text, 3, style->meaning);
    add_whole(text, 72, 65); // 'A', the only alignment there is
    add_whole(text, 73, style->dash_count);
    add_real(text, 40, whole_mm);
    for (int i = 0; i < style->dash_count; i++) {
        add_real(text, 49, i % 2 == 0 ? style->dash_mm[i] : -style->dash_mm[i]);
    }
}

static void add_line_types(Text *text)
{
    int count = 1;
    for (int i = 0; i < LAYER_COUNT; i++) {
        count += layer_styles[i].dash_count > 0;
    }
    begin_table(text, "LTYPE", count);
    add_word(text, 0, "LTYPE");
    add_word(text, 2, "CONTINUOUS");
    add_whole(text, 70, 0);
    add_word(text, 3, "drawn through");
    add_whole(text, 72, 65);
    add_whole(text, 73, 0);
    add_real(text, 40, 0);
    for (int i = 0; i < LAYER_COUNT; i++) {
        if (layer_styles[i].dash_count > 0) {
            add_line_type(text, (DrawLayer)i);
        }
    }
    add_word(text, 0, "ENDTAB");
}

static void add_layers(Text *text)
{
    begin_table(text, "LAYER", LAYER_COUNT);
    for (int i = 0; i < LAYER_COUNT; i++) {
        add_word(text, 0, "LAYER");
        add_layer_name(text, 2, (DrawLayer)i);
        add_whole(text, 70, 0);
        add_whole(text, 62, layer_styles[i].dxf_colour);
        if (layer_styles[i].dash_count > 0) {
            add_layer_name(text, 6, (DrawLayer)i);
        } else {
            add_word(text, 6, "CONTINUOUS");
        }
    }
    add_word(text, 0, "ENDTAB");
}

static void add_tables(Text *text)
{
    add_word(text, 0, "SECTION");
    add_word(text, 2, "TABLES");
    add_line_types(text);
    add_layers(text);
    add_word(text, 0, "ENDSEC");
}

static void add_polyline(Text *text, const DrawItem *item)
{
    add_word(text, 0, "POLYLINE");
    add_layer_name(text, 8, item->layer);
    add_whole(text, 66, 1); // vertices follow
    add_place(text, 10, (Point){0, 0});
    add_whole(text, 70, item->closed ? 1 : 0);
    for (int i = 0; i < item->point_count; i++) {
        add_word(text, 0, "VERTEX");
        add_layer_name(text, 8, item->layer);
        add_place(text, 10, item->points[i]);
    }
    add_word(text, 0, "SEQEND");
    add_layer_name(text, 8, item->layer);
}

/// ASCII, with everything else as `\U+XXXX`; what begins a code of DXF is written so
/// that it reads as itself.
static const char *ascii_text(const char *plain, Arena *keep)
{
    Text text = {.keep = keep};
    while (*plain && text.length < TEXT_BYTES_MAX) {
        const uint32_t letter = letters_next(&plain);
        if (letter > 0xFFFF) {
            text_add(&text, "\\U+FFFD"); // four digits hold no more
        } else if (letter > 0x7E || letter == '\\') {
            text_add(&text, "\\U+%04X", (unsigned)letter);
        } else if (letter == '%') {
            text_add(&text, *plain == '%' ? "%%%%%%" : "%%"); // `%%%` is a percent sign
        } else if (letter == '^') {
            text_add(&text, "^ ");
        } else {
            text_add(&text, "%c", (char)letter);
        }
    }
    return text_string(&text);
}

static void add_words(Text *text, const DrawItem *item)
{
    add_word(text, 0, "TEXT");
    add_layer_name(text, 8, item->layer);
    add_place(text, 10, item->points[0]);
    add_real(text, 40, item->size_mm); // the height of a capital, as here
    add_word(text, 1, ascii_text(item->text, text->keep));
    add_real(text, 50, item->turn_rad / RAD_PER_DEG);
    if (item->align != ALIGN_LEFT) {
        add_whole(text, 72, item->align == ALIGN_MIDDLE ? 1 : 2);
        add_place(text, 11, item->points[0]);
    }
}

void paper_dxf(const Drawing *drawing, Text *text)
{
    add_header(text, drawing);
    add_tables(text);
    add_word(text, 0, "SECTION");
    add_word(text, 2, "ENTITIES");
    for (int i = 0; i < drawing->count; i++) {
        if (drawing->items[i].kind == DRAW_TEXT) {
            add_words(text, &drawing->items[i]);
        } else {
            add_polyline(text, &drawing->items[i]);
        }
    }
    add_word(text, 0, "ENDSEC");
    add_word(text, 0, "EOF");
}
