#include "paper/map.h"

#include "paper/hatch.h"
#include "paper/map_names.h"
#include "paper/marks.h"

#define NAME_LEAST_MM 9.0 ///< covers narrower than this go without a shortened name
#define NAME_SHARE 0.9    ///< of a cover's width, for its name on a small map
#define CHALK_RING_MM 1.3 ///< on paper, from a flaw to the line round it

MapView map_view(Box hide_box, Box room, bool upwards, bool flesh_up)
{
    MapView view = {.scale = 1, .upwards = upwards, .flesh_up = flesh_up};
    const Point a = map_point(&view, hide_box.min);
    const Point b = map_point(&view, hide_box.max);
    const Point low = {fmin(a.x, b.x), fmin(a.y, b.y)};
    const Point high = {fmax(a.x, b.x), fmax(a.y, b.y)};
    view.scale = fmin((room.max.x - room.min.x) / (high.x - low.x),
                      (room.max.y - room.min.y) / (high.y - low.y));
    const Point middle = point_between(low, high, 0.5);
    const Point target = point_between(room.min, room.max, 0.5);
    view.origin = point_minus(target, point_times(middle, view.scale));
    return view;
}

Point map_point(const MapView *view, Point on_hide)
{
    const double across = view->flesh_up ? -on_hide.y : on_hide.y;
    const Point turned = view->upwards ? (Point){-across, on_hide.x} : (Point){on_hide.x, across};
    return point_plus(view->origin, point_times(turned, view->scale));
}

Point map_place(const MapView *view, Point on_page)
{
    const Point p = point_times(point_minus(on_page, view->origin), 1 / view->scale);
    const Point turned = view->upwards ? (Point){p.y, -p.x} : p;
    return (Point){turned.x, view->flesh_up ? -turned.y : turned.y};
}

Ring map_ring(const MapView *view, Ring ring, Arena *keep)
{
    Point *points = ARENA_ARRAY(keep, Point, ring.count);
    for (int i = 0; i < ring.count; i++) {
        points[i] = map_point(view, ring.points[i]);
    }
    return (Ring){points, ring.count};
}

void map_arrow(Drawing *page, Point from, Point to, double head_mm)
{
    const Point way = point_unit(point_minus(to, from));
    const Point neck = point_minus(to, point_times(way, head_mm));
    const Point aside = point_times(point_right(way), head_mm * 0.36);
    const Point head[] = {to, point_minus(neck, aside), point_plus(neck, aside)};
    draw_line(page, LAYER_DIRECTION, from, neck);
    draw_shape(page, LAYER_DIRECTION, (Ring){head, 3}, true);
}

/// The lines round the flaws, as the chalk draws them.
static const PolygonSet *chalk_rings(const Hide *hide, double scale, Arena *keep)
{
    PolygonSet *rings = ARENA_ARRAY(keep, PolygonSet, hide->flaw_count + 1);
    for (int i = 0; i < hide->flaw_count; i++) {
        // Without a ring of its own a flaw is still drawn as it was marked.
        if (!polygon_grow(hide->flaws[i].area, CHALK_RING_MM / scale, POLYGON_ROUND, keep,
                          &rings[i])) {
            rings[i] = hide->flaws[i].area;
        }
    }
    return rings;
}

/// How far from its middle the line round a flaw reaches.
static const double *chalk_reaches(const Hide *hide, const PolygonSet *chalk, Arena *keep)
{
    double *reaches = ARENA_ARRAY(keep, double, hide->flaw_count + 1);
    for (int i = 0; i < hide->flaw_count; i++) {
        for (int k = 0; k < chalk[i].count; k++) {
            const Ring ring = chalk[i].items[k].outer;
            for (int p = 0; p < ring.count; p++) {
                reaches[i] =
                    fmax(reaches[i], point_distance(ring.points[p], hide->flaws[i].middle));
            }
        }
    }
    return reaches;
}

Map map_begin(const PackMatter *matter, int hide, MapView view, Box room, Drawing *page)
{
    Arena *keep = page->keep;
    Map map = {.matter = matter,
               .hide = &matter->hides[hide],
               .hide_number = hide,
               .view = view,
               .page = page,
               .board = board_create(room, keep)};
    Ring *rings = ARENA_ARRAY(keep, Ring, matter->plan->cover_count + 1);
    for (int i = 0; i < matter->plan->cover_count; i++) {
        if (matter->plan->covers[i].hide == hide) {
            rings[map.ring_count++] = map_ring(&view, matter->plan->covers[i].cut, keep);
        }
    }
    Box *boxes = ARENA_ARRAY(keep, Box, map.ring_count + 1);
    for (int i = 0; i < map.ring_count; i++) {
        boxes[i] = ring_box(rings[i]);
    }
    map.rings = rings;
    map.boxes = boxes;
    map.chalk = chalk_rings(map.hide, view.scale, keep);
    map.chalk_reach_mm = chalk_reaches(map.hide, map.chalk, keep);
    return map;
}

static void draw_sheet(Map *map)
{
    draw_shape(map->page, LAYER_HIDE, map_ring(&map->view, map->hide->outline, map->page->keep),
               true);
}

/// The largest letters in which the names of all covers stand within them; the smallest when
/// there are none.
static double small_name_mm(const Map *map)
{
    static const double sizes_mm[] = {CAPITAL_SMALL_MM, 2.0, 1.6};
    enum { SIZES = sizeof sizes_mm / sizeof sizes_mm[0] };
    int size = 0;
    int ring = 0;
    for (int i = 0; i < map->matter->plan->cover_count; i++) {
        const PlacedCover *cover = &map->matter->plan->covers[i];
        if (cover->hide == map->hide_number) {
            const Box box = map->boxes[ring++];
            const char *name = cover_name(map->matter->demands, cover, map->page->keep);
            while (size + 1 < SIZES && draw_text_width_mm(name, sizes_mm[size], true) >
                                           NAME_SHARE * (box.max.x - box.min.x)) {
                size++;
            }
        }
    }
    return sizes_mm[size];
}

void map_draw_small(Map *map)
{
    draw_sheet(map);
    for (int i = 0; i < map->ring_count; i++) {
        draw_shape(map->page, LAYER_CUT, map->rings[i], true);
    }
    const double size_mm = small_name_mm(map);
    int ring = 0;
    for (int i = 0; i < map->matter->plan->cover_count; i++) {
        const PlacedCover *cover = &map->matter->plan->covers[i];
        if (cover->hide != map->hide_number) {
            continue;
        }
        const Box box = map->boxes[ring++];
        // A name of one letter and an ellipsis says nothing.
        const double width_mm = NAME_SHARE * (box.max.x - box.min.x);
        const char *name = cover_name(map->matter->demands, cover, map->page->keep);
        if (width_mm < NAME_LEAST_MM && draw_text_width_mm(name, size_mm, true) > width_mm) {
            continue;
        }
        const Label label =
            marks_cover_label(map->matter, cover, size_mm, width_mm, map->page->keep);
        const Point middle = point_between(box.min, box.max, 0.5);
        Point place;
        if (board_place(&map->board, label, &middle, NULL, 1, &place)) {
            label_draw(map->page, LAYER_TEXT, label, place);
        }
    }
}

static void draw_set(Map *map, DrawLayer layer, PolygonSet set, bool filled)
{
    for (int i = 0; i < set.count; i++) {
        const Polygon *polygon = &set.items[i];
        draw_shape(map->page, layer, map_ring(&map->view, polygon->outer, map->page->keep), filled);
        for (int h = 0; h < polygon->hole_count; h++) {
            draw_shape(map->page, layer, map_ring(&map->view, polygon->holes[h], map->page->keep),
                       false);
        }
    }
}

static void draw_flaws(Map *map)
{
    for (int i = 0; i < map->hide->flaw_count; i++) {
        draw_set(map, LAYER_FLAW, map->chalk[i], false);
        draw_set(map, LAYER_FLAW, map->hide->flaws[i].area, true);
        for (int k = 0; k < map->chalk[i].count; k++) {
            const Ring ring = map_ring(&map->view, map->chalk[i].items[k].outer, map->page->keep);
            board_ring(&map->board, ring, COST_CHALK);
        }
    }
}

/// The covers' lines are on the board before anything is written.
static void take_covers(Map *map)
{
    for (int i = 0; i < map->matter->plan->cover_count; i++) {
        const PlacedCover *cover = &map->matter->plan->covers[i];
        for (int band = BAND_FACE; band <= BAND_TURN && cover->hide == map->hide_number; band++) {
            const Ring ring = map_ring(&map->view, cover->within[band], map->page->keep);
            board_ring(&map->board, ring, COST_BAND);
        }
    }
    for (int i = 0; i < map->ring_count; i++) {
        draw_shape(map->page, LAYER_CUT, map->rings[i], false);
        board_ring(&map->board, map->rings[i], COST_CUT);
    }
}

bool map_covered(const Map *map, Point on_page)
{
    for (int i = 0; i < map->ring_count; i++) {
        const Box box = map->boxes[i];
        if (on_page.x >= box.min.x && on_page.x <= box.max.x && on_page.y >= box.min.y &&
            on_page.y <= box.max.y && ring_contains(map->rings[i], on_page)) {
            return true;
        }
    }
    return false;
}

static bool is_chalked(const Map *map, Point on_page)
{
    const Point place = map_place(&map->view, on_page);
    for (int i = 0; i < map->hide->flaw_count; i++) {
        if (point_distance(place, map->hide->flaws[i].middle) <= map->chalk_reach_mm[i] &&
            polygon_set_contains(map->chalk[i], place)) {
            return true;
        }
    }
    return false;
}

/// What a line stops at.
typedef enum Stops { STOPS_AT_TEXT, STOPS_AT_ALL } Stops;

static bool is_free(const Map *map, Point on_page, Stops stops)
{
    return !board_taken_at(&map->board, on_page) &&
           (stops == STOPS_AT_TEXT || (!map_covered(map, on_page) && !is_chalked(map, on_page)));
}

/// The last free place on the way from a free place to one that is not.
static Point last_free(const Map *map, Point free, Point stopped, Stops stops)
{
    for (int i = 0; i < 7; i++) {
        const Point middle = point_between(free, stopped, 0.5);
        if (is_free(map, middle, stops)) {
            free = middle;
        } else {
            stopped = middle;
        }
    }
    return free;
}

/// Draws those stretches of a chain of points on the page where nothing else stands.
static void draw_stretches(Map *map, DrawLayer layer, const Point *points, int count, Stops stops)
{
    Point *stretch = ARENA_ARRAY(map->page->keep, Point, count + 2);
    int length = 0;
    bool before = false;
    for (int i = 0; i < count; i++) {
        const bool now = is_free(map, points[i], stops);
        if (now && !before && i > 0) {
            stretch[length++] = last_free(map, points[i], points[i - 1], stops);
        }
        if (now) {
            // Points on the straight between their neighbours only swell the file.
            if (length >= 2 &&
                point_distance(
                    stretch[length - 1],
                    point_on_segment(stretch[length - 1], stretch[length - 2], points[i])) < 0.01) {
                length--;
            }
            stretch[length++] = points[i];
        } else if (before) {
            stretch[length++] = last_free(map, points[i - 1], points[i], stops);
            draw_polyline(map->page, layer, stretch, length, false);
            length = 0;
        }
        before = now;
    }
    draw_polyline(map->page, layer, stretch, length, false);
}

/// A ring on the page that gives way to the texts.
static void draw_broken(Map *map, DrawLayer layer, Ring ring)
{
    if (ring.count < 3) {
        return;
    }
    const Ring fine = ring_refined(ring, 0.6, map->page->keep);
    Point *points = ARENA_ARRAY(map->page->keep, Point, fine.count + 1);
    for (int i = 0; i <= fine.count; i++) {
        points[i] = ring_point(fine, i);
    }
    draw_stretches(map, layer, points, fine.count + 1, STOPS_AT_TEXT);
}

static void draw_bands(Map *map)
{
    static const DrawLayer layers[BAND_COUNT] = {LAYER_FACE, LAYER_EDGE, LAYER_TURN, LAYER_CUT};
    for (int i = 0; i < map->matter->plan->cover_count; i++) {
        const PlacedCover *cover = &map->matter->plan->covers[i];
        for (int band = BAND_FACE; band <= BAND_TURN && cover->hide == map->hide_number; band++) {
            draw_broken(map, layers[band],
                        map_ring(&map->view, cover->within[band], map->page->keep));
        }
    }
}

Ring map_left_ring(const Map *map)
{
    const CutPlan *plan = map->matter->plan;
    if (!plan->left) {
        return (Ring){0};
    }
    const Box box = plan->left[map->hide_number].rectangle;
    if (fmin(box.max.x - box.min.x, box.max.y - box.min.y) < plan->useful_mm) {
        return (Ring){0};
    }
    const Point corners[] = {box.min, {box.max.x, box.min.y}, box.max, {box.min.x, box.max.y}};
    return map_ring(&map->view, (Ring){corners, 4}, map->page->keep);
}

static void draw_left(Map *map)
{
    draw_broken(map, LAYER_LEFT, map_left_ring(map));
}

static void draw_hatching(Map *map)
{
    for (int i = 0; i < map->hide->region_count && pack_goes_on(map->matter); i++) {
        const Hatching hatching = hatch_region(map->hide, &map->hide->regions[i],
                                               MAP_HATCH_MM / map->view.scale, map->page->keep);
        for (int k = 0; k < hatching.count; k++) {
            const Ring line =
                map_ring(&map->view, (Ring){hatching.lines[k].points, hatching.lines[k].count},
                         map->page->keep);
            draw_stretches(map, LAYER_HATCH, line.points, line.count, STOPS_AT_ALL);
        }
    }
}

/// Whether an edge of a region is its limit towards another one: not the hide's edge,
/// and told once, by the region that comes first.
static bool is_limit(const Map *map, int region, Point a, Point b)
{
    const Point middle = point_between(a, b, 0.5);
    const double reach_mm = 3;
    if (ring_distance_mm(map->hide->outline, middle) < reach_mm) {
        return false;
    }
    const Point outward = point_right(point_unit(point_minus(b, a)));
    const Region *other =
        hide_region_at(map->hide, point_plus(middle, point_times(outward, reach_mm)));
    return other && other > &map->hide->regions[region];
}

static void draw_limits_of_ring(Map *map, int region, Ring ring)
{
    // An edge may be long: short steps find where it passes beneath a cover.
    const Ring fine = ring_refined(ring, 0.8 / map->view.scale, map->page->keep);
    Point *run = ARENA_ARRAY(map->page->keep, Point, fine.count + 1);
    int length = 0;
    for (int i = 0; i <= fine.count; i++) {
        const Point a = ring_point(fine, i);
        const Point b = ring_point(fine, i + 1);
        const bool limit = i < fine.count && is_limit(map, region, a, b);
        if (limit && length == 0) {
            run[length++] = map_point(&map->view, a);
        }
        if (limit) {
            run[length++] = map_point(&map->view, b);
        } else {
            draw_stretches(map, LAYER_REGION, run, length, STOPS_AT_ALL);
            length = 0;
        }
    }
}

static void draw_limits(Map *map)
{
    for (int i = 0; i < map->hide->region_count && pack_goes_on(map->matter); i++) {
        const PolygonSet area = map->hide->regions[i].area;
        for (int k = 0; k < area.count; k++) {
            draw_limits_of_ring(map, i, area.items[k].outer);
            for (int h = 0; h < area.items[k].hole_count; h++) {
                draw_limits_of_ring(map, i, area.items[k].holes[h]);
            }
        }
    }
}

static void draw_backbone(Map *map)
{
    const Point butt = map_point(&map->view, (Point){0, 0});
    const Point neck = map_point(&map->view, (Point){map->hide->backbone_mm, 0});
    enum { STEPS = 400 };
    Point points[STEPS + 1];
    for (int i = 0; i <= STEPS; i++) {
        points[i] = point_between(butt, neck, i / (double)STEPS);
    }
    draw_stretches(map, LAYER_BACKBONE, points, STEPS + 1, STOPS_AT_TEXT);
    const double step_mm = map_scale_step_mm(map->matter->job->units.length);
    const Point aside = point_times(point_right(point_unit(point_minus(neck, butt))), 1.2);
    const int last = (int)(map->hide->backbone_mm / step_mm);
    for (int i = 0; i <= last; i++) {
        const Point at = map_point(&map->view, (Point){i * step_mm, 0});
        if (!board_taken_at(&map->board, at)) {
            draw_line(map->page, LAYER_MARK, point_minus(at, aside), point_plus(at, aside));
        }
    }
}

double map_scale_step_mm(LengthUnit unit)
{
    return unit == LENGTH_IN ? 10 * MM_PER_IN : 250;
}

void map_draw(Map *map)
{
    draw_sheet(map);
    board_ring(&map->board, map_ring(&map->view, map->hide->outline, map->page->keep), COST_HIDE);
    board_line(&map->board, map_point(&map->view, (Point){0, 0}),
               map_point(&map->view, (Point){map->hide->backbone_mm, 0}), COST_BACKBONE);
    draw_flaws(map);
    take_covers(map);
    board_ring(&map->board, map_left_ring(map), COST_LEFT);
    map_name_all(map);
    // Lines that give way to the texts come last.
    void (*const rest[])(Map *) = {draw_bands, draw_left, draw_backbone, draw_limits,
                                   draw_hatching};
    for (size_t i = 0; i < sizeof rest / sizeof rest[0] && pack_goes_on(map->matter); i++) {
        rest[i](map);
    }
}
