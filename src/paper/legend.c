#include "paper/legend.h"

#include "paper/hatch.h"
#include "paper/marks.h"
#include "paper/rulers.h"
#include "plane/curve.h"

#define SIZE_MM CAPITAL_SMALL_MM
#define SAMPLE_MM 11.0
#define SAMPLE_GAP_MM 1.8
#define ENTRY_GAP_MM 6.0
#define ROW_MM 6.6
#define SWATCH_MM 5.1 ///< height of a piece of hatching
#define BAR_MM 80.0   ///< kept for the scale bar at the beginning of the first row

typedef enum Sample { SAMPLE_LINE, SAMPLE_HATCH, SAMPLE_FLAW, SAMPLE_ARROW } Sample;

typedef struct Entry {
    Sample sample;
    DrawLayer layer;
    Firmness firmness; ///< hatching only
    const char *text;  ///< NULL: the name of the line that the tape lies on
} Entry;

static const Entry entries[] = {
    {SAMPLE_LINE, LAYER_CUT, FIRM, "cut here"},
    {SAMPLE_LINE, LAYER_TURN, FIRM, "end of the hold"},
    {SAMPLE_LINE, LAYER_EDGE, FIRM, "frame's lower edge"},
    {SAMPLE_LINE, LAYER_FACE, FIRM, "limit of the face"},
    {SAMPLE_ARROW, LAYER_DIRECTION, FIRM, "front to back of the seat"},
    {SAMPLE_FLAW, LAYER_FLAW, FIRM, "flaw, ringed"},
    {SAMPLE_LINE, LAYER_BACKBONE, FIRM, NULL},
    {SAMPLE_LINE, LAYER_REGION, FIRM, "limit of a region"},
    {SAMPLE_HATCH, LAYER_HATCH, FIRM, "firm"},
    {SAMPLE_HATCH, LAYER_HATCH, MIDDLING, "middling"},
    {SAMPLE_HATCH, LAYER_HATCH, SOFT, "soft"},
    {SAMPLE_HATCH, LAYER_HATCH, LOOSE, "loose"},
};
enum { ENTRY_COUNT = sizeof entries / sizeof entries[0] };

/// Entries for what this hide does not have are left out.
static bool has_entry(const Hide *hide, const Entry *entry)
{
    if (entry->sample == SAMPLE_FLAW) {
        return hide->flaw_count > 0;
    }
    if (entry->layer == LAYER_REGION) {
        return hide->region_count > 1;
    }
    if (entry->sample != SAMPLE_HATCH) {
        return true;
    }
    for (int i = 0; i < hide->region_count; i++) {
        if (hide->regions[i].firmness == entry->firmness) {
            return true;
        }
    }
    return false;
}

static void draw_hatch_sample(Drawing *page, Point left, Firmness firmness)
{
    const double apart_mm = MAP_HATCH_MM * hatch_looseness[firmness];
    const int last = (int)(SWATCH_MM / apart_mm);
    for (int i = 0; i <= last; i++) {
        const double y = left.y - SWATCH_MM / 2 + i * apart_mm;
        draw_line(page, LAYER_HATCH, (Point){left.x, y}, (Point){left.x + SAMPLE_MM, y});
    }
}

static void draw_sample(Drawing *page, const Entry *entry, Point left)
{
    const Point right = {left.x + SAMPLE_MM, left.y};
    const Point middle = point_between(left, right, 0.5);
    switch (entry->sample) {
    case SAMPLE_LINE:
        draw_line(page, entry->layer, left, right);
        break;
    case SAMPLE_ARROW:
        map_arrow(page, left, right, 2.4);
        break;
    case SAMPLE_FLAW:
        draw_shape(page, LAYER_FLAW, curve_ellipse(middle, 0.9, 0.9, 0.02, page->keep), true);
        draw_shape(page, LAYER_FLAW, curve_ellipse(middle, 2.0, 2.0, 0.02, page->keep), false);
        break;
    case SAMPLE_HATCH:
        draw_hatch_sample(page, left, entry->firmness);
        break;
    }
}

/// Walks the rows; draws when `page` is given. Returns the height.
static double walk(const Hide *hide, double width_mm, Drawing *page, Point top_left)
{
    double x = BAR_MM;
    int row = 0;
    for (int i = 0; i < ENTRY_COUNT; i++) {
        const Entry *entry = &entries[i];
        if (!has_entry(hide, entry)) {
            continue;
        }
        const char *text = entry->text ? entry->text : marks_axis_name(hide);
        const double entry_mm =
            SAMPLE_MM + SAMPLE_GAP_MM + draw_text_width_mm(text, SIZE_MM, false);
        if (x + entry_mm > width_mm) {
            x = 0;
            row++;
        }
        if (page) {
            const Point left = {top_left.x + x, top_left.y - (row + 0.5) * ROW_MM};
            draw_sample(page, entry, left);
            draw_text(page, LAYER_TEXT,
                      (Point){left.x + SAMPLE_MM + SAMPLE_GAP_MM, left.y - SIZE_MM / 2}, SIZE_MM,
                      ALIGN_LEFT, false, 0, "%s", text);
        }
        x += entry_mm + ENTRY_GAP_MM;
    }
    return (row + 1) * ROW_MM;
}

double legend_height_mm(const Hide *hide, double width_mm)
{
    return walk(hide, width_mm, NULL, (Point){0, 0});
}

void legend_draw(const Map *map, Box room, double top_mm)
{
    rulers_scale_bar(map->page, &map->view, map->matter->job->units.length,
                     (Point){room.min.x, top_mm - ROW_MM / 2 - SIZE_MM / 4});
    walk(map->hide, room.max.x - room.min.x, map->page, (Point){room.min.x, top_mm});
}
