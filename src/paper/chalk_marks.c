// The tables of marks: tape readings for each cover, beside a small drawing of it.
#include "paper/chalk.h"

#include "paper/marks.h"
#include "paper/steps.h"
#include "paper/table.h"

#define PICTURE_MM 42.0
#define PICTURE_GAP_MM 6.0
#define NUMBER_ROOM_MM 4.2 ///< round the small drawing, for the numbers of the marks
#define DIAGONAL_LINE_MM (CAPITAL_BODY_MM * 1.8)
#define LEAST_ROWS_MM 50.0

static const char title[] = "Table of marks";

static void draw_numbers(Drawing *page, const MapView *view, const Marks *marks, Point middle)
{
    for (int i = 0; i < marks->count; i++) {
        const Point at = map_point(view, marks->items[i].place);
        draw_shape(page, LAYER_MARK,
                   (Ring){(const Point[]){{at.x - 0.5, at.y},
                                          {at.x, at.y - 0.5},
                                          {at.x + 0.5, at.y},
                                          {at.x, at.y + 0.5}},
                          4},
                   true);
        const Point out = point_unit(point_minus(at, middle));
        const Point number = point_plus(at, point_times(out, 2.6));
        draw_text(page, LAYER_TEXT, (Point){number.x, number.y - CAPITAL_SMALL_MM / 2},
                  CAPITAL_SMALL_MM, ALIGN_MIDDLE, false, 0, "%d", i + 1);
    }
}

/// The cover as it lies on the map with the backbone up the page.
static void draw_picture(const Flow *flow, const PlacedCover *cover, const Marks *marks, double top)
{
    Drawing *page = flow->page;
    const double left = flow->room.min.x;
    const Box room = {{left + NUMBER_ROOM_MM, top - PICTURE_MM + NUMBER_ROOM_MM},
                      {left + PICTURE_MM - NUMBER_ROOM_MM, top - NUMBER_ROOM_MM}};
    const MapView view = map_view(ring_box(cover->cut), room, true, false);
    draw_shape(page, LAYER_CUT, map_ring(&view, cover->cut, page->keep), false);
    const Ring face = cover->within[BAND_FACE].count > 2 ? cover->within[BAND_FACE] : cover->cut;
    draw_shape(page, LAYER_FACE, map_ring(&view, face, page->keep), false);
    for (int i = 0; i < marks->diagonal_count; i++) {
        draw_line(page, LAYER_RULE, map_point(&view, marks->items[marks->diagonal[i][0]].place),
                  map_point(&view, marks->items[marks->diagonal[i][1]].place));
    }
    const Point middle = map_point(&view, ring_centroid(face));
    const Point back = {-sin(cover->motion.turn_rad), cos(cover->motion.turn_rad)};
    const Point to_back =
        point_unit(point_minus(map_point(&view, point_plus(ring_centroid(face), back)), middle));
    map_arrow(page, point_minus(middle, point_times(to_back, 5)),
              point_plus(middle, point_times(to_back, 5)), 2.2);
    draw_numbers(page, &view, marks, map_point(&view, ring_centroid(cover->cut)));
}

/// Below the small drawing. Returns how far down that reaches.
static double draw_diagonals(const Flow *flow, const Marks *marks, double top)
{
    for (int i = 0; i < marks->diagonal_count; i++) {
        const int from = marks->diagonal[i][0];
        const int to = marks->diagonal[i][1];
        draw_text(flow->page, LAYER_TEXT,
                  (Point){flow->room.min.x, top - CAPITAL_BODY_MM - i * DIAGONAL_LINE_MM},
                  CAPITAL_BODY_MM, ALIGN_LEFT, false, 0, "%d to %d:  %s", from + 1, to + 1,
                  marks_distance_text(marks, from, to, flow->matter->job->units.length,
                                      flow->page->keep));
    }
    return top - marks->diagonal_count * DIAGONAL_LINE_MM;
}

static Table marks_table(const Marks *marks, const Hide *hide, LengthUnit unit, Arena *keep)
{
    Table table = {.columns = {{.head = "mark", .align = ALIGN_RIGHT},
                               {.head = arena_text(keep, "up the %s", marks_axis_name(hide)),
                                .align = ALIGN_RIGHT},
                               {.head = "out", .align = ALIGN_RIGHT},
                               {.head = "to the next", .align = ALIGN_RIGHT}},
                   .column_count = 4,
                   .keep = keep};
    for (int i = 0; i < marks->count; i++) {
        const int next = (i + 1) % marks->count;
        table_row(&table, (const char *[]){arena_text(keep, "%d", i + 1),
                                           marks_up_text(marks->items[i].up_mm, unit, keep),
                                           marks_out_text(marks->items[i].out_mm, unit, keep),
                                           marks_distance_text(marks, i, next, unit, keep)});
    }
    return table;
}

/// Height of the block of a cover, so that it stays on one page.
static double block_height_mm(const Marks *marks)
{
    const double head_and_rows_mm = 11 + marks->count * 5.7;
    return fmax(head_and_rows_mm, PICTURE_MM + 2 * DIAGONAL_LINE_MM);
}

static void add_cover(Flow *flow, const PlacedCover *cover)
{
    Arena *keep = flow->pages->keep;
    const LengthUnit unit = flow->matter->job->units.length;
    const Marks marks = marks_of(cover->cut, cover->motion.turn_rad, unit);
    flow_heading(flow, steps_cover_heading(flow->matter, cover, keep), block_height_mm(&marks));
    const double top = flow->top_mm;
    draw_picture(flow, cover, &marks, top);
    const Box whole = flow->room;
    flow->room.min.x += PICTURE_MM + PICTURE_GAP_MM;
    const Table table = marks_table(&marks, &flow->matter->hides[cover->hide], unit, keep);
    table_draw(&table, flow);
    flow->room = whole;
    const double low = draw_diagonals(flow, &marks, top - PICTURE_MM - 1);
    flow->top_mm = fmin(flow->top_mm, low);
}

static void add_flaws(Flow *flow, const Hide *hide)
{
    Arena *keep = flow->pages->keep;
    const LengthUnit unit = flow->matter->job->units.length;
    Table table = {.columns = {{.head = "flaw", .align = ALIGN_RIGHT},
                               {.head = "kind"},
                               {.head = "name", .wraps = true},
                               {.head = arena_text(keep, "up the %s", marks_axis_name(hide)),
                                .align = ALIGN_RIGHT},
                               {.head = "out", .align = ALIGN_RIGHT}},
                   .column_count = 5,
                   .keep = keep};
    for (int i = 0; i < hide->flaw_count; i++) {
        const Flaw *flaw = &hide->flaws[i];
        table_row(
            &table,
            (const char *[]){arena_text(keep, "%d", i + 1), flaw_kind_names[flaw->kind], flaw->name,
                             marks_up_text(marks_rounded_mm(flaw->middle.x, unit), unit, keep),
                             marks_out_text(marks_rounded_mm(flaw->middle.y, unit), unit, keep)});
    }
    if (hide->flaw_count > 0) {
        flow_heading(flow, "Flaws: the middle of each", LEAST_ROWS_MM / 2);
        table_draw(&table, flow);
    }
}

void chalk_mark_tables(const PackMatter *matter, int hide, Pages *pages)
{
    Flow flow = flow_begin(matter, pages, title, false);
    Arena *keep = pages->keep;
    const LengthUnit unit = matter->job->units.length;
    const bool panel = matter->hides[hide].form == HIDE_PANEL;
    const char *axis = marks_axis_name(&matter->hides[hide]);
    flow_heading(&flow, chalk_hide_name(matter, hide, keep), LEAST_ROWS_MM);
    flow_paragraph(
        &flow, arena_text(keep,
                          "Lay the tape along the %s from %s (0), and a square from "
                          "it out to the mark. Readings are to %s. Numbers run round each cover as "
                          "drawn, grain side up, the %s up the page; the arrow points to the "
                          "back of the seat. With the flesh side up, left and right change places "
                          "under the hand but keep their names here.",
                          axis, panel ? "the lower edge" : "the butt end",
                          unit == LENGTH_IN ? "1/8 in" : "1 mm", axis));
    int shown = 0;
    for (int i = 0; i < matter->plan->cover_count && pack_goes_on(matter); i++) {
        if (matter->plan->covers[i].hide == hide) {
            add_cover(&flow, &matter->plan->covers[i]);
            shown++;
        }
    }
    if (shown == 0) {
        flow_paragraph(&flow, "No cover lies on this hide.");
    }
    add_flaws(&flow, &matter->hides[hide]);
}
