// PDF by cairo, with texts set by pango.
#include "paper/letters.h"
#include "paper/style.h"

#include <cairo-pdf.h>
#include <ctype.h>
#include <string.h>

#define PT_PER_MM (72.0 / 25.4)
/// PDF readers need not show larger pages (ISO 32000-1, annex C.2), and cairo does not
/// write the UserUnit that would help.
#define PAGE_MAX_PT 14400.0

static cairo_status_t keep_bytes(void *closure, const unsigned char *data, unsigned length)
{
    text_add_bytes(closure, (const char *)data, length);
    return CAIRO_STATUS_SUCCESS;
}

/// `2026-01-31` as cairo wants it. Another text would make cairo ask the clock, and the
/// same input would no longer give the same bytes.
static const char *moment_of(const char *date, Arena *keep)
{
    const char *shape = "0000-00-00";
    bool fits = date && strlen(date) >= strlen(shape);
    for (size_t i = 0; fits && shape[i]; i++) {
        fits = shape[i] == '0' ? isdigit((unsigned char)date[i]) != 0 : date[i] == shape[i];
    }
    return fits ? arena_text(keep, "%.10sT00:00:00Z", date) : "1970-01-01T00:00:00Z";
}

static void set_line(cairo_t *cairo, const LayerStyle *style)
{
    cairo_set_source_rgb(cairo, style->line.red, style->line.green, style->line.blue);
    cairo_set_line_width(cairo, style->width_mm);
    cairo_set_dash(cairo, style->dash_mm, style->dash_count, 0);
}

static void trace(cairo_t *cairo, const DrawItem *item, double height_mm)
{
    cairo_new_path(cairo);
    for (int i = 0; i < item->point_count; i++) {
        cairo_line_to(cairo, item->points[i].x, height_mm - item->points[i].y);
    }
    if (item->closed) {
        cairo_close_path(cairo);
    }
}

static void paint_text(cairo_t *cairo, PangoContext *context, const DrawItem *item,
                       double height_mm)
{
    PangoLayout *line = letters_line(context, item->text, item->size_mm, item->bold);
    const double width_mm = letters_line_width_mm(line);
    const double back_mm = item->align == ALIGN_LEFT     ? 0
                           : item->align == ALIGN_MIDDLE ? width_mm / 2
                                                         : width_mm;
    cairo_save(cairo);
    cairo_translate(cairo, item->points[0].x, height_mm - item->points[0].y);
    cairo_rotate(cairo, -item->turn_rad);
    cairo_move_to(cairo, -back_mm, 0);
    pango_cairo_show_layout_line(cairo, pango_layout_get_line_readonly(line, 0));
    cairo_restore(cairo);
    g_object_unref(line);
}

static void paint_kind(cairo_t *cairo, PangoContext *context, const Drawing *drawing,
                       DrawLayer layer, DrawKind kind)
{
    const LayerStyle *style = &layer_styles[layer];
    for (int i = 0; i < drawing->count; i++) {
        const DrawItem *item = &drawing->items[i];
        if (item->layer != layer || item->kind != kind) {
            continue;
        }
        if (kind == DRAW_TEXT) {
            cairo_set_source_rgb(cairo, style->line.red, style->line.green, style->line.blue);
            paint_text(cairo, context, item, drawing->height_mm);
            continue;
        }
        trace(cairo, item, drawing->height_mm);
        if (item->filled) {
            cairo_set_source_rgb(cairo, style->tint.red, style->tint.green, style->tint.blue);
            cairo_fill_preserve(cairo);
        }
        set_line(cairo, style);
        cairo_stroke(cairo);
    }
}

static void paint_page(cairo_t *cairo, const Drawing *drawing)
{
    cairo_save(cairo);
    cairo_scale(cairo, PT_PER_MM, PT_PER_MM);
    cairo_set_line_cap(cairo, CAIRO_LINE_CAP_ROUND); // a stroke of 0 becomes a dot
    cairo_set_line_join(cairo, CAIRO_LINE_JOIN_ROUND);
    PangoContext *context = letters_context(cairo);
    for (int i = 0; i < LAYER_COUNT; i++) {
        paint_kind(cairo, context, drawing, layer_order[i], DRAW_SHAPE);
        paint_kind(cairo, context, drawing, layer_order[i], DRAW_LINE);
        paint_kind(cairo, context, drawing, layer_order[i], DRAW_TEXT);
    }
    g_object_unref(context);
    cairo_restore(cairo);
}

static void describe(cairo_surface_t *surface, PaperTitle title, Arena *keep)
{
    const char *moment = moment_of(title.date, keep);
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_TITLE,
                                   letters_clean(title.title, keep));
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATOR, "Seatwright");
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATE_DATE, moment);
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_MOD_DATE, moment);
}

bool paper_pdf(Drawing *const *pages, int count, PaperTitle title, const Progress *progress,
               Arena *keep, Bytes *bytes)
{
    for (int i = 0; i < count; i++) {
        if (pages[i]->width_mm * PT_PER_MM > PAGE_MAX_PT ||
            pages[i]->height_mm * PT_PER_MM > PAGE_MAX_PT) {
            return false;
        }
    }
    Text text = {.keep = keep};
    cairo_surface_t *surface = cairo_pdf_surface_create_for_stream(keep_bytes, &text, 1, 1);
    describe(surface, title, keep);
    cairo_t *cairo = cairo_create(surface);
    bool going = true;
    for (int i = 0; i < count && going; i++) {
        going = progress_report(progress, "printing the pack", (double)i / count);
        cairo_pdf_surface_set_size(surface, pages[i]->width_mm * PT_PER_MM,
                                   pages[i]->height_mm * PT_PER_MM);
        cairo_pdf_surface_set_page_label(surface, arena_text(keep, "%d", i + 1));
        cairo_pdf_surface_add_outline(surface, CAIRO_PDF_OUTLINE_ROOT, pages[i]->title,
                                      arena_text(keep, "page=%d pos=[0.0 0.0]", i + 1), 0);
        paint_page(cairo, pages[i]);
        cairo_show_page(cairo);
    }
    cairo_destroy(cairo);
    cairo_surface_finish(surface);
    const bool done = going && cairo_surface_status(surface) == CAIRO_STATUS_SUCCESS;
    cairo_surface_destroy(surface);
    if (done) {
        *bytes = (Bytes){.data = text_string(&text), .length = text.length};
    }
    return done;
}
