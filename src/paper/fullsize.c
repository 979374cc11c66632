#include "paper/fullsize.h"

#include "paper/marks.h"

#include <assert.h>

enum { NAME_CAPITAL_MM = 12 };

static const double head_mm = 6; ///< length of an arrow's head
static const double tick_mm = 3; ///< half the length of a centre mark

static const Point to_side[SIDE_COUNT] = {
    [SIDE_FRONT] = {0, -1}, [SIDE_RIGHT] = {1, 0}, [SIDE_BACK] = {0, 1}, [SIDE_LEFT] = {-1, 0}};

static Ring shifted(Ring ring, Point by, Arena *keep)
{
    return ring_moved(ring, (Motion){.x_mm = by.x, .y_mm = by.y}, keep);
}

bool cover_middle_of_side(const Cover *cover, Ring ring, Side side, Point *place)
{
    const Point way = to_side[side];
    double far_mm = -1;
    for (int i = 0; i < ring.count; i++) {
        const Point a = point_minus(ring_point(ring, i), cover->middle);
        const Point b = point_minus(ring_point(ring, i + 1), cover->middle);
        const double off_a = point_cross(way, a);
        const double off_b = point_cross(way, b);
        if ((off_a > 0) == (off_b > 0)) {
            continue;
        }
        const Point crossing = point_between(a, b, off_a / (off_a - off_b));
        far_mm = fmax(far_mm, point_dot(way, crossing));
    }
    if (far_mm < 0) {
        return false;
    }
    *place = point_plus(cover->middle, point_times(way, far_mm));
    return true;
}

/// A tick along the line from the middle, so that a chalk line can be joined from
/// one ring's tick to the next.
static void draw_centre_mark(Drawing *drawing, const Cover *cover, Ring ring, Side side,
                             Point origin)
{
    Point place;
    if (!cover_middle_of_side(cover, ring, side, &place)) {
        return;
    }
    const Point at = point_plus(place, origin);
    const Point half = point_times(to_side[side], tick_mm);
    draw_line(drawing, LAYER_MARK, point_minus(at, half), point_plus(at, half));
}

/// On the cut edge the mark is a small triangle inside it, which can be snipped or chalked.
static void draw_notch_mark(Drawing *drawing, const Cover *cover, Side side, Point origin)
{
    Point place;
    if (!cover_middle_of_side(cover, cover->cut, side, &place)) {
        return;
    }
    const Point at = point_plus(place, origin);
    const Point in = point_times(to_side[side], -2 * tick_mm);
    const Point across = point_times(point_right(to_side[side]), tick_mm / 2);
    const Point triangle[] = {point_plus(at, across), point_plus(at, in), point_minus(at, across)};
    draw_polyline(drawing, LAYER_MARK, triangle, 3, true);
}

void draw_cover_lines(Drawing *drawing, const Cover *cover, Point origin)
{
    const struct {
        DrawLayer layer;
        Ring ring;
    } lines[] = {
        {LAYER_CUT, cover->cut},
        {LAYER_TURN, cover->within[BAND_TURN]},
        {LAYER_EDGE, cover->within[BAND_EDGE]},
        {LAYER_FACE, cover->within[BAND_FACE]},
        {LAYER_TACK, cover->tack_line},
        {LAYER_FRAME, cover->frame},
    };
    for (size_t i = 0; i < sizeof lines / sizeof lines[0]; i++) {
        draw_shape(drawing, lines[i].layer, shifted(lines[i].ring, origin, drawing->keep), false);
    }
    for (int side = 0; side < SIDE_COUNT; side++) {
        draw_notch_mark(drawing, cover, (Side)side, origin);
        draw_centre_mark(drawing, cover, cover->within[BAND_TURN], (Side)side, origin);
        draw_centre_mark(drawing, cover, cover->within[BAND_EDGE], (Side)side, origin);
        draw_centre_mark(drawing, cover, cover->within[BAND_FACE], (Side)side, origin);
        draw_centre_mark(drawing, cover, cover->frame, (Side)side, origin);
    }
}

void draw_firm_arrow(Drawing *drawing, Point from, Point to)
{
    const Point way = point_unit(point_minus(to, from));
    const double length_mm = fmin(head_mm, point_distance(from, to) / 2);
    const Point neck = point_minus(to, point_times(way, length_mm));
    const Point across = point_times(point_right(way), length_mm / 3);
    const Point head[] = {to, point_minus(neck, across), point_plus(neck, across)};
    draw_line(drawing, LAYER_DIRECTION, from, neck);
    draw_shape(drawing, LAYER_DIRECTION, (Ring){head, 3}, true);
}

Drawing *pack_cover_full_size(const PackMatter *matter, int demand, Arena *keep)
{
    assert(demand >= 0 && demand < matter->demand_count);
    const CoverDemand *wanted = &matter->demands[demand];
    const Cover *cover = wanted->cover;
    const Box box = ring_box(cover->cut);
    const Point origin = {-box.min.x, -box.min.y};
    const char *title = arena_text(keep, "Cover %s, full size", wanted->name);
    Drawing *drawing = drawing_create(box.max.x - box.min.x, box.max.y - box.min.y, title, keep);
    draw_cover_lines(drawing, cover, origin);
    const Point middle = point_plus(cover->middle, origin);
    const double reach_mm = drawing->height_mm / 6;
    draw_firm_arrow(drawing, (Point){middle.x, middle.y - reach_mm},
                    (Point){middle.x, middle.y + reach_mm});
    draw_text(drawing, LAYER_TEXT, (Point){middle.x + head_mm, middle.y - NAME_CAPITAL_MM / 2.0},
              NAME_CAPITAL_MM, ALIGN_LEFT, true, 0, "%s", wanted->name);
    return drawing;
}

static void draw_polygons(Drawing *drawing, DrawLayer layer, PolygonSet set, Point origin)
{
    for (int i = 0; i < set.count; i++) {
        const Polygon *polygon = &set.items[i];
        draw_shape(drawing, layer, shifted(polygon->outer, origin, drawing->keep), false);
        for (int h = 0; h < polygon->hole_count; h++) {
            draw_shape(drawing, layer, shifted(polygon->holes[h], origin, drawing->keep), false);
        }
    }
}

static void draw_placed(Drawing *drawing, const PackMatter *matter, const PlacedCover *placed,
                        Point origin)
{
    Arena *keep = drawing->keep;
    draw_shape(drawing, LAYER_CUT, shifted(placed->cut, origin, keep), false);
    draw_shape(drawing, LAYER_TURN, shifted(placed->within[BAND_TURN], origin, keep), false);
    draw_shape(drawing, LAYER_EDGE, shifted(placed->within[BAND_EDGE], origin, keep), false);
    draw_shape(drawing, LAYER_FACE, shifted(placed->within[BAND_FACE], origin, keep), false);
    draw_shape(drawing, LAYER_TACK, shifted(placed->tack_line, origin, keep), false);
    const CoverDemand *demand = &matter->demands[placed->demand];
    const Point middle = motion_apply(motion_matrix(placed->motion), demand->cover->middle);
    draw_text(drawing, LAYER_TEXT, point_plus(middle, origin), NAME_CAPITAL_MM, ALIGN_MIDDLE, true,
              0, "%s", cover_name(matter->demands, placed, keep));
}

Drawing *pack_layout_full_size(const PackMatter *matter, int hide, Arena *keep)
{
    assert(hide >= 0 && hide < matter->hide_count);
    const Hide *leather = &matter->hides[hide];
    const Box box = ring_box(leather->outline);
    const Point origin = {-box.min.x, -box.min.y};
    Drawing *drawing = drawing_create(box.max.x - box.min.x, box.max.y - box.min.y,
                                      arena_text(keep, "Hide %s, full size", leather->name), keep);
    draw_shape(drawing, LAYER_HIDE, shifted(leather->outline, origin, keep), false);
    if (leather->backbone_mm > 0) {
        draw_line(drawing, LAYER_BACKBONE, origin,
                  point_plus(origin, (Point){leather->backbone_mm, 0}));
    }
    for (int i = 0; i < leather->flaw_count; i++) {
        draw_polygons(drawing, LAYER_FLAW, leather->flaws[i].area, origin);
    }
    for (int i = 0; i < matter->plan->cover_count; i++) {
        if (matter->plan->covers[i].hide == hide) {
            draw_placed(drawing, matter, &matter->plan->covers[i], origin);
        }
    }
    return drawing;
}
