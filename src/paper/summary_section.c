#include "paper/summary.h"

#include "seat/cross_section.h"

// The largest at which the seat has room is taken.
enum { SMALLEST_SCALE = 20 };
static const int scales[] = {2, 3, 4, 5, 8, 10, SMALLEST_SCALE};
static const double WORDS_MM = 7;       // above and below the section, for the words
static const double EDGE_WORDS_MM = 35; // and beside it

typedef struct Figure {
    const Flow *flow;
    Point origin; // where the middle of the seat and the underside of its board are drawn
    int scale;    // 1 : scale
} Figure;

static Point drawn_at(const Figure *figure, Point point)
{
    return point_plus(figure->origin, point_times(point, 1.0 / figure->scale));
}

static Ring drawn(const Figure *figure, Ring points)
{
    Point *moved = ARENA_ARRAY(figure->flow->pages->keep, Point, points.count + 1);
    for (int i = 0; i < points.count; i++) {
        moved[i] = drawn_at(figure, points.points[i]);
    }
    return (Ring){moved, points.count};
}

static void draw_chain(const Figure *figure, DrawLayer layer, Ring chain, bool closed)
{
    const Ring moved = drawn(figure, chain);
    if (moved.count > 0) {
        draw_polyline(figure->flow->page, layer, moved.points, moved.count, closed);
    }
}

// A word at a distance from a point of the section.
static void draw_word(const Figure *figure, Point at, Point off_mm, TextAlign align,
                      const char *text)
{
    draw_text(figure->flow->page, LAYER_TEXT, point_plus(drawn_at(figure, at), off_mm),
              CAPITAL_SMALL_MM, align, false, 0, "%s", text);
}

static Point middle_of(Ring chain)
{
    return point_between(chain.points[(chain.count - 1) / 2], chain.points[chain.count / 2], 0.5);
}

static void draw_words(const Figure *figure, const Cover *cover, const CrossSection *section)
{
    const LengthUnit unit = figure->flow->matter->job->units.length;
    Arena *keep = figure->flow->pages->keep;
    const char *words[BAND_COUNT];
    for (Band band = 0; band < BAND_COUNT; band++) {
        const double length_mm = path_band_mm(&cover->path[SIDE_FRONT], band);
        words[band] =
            arena_text(keep, "%s %s", band_names[band], length_text(length_mm, unit, keep));
    }
    const double below_mm = 2 * CAPITAL_SMALL_MM;
    draw_word(figure, middle_of(section->leather[PART_DOME]), (Point){0, CAPITAL_SMALL_MM},
              ALIGN_MIDDLE, words[BAND_FACE]);
    draw_word(figure, middle_of(section->leather[PART_SIDE]), (Point){CAPITAL_SMALL_MM, 0},
              ALIGN_LEFT, words[BAND_EDGE]);
    draw_word(figure, section->leather[PART_BOTTOM].points[0], (Point){0, -2.5 * below_mm},
              ALIGN_LEFT, words[BAND_TURN]);
    draw_word(figure, section->leather[PART_GRIP].points[1], (Point){0, -below_mm}, ALIGN_LEFT,
              words[BAND_GRIP]);
}

// `A  side chair, 1 : 2; on the board: padding, muslin`.
static const char *title_of(const CoverDemand *demand, int scale, Arena *keep)
{
    const BuildUp *build_up = demand->cover->recipe.build_up;
    Text text = {.keep = keep};
    text_add(&text, "%s  %s, 1 : %d; on the board: padding", demand->name, demand->seat, scale);
    for (int i = 0; i < build_up->layer_count; i++) {
        text_add(&text, ", %s", build_up->layers[i].material);
    }
    return text_string(&text);
}

static int scale_for(double wide_mm, double room_mm)
{
    size_t i = 0;
    while (scales[i] < SMALLEST_SCALE && wide_mm / scales[i] > room_mm) {
        i++;
    }
    return scales[i];
}

static void draw_section(Flow *flow, const CoverDemand *demand)
{
    const Cover *cover = demand->cover;
    Arena *keep = flow->pages->keep;
    const CrossSection section = cover_cross_section(cover, SIDE_FRONT, keep);
    const double room_mm = flow->room.max.x - flow->room.min.x;
    const int scale = scale_for(section.leather[PART_SIDE].points[0].x, room_mm - EDGE_WORDS_MM);
    const double high_mm = section.leather[PART_DOME].points[0].y / scale;
    flow_need(flow, high_mm + 3 * WORDS_MM);
    draw_text(flow->page, LAYER_TEXT, (Point){flow->room.min.x, flow->top_mm - CAPITAL_BODY_MM},
              CAPITAL_BODY_MM, ALIGN_LEFT, true, 0, "%s",
              page_fitted(title_of(demand, scale, keep), CAPITAL_BODY_MM, true, room_mm, keep));
    // The grip of a small seat reaches past its middle.
    const double past_mm = fmax(0, -section.leather[PART_GRIP].points[1].x) / scale;
    const Figure figure = {
        flow, {flow->room.min.x + past_mm, flow->top_mm - high_mm - 1.4 * WORDS_MM}, scale};
    draw_chain(&figure, LAYER_FRAME, section.board, true);
    draw_chain(&figure, LAYER_REGION, section.padding, true);
    for (int i = 0; i < cover->recipe.build_up->layer_count; i++) {
        draw_chain(&figure, LAYER_RULE, section.layers[i], true);
    }
    for (PathPart part = 0; part < PATH_PART_COUNT; part++) {
        draw_chain(&figure, part == PART_GRIP ? LAYER_TURN : LAYER_CUT, section.leather[part],
                   false);
    }
    const Point tack = drawn_at(&figure, section.leather[PART_HOLD].points[0]);
    draw_line(flow->page, LAYER_MARK, point_plus(tack, (Point){0, -2.5}),
              point_plus(tack, (Point){0, 2.5}));
    draw_words(&figure, cover, &section);
    flow_gap(flow, high_mm + 3 * WORDS_MM);
}

void summary_sections(Flow *flow)
{
    const PackMatter *matter = flow->matter;
    flow_heading(flow, "Cut through at the front", 50);
    flow_paragraph(flow, "From the middle of the seat, on the left, over the padding to the tack "
                         "line, and on through the grip. Lengths are the leather's.");
    for (int i = 0; i < matter->demand_count; i++) {
        if (!summary_repeats(matter, i)) {
            draw_section(flow, &matter->demands[i]);
        }
    }
}
