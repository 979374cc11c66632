// Full-size templates: a map of the sheets, then the sheets.
#include "paper/flow.h"
#include "paper/fullsize.h"
#include "paper/notes.h"
#include "paper/sheet.h"
#include "paper/style.h"
#include "paper/tile.h"

#define BELOW_PICTURE_MM 108.0 ///< height that the words below the picture take

static bool seen_before(const PackMatter *matter, int demand)
{
    for (int i = 0; i < demand; i++) {
        if (matter->demands[i].cover == matter->demands[demand].cover) {
            return true;
        }
    }
    return false;
}

/// Demands of one cover share its template.
static Template template_of(const PackMatter *matter, int demand, Arena *keep)
{
    const CoverDemand *first = &matter->demands[demand];
    Template template = {.matter = matter,
                         .cover = first->cover,
                         .name = first->name,
                         .seat = first->seat,
                         .chair = first->chair,
                         .count = first->count};
    for (int i = demand + 1; i < matter->demand_count; i++) {
        const CoverDemand *other = &matter->demands[i];
        if (other->cover == first->cover) {
            template.name = arena_text(keep, "%s, %s", template.name, other->name);
            template.count += other->count;
        }
    }
    sheet_lay_out(&template, keep);
    return template;
}

/// At the foot of the page, before anything else takes the room.
static void draw_proof_lines(Flow *flow)
{
    sheet_draw_proof_lines(flow->page, flow->room.min);
    flow->room.min.y += PROOF_HEIGHT_MM + 2;
}

static Point on_map(Point place, const Template *template, double scale, Point corner)
{
    return point_plus(point_times(point_minus(place, template->grid.corner), scale), corner);
}

static void draw_map_ring(Drawing *page, DrawLayer layer, Ring ring, const Template *template,
                          double scale, Point corner)
{
    Point *points = ARENA_ARRAY(page->keep, Point, ring.count);
    for (int i = 0; i < ring.count; i++) {
        points[i] = on_map(ring.points[i], template, scale, corner);
    }
    draw_polyline(page, layer, points, ring.count, true);
}

// A tile by its number, row after row.
typedef struct MapTile {
    int row;
    int column;
    bool used;
    Box box; // on the map
} MapTile;

static MapTile map_tile(const Template *template, int tile, double scale, Point corner)
{
    const int row = tile / template->grid.columns;
    const int column = tile % template->grid.columns;
    const Box cell = tile_cell(&template->grid, row, column);
    return (MapTile){.row = row,
                     .column = column,
                     .used = tile_is_used(&template->grid, row, column),
                     .box = {on_map(cell.min, template, scale, corner),
                             on_map(cell.max, template, scale, corner)}};
}

static void draw_map_tile(Drawing *page, MapTile tile)
{
    const Point min = tile.box.min;
    const Point max = tile.box.max;
    const Point box[] = {min, {max.x, min.y}, max, {min.x, max.y}};
    draw_shape(page, LAYER_RULE, (Ring){box, 4}, !tile.used);
}

/// In a corner of the tile that the cover's lines leave free, if there is one.
static void name_map_tile(Notes *notes, MapTile tile)
{
    const Point min = tile.box.min;
    const Point max = tile.box.max;
    const char *name = tile.used ? tile_name(tile.row, tile.column, notes->sheet->keep) : "none";
    const Note note = {.text = name, .size_mm = CAPITAL_BODY_MM, .bold = tile.used};
    const double width_mm = draw_text_width_mm(name, note.size_mm, note.bold);
    const double in_mm = 2;
    const double left = min.x + in_mm;
    const double right = max.x - in_mm - width_mm;
    const double low = min.y + in_mm;
    const double high = max.y - in_mm - note.size_mm;
    const Point anchors[] = {{left, high},
                             {right, high},
                             {left, low},
                             {right, low},
                             {(left + right) / 2, (low + high) / 2},
                             {left, (low + high) / 2},
                             {right, (low + high) / 2}};
    for (size_t i = 0; i < sizeof anchors / sizeof anchors[0]; i++) {
        if (note_at(notes, note, anchors[i], 0)) {
            return;
        }
    }
    note_force(notes, note, anchors[0], 0);
}

static void draw_map_cover(Drawing *page, const Template *template, double scale, Point corner)
{
    const Cover *cover = template->cover;
    draw_map_ring(page, LAYER_CUT, cover->cut, template, scale, corner);
    draw_map_ring(page, LAYER_FACE, cover->within[BAND_FACE], template, scale, corner);
    draw_map_ring(page, LAYER_FRAME, cover->frame, template, scale, corner);
    const Box box = ring_box(cover->within[BAND_FACE]);
    const double reach_mm = (box.max.y - box.min.y) / 6;
    const Point low = {cover->middle.x, cover->middle.y - reach_mm};
    const Point high = {cover->middle.x, cover->middle.y + reach_mm};
    draw_firm_arrow(page, on_map(low, template, scale, corner),
                    on_map(high, template, scale, corner));
}

/// The whole with the grid of sheets, back on top.
static void draw_map(Flow *flow, const Template *template)
{
    const TileGrid *grid = &template->grid;
    const double wide_mm =
        grid->columns * (grid->window_width_mm - TILE_OVERLAP_MM) + TILE_OVERLAP_MM;
    const double high_mm =
        grid->rows * (grid->window_height_mm - TILE_OVERLAP_MM) + TILE_OVERLAP_MM;
    const double room_mm = flow->room.max.x - flow->room.min.x;
    const double words_mm = CAPITAL_BODY_MM * LINE_PER_CAPITAL;
    const double tall_mm = flow->top_mm - flow->room.min.y - 2 * words_mm - BELOW_PICTURE_MM;
    const double scale = fmin(room_mm / wide_mm, tall_mm / high_mm);
    flow_need(flow, high_mm * scale + 2 * words_mm);
    const double centre_mm = flow->room.min.x + room_mm / 2;
    draw_text(flow->page, LAYER_TEXT, (Point){centre_mm, flow->top_mm - CAPITAL_BODY_MM},
              CAPITAL_BODY_MM, ALIGN_MIDDLE, true, 0, "BACK");
    const Point corner = {centre_mm - wide_mm * scale / 2,
                          flow->top_mm - words_mm - high_mm * scale};
    for (int i = 0; i < grid->rows * grid->columns; i++) {
        draw_map_tile(flow->page, map_tile(template, i, scale, corner));
    }
    draw_map_cover(flow->page, template, scale, corner);
    Notes notes = {.sheet = flow->page, .window = flow->room};
    for (int i = 0; i < grid->rows * grid->columns; i++) {
        name_map_tile(&notes, map_tile(template, i, scale, corner));
    }
    flow->top_mm = corner.y - words_mm;
    draw_text(flow->page, LAYER_TEXT, (Point){centre_mm, flow->top_mm}, CAPITAL_BODY_MM,
              ALIGN_MIDDLE, true, 0, "FRONT");
    flow_gap(flow, CAPITAL_BODY_MM);
}

static void tell_what(Flow *flow, const Template *template)
{
    const PackMatter *matter = template->matter;
    const LengthUnit unit = matter->job->units.length;
    Arena *keep = flow->pages->keep;
    const Box box = ring_box(template->cover->cut);
    flow_paragraph(flow,
                   arena_text(keep, "%s%s%s%s: %d to cut, each %s wide and %s deep.",
                              template->seat, template->chair ? " (" : "",
                              template->chair ? template->chair : "", template->chair ? ")" : "",
                              template->count, length_text(box.max.x - box.min.x, unit, keep),
                              length_text(box.max.y - box.min.y, unit, keep)));
    flow_paragraph(
        flow,
        arena_text(keep, "%d %s of %s, %s. Grain side up, as seen from above.",
                   template->grid.used_count, template->grid.used_count == 1 ? "sheet" : "sheets",
                   job_paper_names[matter->job->paper],
                   template->page_width_mm > template->page_height_mm ? "lying" : "upright"));
}

static void tell_how(Flow *flow, const Template *template)
{
    static const char *const steps[] = {
        "Print at 100 % (no \"fit to page\"). Measure both proof lines on every sheet: 100 mm and "
        "4 in. If one is off, print again; do not cut leather by it.",
        "Trim each sheet at its join lines on the left and on the top, where it has them. Leave "
        "the other sides as they are. Blades slip: use a mat and keep fingers behind the edge.",
        "Begin with row A, from the left. Lay each sheet over its neighbours so that its trimmed "
        "edges meet their join lines and the halves of the crosses make whole crosses.",
        "Glue or tape from the middle of each edge outward. Check that long lines run on straight.",
        "Measure the width and depth above across the glued template, then cut it out.",
    };
    flow_heading(flow, "How to put it together", 10);
    if (template->grid.used_count == 1) {
        flow_paragraph(flow, "Print at 100 % (no \"fit to page\") and measure both proof lines.");
        return;
    }
    for (int i = 0; i < (int)(sizeof steps / sizeof steps[0]); i++) {
        flow_item(flow, arena_text(flow->pages->keep, "%d.", i + 1), steps[i]);
    }
}

static void draw_legend(Flow *flow)
{
    static const DrawLayer shown[] = {LAYER_CUT,  LAYER_TURN,  LAYER_TACK,     LAYER_EDGE,
                                      LAYER_FACE, LAYER_FRAME, LAYER_DIRECTION};
    const int count = (int)(sizeof shown / sizeof shown[0]);
    const double row_mm = CAPITAL_SMALL_MM * LINE_PER_CAPITAL;
    flow_heading(flow, "Lines", row_mm * count);
    for (int i = 0; i < count; i++) {
        const double base = flow->top_mm - CAPITAL_SMALL_MM;
        const Point from = {flow->room.min.x, base + CAPITAL_SMALL_MM / 2};
        const Point to = {from.x + 24, from.y};
        if (shown[i] == LAYER_DIRECTION) {
            draw_firm_arrow(flow->page, from, to);
        } else {
            draw_line(flow->page, shown[i], from, to);
        }
        draw_text(flow->page, LAYER_TEXT, (Point){to.x + 4, base}, CAPITAL_SMALL_MM, ALIGN_LEFT,
                  false, 0, "%s", layer_styles[shown[i]].meaning);
        flow->top_mm -= row_mm;
    }
}

static void add_template(const Template *template, Pages *pages)
{
    const char *title = arena_text(pages->keep, "Template %s", template->name);
    Flow flow = flow_begin(template->matter, pages, title, false);
    draw_proof_lines(&flow);
    tell_what(&flow, template);
    draw_map(&flow, template);
    tell_how(&flow, template);
    draw_legend(&flow);
    int number = 0;
    for (int row = 0; row < template->grid.rows; row++) {
        for (int column = 0; column < template->grid.columns && pack_goes_on(template->matter);
             column++) {
            if (tile_is_used(&template->grid, row, column)) {
                number++;
                pages_add(pages, sheet_make(template, row, column, number, pages->keep));
            }
        }
    }
}

void pack_templates(const PackMatter *matter, Pages *pages)
{
    for (int i = 0; i < matter->demand_count && pack_goes_on(matter); i++) {
        if (!seen_before(matter, i)) {
            const Template template = template_of(matter, i, pages->keep);
            add_template(&template, pages);
        }
    }
}
