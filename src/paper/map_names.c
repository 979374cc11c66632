#include "paper/map_names.h"

#include "paper/marks.h"

#define ARROW_HEAD_MM 2.4
/// Added where a label must not cross a cut line or the hide's edge: those then cost
/// too much.
#define STRICT (LABEL_REFUSED - COST_CUT)
/// More flaws than this, and each label is only its number.
enum { FLAWS_WITH_WORDS = 30 };

/// Box of a line with air on both sides.
static Box line_box(Point a, Point b, double air_mm)
{
    return (Box){{fmin(a.x, b.x) - air_mm, fmin(a.y, b.y) - air_mm},
                 {fmax(a.x, b.x) + air_mm, fmax(a.y, b.y) + air_mm}};
}

/// How a cover lies on the page.
typedef struct FaceView {
    Point middle;  ///< of its face
    Point to_back; ///< length 1
    double half_depth_mm;
} FaceView;

static FaceView face_view(const Map *map, const PlacedCover *cover)
{
    const Ring face = cover->within[BAND_FACE].count > 0 ? cover->within[BAND_FACE] : cover->cut;
    const Point on_hide = ring_centroid(face);
    const double turn_rad = cover->motion.turn_rad;
    const Point back = {-sin(turn_rad), cos(turn_rad)};
    FaceView view = {.middle = map_point(&map->view, on_hide)};
    view.to_back =
        point_unit(point_minus(map_point(&map->view, point_plus(on_hide, back)), view.middle));
    for (int i = 0; i < cover->cut.count; i++) {
        const Point p = map_point(&map->view, cover->cut.points[i]);
        view.half_depth_mm =
            fmax(view.half_depth_mm, fabs(point_dot(point_minus(p, view.middle), view.to_back)));
    }
    return view;
}

/// The arrow goes first: where it lies, no name may.
static void draw_cover_arrow(Map *map, const FaceView *face)
{
    const double reach_mm = fmin(9.0, 0.38 * face->half_depth_mm);
    if (reach_mm < 1.2) {
        return; // a cover the size of a button: the arrow would only blacken it
    }
    const Point from = point_minus(face->middle, point_times(face->to_back, reach_mm));
    const Point to = point_plus(face->middle, point_times(face->to_back, reach_mm));
    map_arrow(map->page, from, to, fmin(ARROW_HEAD_MM, reach_mm));
    board_take(&map->board, line_box(from, to, 0.5));
}

enum { NAME_GRID = 7, NAME_PLACES = NAME_GRID * NAME_GRID, NAME_SIZES = 4 };

/// Whom a cover stands beside, under its name or near it, where there is room.
static void name_beside(Map *map, const PlacedCover *cover, Ring cut, Point name)
{
    const PackMatter *matter = map->matter;
    Arena *keep = map->page->keep;
    const char *beside = beside_text(matter->demands, matter->demand_count, cover->demand, keep);
    const Box box = ring_box(cut);
    const double width_mm = 0.7 * (box.max.x - box.min.x);
    const Label label = {
        page_fitted(arena_text(keep, "beside %s", beside), CAPITAL_SMALL_MM, false, width_mm, keep),
        CAPITAL_SMALL_MM, false};
    Point places[NAME_PLACES];
    double extra[NAME_PLACES];
    int count = 0;
    for (int k = 0; *beside && k < NAME_PLACES; k++) {
        const int column = k % NAME_GRID - NAME_GRID / 2;
        const int row = k / NAME_GRID;
        const Point off = {column * (box.max.x - box.min.x) / (NAME_GRID + 5), -4.2 - 1.5 * row};
        const Point place = point_plus(name, off);
        if (ring_contains(cut, place)) {
            places[count] = place;
            extra[count++] = STRICT + 0.05 * point_length(off);
        }
    }
    Point at;
    if (count > 0 && board_place(&map->board, label, places, extra, count, &at)) {
        label_draw(map->page, LAYER_TEXT, label, at);
    }
}

static void name_cover(Map *map, const PlacedCover *cover, Ring cut, const FaceView *face)
{
    static const double sizes_mm[NAME_SIZES] = {4.2, 3.4, 2.8, CAPITAL_SMALL_MM};
    const Box box = ring_box(cut);
    const char *name = cover_name(map->matter->demands, cover, map->page->keep);
    const double width_mm = 0.8 * (box.max.x - box.min.x);
    for (int i = 0; i < NAME_SIZES; i++) {
        const bool last = i == NAME_SIZES - 1;
        if (!last && draw_text_width_mm(name, sizes_mm[i], true) > width_mm) {
            continue;
        }
        const Label label =
            marks_cover_label(map->matter, cover, sizes_mm[i], width_mm, map->page->keep);
        Point places[NAME_PLACES];
        double extra[NAME_PLACES];
        int count = 0;
        for (int k = 0; k < NAME_PLACES; k++) {
            const int column = k % NAME_GRID - NAME_GRID / 2;
            const int row = k / NAME_GRID - NAME_GRID / 2;
            const Point off = {column * (box.max.x - box.min.x) / (NAME_GRID + 2),
                               row * (box.max.y - box.min.y) / (NAME_GRID + 2)};
            const Point place = point_plus(face->middle, off);
            if (ring_contains(cut, place)) {
                places[count] = place;
                extra[count++] = 0.08 * point_length(off);
            }
        }
        Point at;
        if (board_place(&map->board, label, places, extra, count, &at)) {
            label_draw(map->page, LAYER_TEXT, label, at);
            name_beside(map, cover, cut, at);
            return;
        }
    }
}

static void name_covers(Map *map)
{
    for (int pass = 0; pass < 2; pass++) {
        int ring = 0;
        for (int i = 0; i < map->matter->plan->cover_count; i++) {
            const PlacedCover *cover = &map->matter->plan->covers[i];
            if (cover->hide != map->hide_number) {
                continue;
            }
            const FaceView face = face_view(map, cover);
            if (pass == 0) {
                draw_cover_arrow(map, &face);
            } else {
                name_cover(map, cover, map->rings[ring++], &face);
            }
        }
    }
}

static const char *flaw_label(const Map *map, int flaw)
{
    return map->hide->flaw_count <= FLAWS_WITH_WORDS
               ? arena_text(map->page->keep, "%d %s", flaw + 1,
                            flaw_kind_names[map->hide->flaws[flaw].kind])
               : arena_text(map->page->keep, "%d", flaw + 1);
}

static Box box_on_page(const Map *map, PolygonSet set)
{
    Box box = {{HUGE_VAL, HUGE_VAL}, {-HUGE_VAL, -HUGE_VAL}};
    for (int i = 0; i < set.count; i++) {
        const Box one = ring_box(map_ring(&map->view, set.items[i].outer, map->page->keep));
        box.min = (Point){fmin(box.min.x, one.min.x), fmin(box.min.y, one.min.y)};
        box.max = (Point){fmax(box.max.x, one.max.x), fmax(box.max.y, one.max.y)};
    }
    return box;
}

enum { FLAW_TURNS = 20, FLAW_DISTANCES = 8, FLAW_PLACES = FLAW_TURNS * FLAW_DISTANCES };

/// Places round a flaw's box, ever further out.
static int flaw_places(Box box, Point half, Point *places, double *extra)
{
    const Point middle = point_between(box.min, box.max, 0.5);
    const Point reach = {(box.max.x - box.min.x) / 2 + half.x + 0.3,
                         (box.max.y - box.min.y) / 2 + half.y + 0.3};
    int count = 0;
    for (int distance = 0; distance < FLAW_DISTANCES; distance++) {
        for (int turn = 0; turn < FLAW_TURNS; turn++) {
            const double angle_rad = turn * 360.0 / FLAW_TURNS * RAD_PER_DEG;
            const Point way = {cos(angle_rad), sin(angle_rad)};
            // On the edge of a box, so that the label just clears the flaw.
            const double blunt = 1 / fmax(fabs(way.x), fabs(way.y));
            const double further_mm = 2.2 * distance;
            places[count] = (Point){middle.x + way.x * (blunt * reach.x + further_mm),
                                    middle.y + way.y * (blunt * reach.y + further_mm)};
            extra[count++] = 0.35 * further_mm;
        }
    }
    return count;
}

static void name_flaw(Map *map, int flaw)
{
    const Label label = {flaw_label(map, flaw), CAPITAL_SMALL_MM, false};
    const Box around = label_box(label, (Point){0, 0});
    const Point half = {around.max.x, (around.max.y - around.min.y) / 2};
    const Box box = box_on_page(map, map->chalk[flaw]);
    Point places[FLAW_PLACES];
    double extra[FLAW_PLACES];
    const int count = flaw_places(box, half, places, extra);
    // From a label that does not touch its flaw a line leads there; the ways that
    // would run through other texts are out.
    const Point middle = point_between(box.min, box.max, 0.5);
    for (int i = FLAW_TURNS; i < count; i++) {
        if (!board_clear(&map->board, places[i], middle)) {
            extra[i] = LABEL_REFUSED;
        }
    }
    for (int i = 0; i < count; i++) {
        extra[i] += map_covered(map, places[i]) ? 1.5 : 0;
    }
    Point at;
    if (!board_place(&map->board, label, places, extra, count, &at)) {
        return; // the table of flaws still tells where it lies
    }
    label_draw(map->page, LAYER_TEXT, label, at);
    const Box placed = label_box(label, at);
    const Point near = {fmin(fmax(middle.x, placed.min.x), placed.max.x),
                        fmin(fmax(middle.y, placed.min.y), placed.max.y)};
    const Point edge = {fmin(fmax(near.x, box.min.x), box.max.x),
                        fmin(fmax(near.y, box.min.y), box.max.y)};
    if (point_distance(near, edge) > 1.5) {
        draw_line(map->page, LAYER_MARK, near, edge);
        board_line(&map->board, near, edge, LABEL_REFUSED);
    }
}

enum { REGION_GRID = 24, OUTSIDE_GRID = 40 };

#define LEADER_MM 25.0 ///< a line to a label is no longer

/// One part of a region on the page, and the places in it that no cover takes.
typedef struct Part {
    Ring ring;
    Point free[REGION_GRID * REGION_GRID];
    int free_count;
} Part;

/// The middle of one of grid x grid cells of a box.
static Point grid_place(Box box, int grid, int index)
{
    const int column = index % grid;
    const int row = index / grid;
    return (Point){box.min.x + (box.max.x - box.min.x) * (column + 0.5) / grid,
                   box.min.y + (box.max.y - box.min.y) * (row + 0.5) / grid};
}

/// The places of a grid over a ring on the page that lie in it and in no cover.
static Part *part_of_ring(const Map *map, Ring ring)
{
    Part *part = ARENA_NEW(map->page->keep, Part);
    part->ring = ring;
    const Box box = ring_box(ring);
    for (int i = 0; i < REGION_GRID * REGION_GRID; i++) {
        const Point place = grid_place(box, REGION_GRID, i);
        if (ring_contains(ring, place) && !map_covered(map, place)) {
            part->free[part->free_count++] = place;
        }
    }
    return part;
}

/// The same of a region, without its holes.
static Part *region_part(const Map *map, Polygon polygon)
{
    Part *part = part_of_ring(map, map_ring(&map->view, polygon.outer, map->page->keep));
    int kept = 0;
    for (int i = 0; i < part->free_count; i++) {
        const Point place = part->free[i];
        bool in_hole = false;
        for (int h = 0; h < polygon.hole_count && !in_hole; h++) {
            in_hole = ring_contains(polygon.holes[h], map_place(&map->view, place));
        }
        if (!in_hole) {
            part->free[kept++] = place;
        }
    }
    part->free_count = kept;
    return part;
}

/// A place for a region's name in the region itself, off the covers.
static bool name_inside(Map *map, const Part *part, Label label, double strictness)
{
    const Point middle = ring_centroid(part->ring);
    double extra[REGION_GRID * REGION_GRID];
    for (int i = 0; i < part->free_count; i++) {
        // Near the middle, but rather clear of the region's limits.
        extra[i] = strictness + 0.01 * point_distance(part->free[i], middle) +
                   2 / (0.5 + ring_distance_mm(part->ring, part->free[i]));
    }
    Point at;
    if (!board_place(&map->board, label, part->free, extra, part->free_count, &at)) {
        return false;
    }
    label_draw(map->page, LAYER_TEXT, label, at);
    return true;
}

/// Whether a line to a label runs over no cover and no text.
static bool way_is_clear(const Map *map, Point from, Point to)
{
    const int steps = 1 + (int)point_distance(from, to);
    for (int i = 0; i <= steps; i++) {
        if (map_covered(map, point_between(from, to, i / (double)steps))) {
            return false;
        }
    }
    return board_clear(&map->board, from, to);
}

/// The free place of a part that lies nearest.
static Point nearest_free(const Part *part, Point place)
{
    Point best = part->free[0];
    for (int i = 1; i < part->free_count; i++) {
        if (point_distance(part->free[i], place) < point_distance(best, place)) {
            best = part->free[i];
        }
    }
    return best;
}

/// A place beside the hide, with a line that leads to the region.
static bool name_outside(Map *map, const Part *part, Label label)
{
    if (part->free_count == 0) {
        return false; // all of it lies beneath covers
    }
    const Ring hide = map_ring(&map->view, map->hide->outline, map->page->keep);
    const Box room = map->board.room;
    Point *places = ARENA_ARRAY(map->page->keep, Point, OUTSIDE_GRID * OUTSIDE_GRID);
    double *extra = ARENA_ARRAY(map->page->keep, double, OUTSIDE_GRID *OUTSIDE_GRID);
    int count = 0;
    for (int i = 0; i < OUTSIDE_GRID * OUTSIDE_GRID; i++) {
        const Point place = grid_place(room, OUTSIDE_GRID, i);
        const Point target = nearest_free(part, place);
        if (point_distance(place, target) <= LEADER_MM && !ring_contains(hide, place) &&
            way_is_clear(map, place, target)) {
            places[count] = place;
            extra[count++] = STRICT + 0.1 * point_distance(place, target);
        }
    }
    Point at;
    if (!board_place(&map->board, label, places, extra, count, &at)) {
        return false;
    }
    label_draw(map->page, LAYER_TEXT, label, at);
    const Point target = nearest_free(part, at);
    const Box placed = label_box(label, at);
    const Point from = {fmin(fmax(target.x, placed.min.x), placed.max.x),
                        fmin(fmax(target.y, placed.min.y), placed.max.y)};
    draw_line(map->page, LAYER_MARK, from, target);
    board_line(&map->board, from, target, LABEL_REFUSED);
    return true;
}

/// Parts smaller than this on paper go without a name.
#define REGION_LEAST_MM2 25.0

static void name_region(Map *map, const Region *region)
{
    Arena *keep = map->page->keep;
    const char *kind = region_kind_names[region->kind];
    const char *whole = arena_text(keep, "%s, %s", kind, firmness_names[region->firmness]);
    const Label tried[] = {
        {whole, 3.0, false}, {whole, CAPITAL_SMALL_MM, false}, {kind, CAPITAL_SMALL_MM, false}};
    for (int i = 0; i < region->area.count; i++) {
        const Polygon part = region->area.items[i];
        if (polygon_area_mm2(part) * map->view.scale * map->view.scale < REGION_LEAST_MM2) {
            continue;
        }
        const Part *places = region_part(map, part);
        bool named = false;
        for (size_t k = 0; k < sizeof tried / sizeof tried[0] && !named; k++) {
            named = name_inside(map, places, tried[k], STRICT);
        }
        // Over a line it can still be read; over a flaw it could not.
        if (!named && !name_outside(map, places, tried[1])) {
            name_inside(map, places, tried[2], LABEL_REFUSED - 2 * COST_CUT);
        }
    }
}

/// How large the rectangle is that is left: in it, or beside the hide.
static void name_left(Map *map)
{
    const Ring ring = map_left_ring(map);
    if (ring.count == 0) {
        return;
    }
    const PackMatter *matter = map->matter;
    Arena *keep = map->page->keep;
    const char *size =
        remnant_rectangle_text(&matter->plan->left[map->hide_number], matter->plan->useful_mm,
                               matter->job->units.length, keep);
    const Label label = {arena_text(keep, "left: %s", size), CAPITAL_SMALL_MM, false};
    const Part *part = part_of_ring(map, ring);
    if (!name_inside(map, part, label, STRICT)) {
        (void)name_outside(map, part, label); // the head of the map still tells it
    }
}

enum { MARK_PLACES = 12 };

/// Numbers of a cover's marks, all or none.
static void number_marks(Map *map, const PlacedCover *cover)
{
    const Marks marks = marks_of(cover->cut, cover->motion.turn_rad, LENGTH_MM);
    const Point middle = map_point(&map->view, ring_centroid(cover->cut));
    const int taken_before = map->board.taken_count;
    Point at[MARKS_MAX];
    bool room = true;
    for (int i = 0; i < marks.count && room; i++) {
        const Point place = map_point(&map->view, marks.items[i].place);
        const Point inward = point_unit(point_minus(middle, place));
        const Label label = {arena_text(map->page->keep, "%d", i + 1), CAPITAL_SMALL_MM, false};
        Point places[MARK_PLACES];
        double extra[MARK_PLACES];
        for (int k = 0; k < MARK_PLACES; k++) {
            const double aside = (k % 3 - 1) * 0.35;
            const Point way =
                point_unit(point_plus(inward, point_times(point_right(inward), aside)));
            const int further = k / 3;
            const double distance_mm = 2.3 + 0.7 * further;
            places[k] = point_plus(place, point_times(way, distance_mm));
            extra[k] = STRICT + distance_mm + fabs(aside);
        }
        room = board_place(&map->board, label, places, extra, MARK_PLACES, &at[i]);
    }
    if (!room) {
        map->board.taken_count = taken_before;
        return;
    }
    for (int i = 0; i < marks.count; i++) {
        draw_text(map->page, LAYER_TEXT, (Point){at[i].x, at[i].y - CAPITAL_SMALL_MM / 2},
                  CAPITAL_SMALL_MM, ALIGN_MIDDLE, false, 0, "%d", i + 1);
    }
}

void map_name_all(Map *map)
{
    name_covers(map);
    for (int i = 0; i < map->hide->flaw_count; i++) {
        name_flaw(map, i);
    }
    name_left(map);
    for (int i = 0; i < map->hide->region_count && pack_goes_on(map->matter); i++) {
        name_region(map, &map->hide->regions[i]);
    }
    for (int i = 0; i < map->matter->plan->cover_count; i++) {
        if (map->matter->plan->covers[i].hide == map->hide_number) {
            number_marks(map, &map->matter->plan->covers[i]);
        }
    }
}
