#include "paper/letters.h"

#include "paper/style.h"

#include <string.h>

static const uint32_t not_a_letter = 0xFFFD;

/// Bytes that a lead byte promises, and the smallest code point that needs them all:
/// a smaller one in as many bytes is not UTF-8 (RFC 3629, section 3).
static int promised_bytes(unsigned char lead, uint32_t *bits, uint32_t *least)
{
    if (lead < 0x80) {
        *bits = lead;
        *least = 0;
        return 1;
    }
    if (lead >= 0xC2 && lead < 0xE0) {
        *bits = lead & 0x1Fu;
        *least = 0x80;
        return 2;
    }
    if (lead >= 0xE0 && lead < 0xF0) {
        *bits = lead & 0x0Fu;
        *least = 0x800;
        return 3;
    }
    if (lead >= 0xF0 && lead < 0xF5) {
        *bits = lead & 0x07u;
        *least = 0x10000;
        return 4;
    }
    return 0;
}

uint32_t letters_next(const char **text)
{
    const unsigned char *bytes = (const unsigned char *)*text;
    if (bytes[0] == 0) {
        return 0;
    }
    uint32_t letter = 0;
    uint32_t least = 0;
    const int count = promised_bytes(bytes[0], &letter, &least);
    for (int i = 1; i < count; i++) {
        if ((bytes[i] & 0xC0) != 0x80) { // also the end of the text
            *text += 1;
            return not_a_letter;
        }
        letter = (letter << 6) | (bytes[i] & 0x3Fu);
    }
    const bool surrogate = letter >= 0xD800 && letter <= 0xDFFF;
    if (count == 0 || letter < least || surrogate || letter > 0x10FFFF) {
        *text += 1;
        return not_a_letter;
    }
    *text += count;
    return letter;
}

char *letters_clean(const char *text, Arena *keep)
{
    if (!text) {
        text = "";
    }
    // U+FFFD takes three bytes for one that was wrong.
    char *clean = ARENA_ARRAY(keep, char, 3 * strlen(text) + 1);
    char *end = clean;
    while (*text) {
        const char *start = text;
        const uint32_t letter = letters_next(&text);
        if (letter < 0x20 || (letter >= 0x7F && letter < 0xA0)) {
            *end++ = ' ';
        } else if (letter == not_a_letter || letter == 0xFFFE || letter == 0xFFFF) {
            memcpy(end, "\xEF\xBF\xBD", 3); // the last two are forbidden in XML
            end += 3;
        } else {
            memcpy(end, start, (size_t)(text - start));
            end += text - start;
        }
    }
    *end = '\0';
    return clean;
}

PangoContext *letters_context(cairo_t *cairo)
{
    PangoContext *context = cairo
                                ? pango_cairo_create_context(cairo)
                                : pango_font_map_create_context(pango_cairo_font_map_get_default());
    // With mm as the unit pango would round advances to whole millimetres.
    pango_context_set_round_glyph_positions(context, FALSE);
    cairo_font_options_t *options = cairo_font_options_create();
    cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
    cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
    pango_cairo_context_set_font_options(context, options);
    cairo_font_options_destroy(options);
    return context;
}

PangoLayout *letters_line(PangoContext *context, const char *text, double size_mm, bool bold)
{
    PangoFontDescription *font = pango_font_description_new();
    pango_font_description_set_family_static(font, FONT_FAMILY);
    pango_font_description_set_weight(font, bold ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL);
    pango_font_description_set_absolute_size(font, size_mm / CAPITAL_PER_FONT_SIZE * PANGO_SCALE);
    PangoLayout *line = pango_layout_new(context);
    pango_layout_set_font_description(line, font);
    pango_font_description_free(font);
    pango_layout_set_single_paragraph_mode(line, TRUE);
    pango_layout_set_text(line, text, -1);
    return line;
}

double letters_line_width_mm(PangoLayout *line)
{
    PangoRectangle logical;
    pango_layout_get_extents(line, NULL, &logical);
    return (double)logical.width / PANGO_SCALE;
}
