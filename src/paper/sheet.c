#include "paper/sheet.h"

#include "paper/fullsize.h"
#include "paper/notes.h"
#include "paper/page.h"

static const double clearance_mm = 4;     ///< round the cover, inside the sheets
static const double cross_mm = 4;         ///< half a registration cross
static const double arrow_room_mm = 6;    ///< least clear radius that holds an arrow
static const double words_room_mm = 17;   ///< least clear radius that holds words beside it
static const double block_radius_mm = 30; ///< no larger than this
static const double half_pi = 1.57079632679489662;

static TileGrid grid_on(const Template *template, double page_width_mm, double page_height_mm,
                        Arena *keep)
{
    return tile_grid(template->cover->cut, clearance_mm, page_width_mm - 2 * SHEET_MARGIN_MM,
                     page_height_mm - 2 * SHEET_MARGIN_MM - SHEET_STRIP_MM, keep);
}

void sheet_lay_out(Template *template, Arena *keep)
{
    const Point paper = page_size(template->matter->job, false);
    const TileGrid upright = grid_on(template, paper.x, paper.y, keep);
    const TileGrid lying = grid_on(template, paper.y, paper.x, keep);
    const bool lies = lying.used_count < upright.used_count;
    template->grid = lies ? lying : upright;
    template->page_width_mm = lies ? paper.y : paper.x;
    template->page_height_mm = lies ? paper.x : paper.y;
}

static void draw_proof_line(Drawing *page, Point from, double length_mm, double tick_mm,
                            const char *label)
{
    draw_line(page, LAYER_RULE, from, (Point){from.x + length_mm, from.y});
    const int ticks = (int)lround(length_mm / tick_mm);
    for (int i = 0; i <= ticks; i++) {
        const double x = from.x + length_mm * i / ticks;
        const double high_mm = i == 0 || i == ticks ? 3 : i * 2 == ticks ? 2 : 1.2;
        draw_line(page, LAYER_RULE, (Point){x, from.y}, (Point){x, from.y + high_mm});
    }
    draw_text(page, LAYER_TEXT, (Point){from.x + 4 * MM_PER_IN + 2, from.y}, CAPITAL_SMALL_MM,
              ALIGN_LEFT, true, 0, "%s", label);
}

void sheet_draw_proof_lines(Drawing *page, Point corner)
{
    draw_proof_line(page, (Point){corner.x, corner.y + 6}, 100, 10, "100 mm");
    draw_proof_line(page, corner, 4 * MM_PER_IN, MM_PER_IN / 2, "4 in");
}

static void draw_strip(Drawing *page, const Template *template, const char *tile, int number)
{
    Arena *keep = page->keep;
    const double right = page->width_mm - SHEET_MARGIN_MM;
    const double left = SHEET_MARGIN_MM + PROOF_WIDTH_MM + 4;
    const double step_mm = CAPITAL_SMALL_MM * LINE_PER_CAPITAL;
    const double first = SHEET_MARGIN_MM + SHEET_STRIP_MM - 2 - CAPITAL_BODY_MM;
    // The number stands first among the items: pages_add() looks for it there.
    draw_text(page, LAYER_TEXT, (Point){right, first - step_mm}, CAPITAL_SMALL_MM, ALIGN_RIGHT,
              false, 0, "page 1 of 1");
    const double number_mm = draw_text_width_mm("page 888 of 888", CAPITAL_SMALL_MM, false);
    const char *name = arena_text(keep, "Template %s, sheet %s", template->name, tile);
    draw_text(page, LAYER_TEXT, (Point){left, first}, CAPITAL_BODY_MM, ALIGN_LEFT, true, 0, "%s",
              page_fitted(name, CAPITAL_BODY_MM, true, right - left, keep));
    const char *seat =
        arena_text(keep, "%d of %d, %s%s%s", number, template->grid.used_count, template->seat,
                   template->chair ? ", " : "", template->chair ? template->chair : "");
    draw_text(page, LAYER_TEXT, (Point){left, first - step_mm}, CAPITAL_SMALL_MM, ALIGN_LEFT, false,
              0, "%s",
              page_fitted(seat, CAPITAL_SMALL_MM, false, right - left - number_mm - 2, keep));
    draw_text(page, LAYER_TEXT, (Point){left, first - 2 * step_mm}, CAPITAL_SMALL_MM, ALIGN_LEFT,
              false, 0, "print at 100 %%, check both proof lines");
    sheet_draw_proof_lines(page, (Point){SHEET_MARGIN_MM + 1, SHEET_MARGIN_MM + 1});
}

/// A seam between this sheet and a neighbour, along the join line.
typedef struct Seam {
    Point from; ///< left or lower end
    Point to;
    bool trimmed; ///< this sheet is trimmed here and lies on the neighbour
    const char *neighbour;
} Seam;

static void draw_cross(Drawing *page, Point place)
{
    draw_line(page, LAYER_MARK, (Point){place.x - cross_mm, place.y},
              (Point){place.x + cross_mm, place.y});
    draw_line(page, LAYER_MARK, (Point){place.x, place.y - cross_mm},
              (Point){place.x, place.y + cross_mm});
}

static void draw_seam(Drawing *page, Seam seam)
{
    draw_line(page, LAYER_RULE, seam.from, seam.to);
    // Both sheets have the same stretch of the seam in their windows, so quarters of
    // it fall on the same places.
    draw_cross(page, point_between(seam.from, seam.to, 0.25));
    draw_cross(page, point_between(seam.from, seam.to, 0.75));
}

/// The neighbour's name beside a cross, on this sheet's side of the seam.
static void name_cross(Notes *notes, Note name, Point cross, Point along, Point across)
{
    const double width_mm = draw_text_width_mm(name.text, name.size_mm, name.bold);
    const double in_mm = cross_mm + 2 + width_mm / 2;
    const double off_mm = width_mm / 2 + 1.5;
    const Point places[] = {{in_mm, 0},          {in_mm, off_mm},   {in_mm, -off_mm},
                            {off_mm, off_mm},    {off_mm, -off_mm}, {in_mm, 2 * off_mm},
                            {in_mm, -2 * off_mm}};
    Point first = {0, 0};
    for (size_t i = 0; i < sizeof places / sizeof places[0]; i++) {
        const Point middle = point_plus(point_plus(cross, point_times(across, places[i].x)),
                                        point_times(along, places[i].y));
        const Point anchor = {middle.x - width_mm / 2, middle.y - name.size_mm / 2};
        first = i == 0 ? anchor : first;
        if (note_at(notes, name, anchor, 0)) {
            return;
        }
    }
    note_force(notes, name, first, 0);
}

/// Names the neighbour at both crosses and says what is done at the seam.
static void name_seam(Notes *notes, Seam seam, Point inside)
{
    Arena *keep = notes->sheet->keep;
    const Point along = point_unit(point_minus(seam.to, seam.from));
    const Point left = {-along.y, along.x};
    const bool inside_left = point_dot(left, point_minus(inside, seam.from)) > 0;
    const Point across = point_times(left, inside_left ? 1 : -1);
    const Note name = {.text = seam.neighbour, .size_mm = CAPITAL_BODY_MM, .bold = true};
    name_cross(notes, name, point_between(seam.from, seam.to, 0.25), along, across);
    name_cross(notes, name, point_between(seam.from, seam.to, 0.75), along, across);
    const char *text = arena_text(
        keep, seam.trimmed ? "trim the paper here, lay it over %s" : "%s lies on to here",
        seam.neighbour);
    const Note words = {.text = text, .size_mm = CAPITAL_SMALL_MM};
    const DrawItem line = {
        .kind = DRAW_LINE, .points = (const Point[]){seam.from, seam.to}, .point_count = 2};
    (void)note_along(notes, words, &line, inside, (Point){0, 0}); // the crosses say enough
}

/// The seams of a sheet, in page coordinates.
static int seams_of(const Template *template, int row, int column, Point by, Arena *keep,
                    Seam seams[4])
{
    const Box window = tile_window(&template->grid, row, column);
    const Box cell = tile_cell(&template->grid, row, column);
    const struct {
        int row;
        int column;
        Seam seam;
    } sides[4] = {
        {row, column - 1, {{cell.min.x, window.min.y}, {cell.min.x, window.max.y}, true, NULL}},
        {row - 1, column, {{window.min.x, cell.max.y}, {window.max.x, cell.max.y}, true, NULL}},
        {row, column + 1, {{cell.max.x, window.min.y}, {cell.max.x, window.max.y}, false, NULL}},
        {row + 1, column, {{window.min.x, cell.min.y}, {window.max.x, cell.min.y}, false, NULL}},
    };
    int count = 0;
    for (int i = 0; i < 4; i++) {
        if (tile_is_used(&template->grid, sides[i].row, sides[i].column)) {
            seams[count] = sides[i].seam;
            seams[count].from = point_plus(sides[i].seam.from, by);
            seams[count].to = point_plus(sides[i].seam.to, by);
            seams[count].neighbour = tile_name(sides[i].row, sides[i].column, keep);
            count++;
        }
    }
    return count;
}

/// Tries the lines of a layer that the sheet shows, until one has room.
static bool name_line(Notes *notes, DrawLayer layer, Note note, Point inside, Point side)
{
    const int count = notes->sheet->count;
    for (int i = 0; i < count; i++) {
        const DrawItem line = notes->sheet->items[i]; // a copy: the list may move
        if (line.layer == layer && line.kind != DRAW_TEXT &&
            note_along(notes, note, &line, inside, side)) {
            return true;
        }
    }
    return false;
}

/// FRONT, BACK, LEFT and RIGHT along the innermost line that has room for them.
static void name_sides(Notes *notes, Point inside)
{
    static const struct {
        Point outward;
        Note note;
    } sides[] = {{{0, -1}, {"FRONT", 4.5, true, false}},
                 {{0, 1}, {"BACK", 3.2, true, false}},
                 {{-1, 0}, {"LEFT", 3.2, true, false}},
                 {{1, 0}, {"RIGHT", 3.2, true, false}}};
    static const DrawLayer layers[] = {LAYER_FACE, LAYER_EDGE, LAYER_TURN, LAYER_CUT};
    for (size_t i = 0; i < sizeof sides / sizeof sides[0]; i++) {
        for (size_t k = 0; k < sizeof layers / sizeof layers[0]; k++) {
            if (name_line(notes, layers[k], sides[i].note, inside, sides[i].outward)) {
                break;
            }
        }
    }
}

static void name_lines(Notes *notes, Point inside)
{
    // Frame and face can be a millimetre apart: their names stand on either side.
    static const struct {
        DrawLayer layer;
        Note note;
    } lines[] = {
        {LAYER_CUT, {.text = "cut here"}},
        {LAYER_TURN, {.text = "end of hold: trim here when fixed"}},
        {LAYER_TACK, {.text = "tack line"}},
        {LAYER_EDGE, {.text = "frame's lower edge"}},
        {LAYER_FACE, {.text = "limit of what is sat on"}},
        {LAYER_FRAME, {.text = "outline of the frame", .outside = true}},
    };
    for (size_t i = 0; i < sizeof lines / sizeof lines[0]; i++) {
        Note note = lines[i].note;
        note.size_mm = CAPITAL_SMALL_MM;
        (void)name_line(notes, lines[i].layer, note, inside, (Point){0, 0});
    }
}

/// "middle" beside the centre marks that fall on this sheet.
static void name_middles(Notes *notes, const Cover *cover, Point by)
{
    static const Point inward[SIDE_COUNT] = {{0, 1}, {-1, 0}, {0, -1}, {1, 0}};
    const Note note = {.text = "middle", .size_mm = CAPITAL_SMALL_MM};
    const double width_mm = draw_text_width_mm(note.text, note.size_mm, note.bold);
    for (int side = 0; side < SIDE_COUNT; side++) {
        Point place;
        if (!cover_middle_of_side(cover, cover->cut, (Side)side, &place)) {
            continue;
        }
        place = point_plus(place, by);
        // Texts run square to the edge, beside the mark, where the bands are widest.
        const double turn_rad = side == SIDE_FRONT || side == SIDE_BACK ? half_pi : 0;
        for (int step = 1; step <= 7; step++) {
            const double off_mm = 1.5 * step;
            const Point middle =
                point_plus(place, point_times(inward[side], off_mm + width_mm / 2));
            const Point anchor = fabs(turn_rad) > 0
                                     ? (Point){middle.x + 5, middle.y - width_mm / 2}
                                     : (Point){middle.x - width_mm / 2, middle.y + 2};
            if (note_at(notes, note, anchor, turn_rad)) {
                break;
            }
        }
    }
}

/// The arrow of the firm direction, the cover's name and the grain side, in the
/// emptiest place.
static void draw_block(Notes *notes, const Template *template, const char *tile, Point by)
{
    const Ring cut =
        ring_moved(template->cover->cut, (Motion){.x_mm = by.x, .y_mm = by.y}, notes->sheet->keep);
    double clear_mm = 0;
    const Point middle = notes_emptiest(notes, cut, &clear_mm);
    if (clear_mm < arrow_room_mm) {
        return;
    }
    const double radius_mm = fmin(clear_mm, block_radius_mm);
    if (radius_mm < words_room_mm) {
        draw_firm_arrow(notes->sheet, (Point){middle.x, middle.y - 0.8 * radius_mm},
                        (Point){middle.x, middle.y + 0.8 * radius_mm});
        return;
    }
    const double x = middle.x - radius_mm * 0.6;
    draw_firm_arrow(notes->sheet, (Point){x, middle.y - 0.7 * radius_mm},
                    (Point){x, middle.y + 0.7 * radius_mm});
    const double name_mm = fmin(8, radius_mm / 4);
    const Point anchor = {x + 4, middle.y + CAPITAL_SMALL_MM};
    Arena *keep = notes->sheet->keep;
    draw_text(notes->sheet, LAYER_TEXT, anchor, name_mm, ALIGN_LEFT, true, 0, "%s",
              page_fitted(template->name, name_mm, true, 1.2 * radius_mm, keep));
    const char *words[] = {"firm direction", "grain side up", arena_text(keep, "sheet %s", tile)};
    for (int i = 0; i < 3; i++) {
        draw_text(notes->sheet, LAYER_TEXT,
                  (Point){anchor.x, anchor.y - (i + 1) * CAPITAL_SMALL_MM * LINE_PER_CAPITAL},
                  CAPITAL_SMALL_MM, ALIGN_LEFT, false, 0, "%s", words[i]);
    }
}

Drawing *sheet_make(const Template *template, int row, int column, int number, Arena *keep)
{
    const char *tile = tile_name(row, column, keep);
    Drawing *page =
        drawing_create(template->page_width_mm, template->page_height_mm,
                       arena_text(keep, "Template %s: sheet %s", template->name, tile), keep);
    draw_strip(page, template, tile, number);
    const Box window = tile_window(&template->grid, row, column);
    const Point by =
        point_minus((Point){SHEET_MARGIN_MM, SHEET_MARGIN_MM + SHEET_STRIP_MM}, window.min);
    Drawing *whole = drawing_create(template->page_width_mm, template->page_height_mm, "", keep);
    draw_cover_lines(whole, template->cover, (Point){0, 0});
    tile_draw_clipped(page, whole, window, by);
    Seam seams[4];
    const int seam_count = seams_of(template, row, column, by, keep, seams);
    for (int i = 0; i < seam_count; i++) {
        draw_seam(page, seams[i]);
    }
    Notes notes = {.sheet = page,
                   .window = {point_plus(window.min, by), point_plus(window.max, by)}};
    const Point inside = point_plus(template->cover->middle, by);
    for (int i = 0; i < seam_count; i++) {
        const Point centre = point_between(notes.window.min, notes.window.max, 0.5);
        name_seam(&notes, seams[i], centre);
    }
    name_middles(&notes, template->cover, by);
    name_sides(&notes, inside);
    name_lines(&notes, inside);
    draw_block(&notes, template, tile, by);
    return page;
}
