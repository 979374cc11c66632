// The outline: places joined by a smooth line that does not overshoot them.
#include "hide/places.h"
#include "plane/curve.h"

#include <stdlib.h>
#include <string.h>

static const double STEP_MM = 5;
// Points this near to a straight edge are left out: a tape is read to a few mm.
static const double TIDY_MM = 0.05;
static const double ROUNDING_MM = 1e-9;
// A smaller outline is a slip of some kind.
static const double AREA_MIN_MM2 = 100;
// How far the cut edge of a side may wave about the backbone (common practice).
static const double WAVE_MM = 15;
// The butt end of the outline should lie near the zero of the tape: share of the backbone.
static const double BUTT_END_SHARE = 0.1;

static Ring ring_of(Places places, Arena *keep)
{
    Point *points = ARENA_ARRAY(keep, Point, places.count);
    for (int i = 0; i < places.count; i++) {
        points[i] = places.items[i].point;
    }
    return (Ring){points, places.count};
}

// Straight stretches of the curve come as hundreds of points on one line.
static Ring without_straight_steps(Ring curve, Arena *keep)
{
    Point *points = ARENA_ARRAY(keep, Point, curve.count);
    int count = 0;
    for (int i = 0; i < curve.count; i++) {
        const Point p = curve.points[i];
        const Point foot = point_on_segment(p, ring_point(curve, i - 1), ring_point(curve, i + 1));
        if (point_distance(p, foot) > ROUNDING_MM) {
            points[count++] = p;
        }
    }
    return (Ring){points, count};
}

// Steps as fine as asked for, but no more points than the exact tests take.
static double step_for(Ring places)
{
    const double most = HIDE_POINTS_MAX - places.count;
    return fmax(STEP_MM, ring_length_mm(places) / fmax(1, most));
}

// The outer edge of a side runs as it would on a whole hide whose other half is its
// mirror image, so that it leaves the backbone squarely. `half` runs from butt to
// neck end, both on the backbone.
static Ring side_edge(Ring half, Arena *keep)
{
    Point *both = ARENA_ARRAY(keep, Point, 2 * half.count - 2);
    memcpy(both, half.points, (size_t)half.count * sizeof *both);
    for (int i = 1; i + 1 < half.count; i++) {
        const Point p = half.points[half.count - 1 - i];
        both[half.count + i - 1] = (Point){p.x, -p.y};
    }
    const Ring whole = {both, 2 * half.count - 2};
    const Ring curve = curve_through(whole.points, whole.count, step_for(whole), keep);
    const Point neck = half.points[half.count - 1];
    int count = 1;
    while (curve.points[count].x != neck.x || curve.points[count].y != neck.y) {
        count++;
    }
    return (Ring){curve.points, count + 1};
}

static Ring smooth_edge(const HideEntry *entry, Ring straight, Arena *keep)
{
    if (entry->form == HIDE_SIDE && entry->point_count == 0) {
        return side_edge(straight, keep);
    }
    return curve_through(straight.points, straight.count, step_for(straight), keep);
}

// The place nearest to where the edge crosses itself; with `other`, the nearest one
// that lies on another stretch of the edge.
static int nearest_place(Places places, Point crossing, int other)
{
    int nearest = -1;
    for (int i = 0; i < places.count; i++) {
        const int apart = other < 0 ? 2 : abs(i - other);
        if (apart < 2 || apart == places.count - 1) {
            continue;
        }
        if (nearest < 0 || point_distance(places.items[i].point, crossing) <
                               point_distance(places.items[nearest].point, crossing)) {
            nearest = i;
        }
    }
    return nearest;
}

static bool crossing_is_bad(const HideReading *reading, Places places, Point crossing)
{
    Arena *keep = reading->problems->keep;
    const int first = nearest_place(places, crossing, -1);
    const int second = nearest_place(places, crossing, first);
    const char *beside =
        second < 0 ? "" : arena_text(keep, ", near %s", place_name(reading, places.items[second]));
    return reading_bad(reading, place_path(reading, places.items[first]),
                       arena_text(keep, "the edge crosses or touches itself %s%s",
                                  point_text(crossing, reading->unit, keep), beside),
                       "an edge that meets itself nowhere",
                       "put the places in the order in which the edge is walked, or measure "
                       "these two again");
}

static void doubt(const HideReading *reading, const char *where, const char *found,
                  const char *remedy)
{
    problems_add(
        reading->problems,
        (Problem){.kind = PROBLEM_DOUBT, .where = where, .found = found, .remedy = remedy});
}

// The smooth line, or where that would cross itself and straight lines would not
// (narrow slits of a traced edge), straight lines, which is said.
static bool join_places(const HideReading *reading, Places places, Arena *scratch, Ring *outline)
{
    Ring straight = ring_of(places, scratch);
    const bool mirrored = reading->entry->form == HIDE_SIDE && reading->entry->right_side &&
                          reading->entry->point_count == 0;
    const Ring curve = smooth_edge(reading->entry, straight, scratch);
    Ring edge = ring_tidied(without_straight_steps(curve, scratch), TIDY_MM, scratch);
    Point crossing;
    if (!ring_is_simple(edge, &crossing)) {
        edge = ring_tidied(straight, TIDY_MM, scratch);
        Point straight_crossing = crossing;
        if (!ring_is_simple(edge, &straight_crossing)) {
            straight_crossing.y *= mirrored ? -1 : 1;
            return crossing_is_bad(reading, places, straight_crossing);
        }
        Arena *keep = reading->problems->keep;
        const Place place = places.items[nearest_place(places, crossing, -1)];
        doubt(reading, place_path(reading, place),
              "a smooth edge would cross itself here; the places are joined by straight lines",
              arena_text(keep, "give more places near %s", place_name(reading, place)));
    }
    *outline = mirrored ? ring_mirrored_y(edge, scratch) : edge;
    return true;
}

// Greatest x at which the outline meets the backbone, or least with `sign` -1.
// Where a side's cut edge waves, its end near the backbone counts as on it.
static double backbone_end_mm(Ring outline, HideForm form, double sign)
{
    double end = -HUGE_VAL;
    for (int i = 0; i < outline.count; i++) {
        const Point a = outline.points[i];
        const Point b = ring_point(outline, i + 1);
        if ((a.y > 0) != (b.y > 0)) {
            end = fmax(end, sign * point_between(a, b, a.y / (a.y - b.y)).x);
        }
        if (fabs(a.y) <= (form == HIDE_SIDE ? WAVE_MM : 0)) {
            end = fmax(end, sign * a.x);
        }
    }
    return sign * end;
}

static double find_backbone_mm(const HideReading *reading, Ring outline)
{
    Arena *keep = reading->problems->keep;
    const char *where = arena_text(keep, "%s.%s", reading->where,
                                   reading->entry->point_count > 0 ? "points" : "stations");
    const double neck = backbone_end_mm(outline, reading->entry->form, 1);
    const double butt = backbone_end_mm(outline, reading->entry->form, -1);
    if (!isfinite(neck) || neck <= 0) {
        const Box box = ring_box(outline);
        doubt(reading, where, "the outline does not reach up the backbone (out 0, up more than 0)",
              "measure from the butt end of the backbone");
        return box.max.x > 0 ? box.max.x : box.max.x - box.min.x;
    }
    if (fabs(butt) > BUTT_END_SHARE * neck) {
        doubt(reading, where,
              arena_text(keep, "on the backbone the outline begins %s up instead of at 0",
                         length_text(butt, reading->unit, keep)),
              "measure from the butt end of the backbone");
    }
    return neck;
}

// A side by points lies on the half that it is said to be.
static bool lies_on_its_half(const HideReading *reading, Ring outline)
{
    const HideEntry *entry = reading->entry;
    Arena *keep = reading->problems->keep;
    if (entry->form != HIDE_SIDE || (ring_centroid(outline).y <= 0) == entry->right_side) {
        return true;
    }
    const char *said = entry->right_side ? "right" : "left";
    const char *found = entry->right_side ? "left" : "right";
    return reading_bad(reading, arena_text(keep, "%s.half", reading->where),
                       arena_text(keep, "%s, but the points lie on the %s", said, found), NULL,
                       "change the half, or the side on which the points lie");
}

static bool size_is_sound(const HideReading *reading, const char *field, double mm)
{
    if (mm > 0 && mm <= HIDE_REACH_MAX_MM) {
        return true;
    }
    Arena *keep = reading->problems->keep;
    const char *found = isfinite(mm) && fabs(mm) < 1e6 ? length_text(mm, reading->unit, keep)
                                                       : arena_text(keep, "%g", mm);
    return reading_bad(reading, arena_text(keep, "%s.%s", reading->where, field), found,
                       arena_text(keep, "more than 0, up to %s",
                                  length_text(HIDE_REACH_MAX_MM, reading->unit, keep)),
                       "measure the panel along and across the firm direction");
}

static bool panel_outline(const HideReading *reading, Arena *keep, HideOutline *outline)
{
    const double length = reading->entry->panel_length_mm;
    const double half = reading->entry->panel_width_mm / 2;
    const bool length_sound = size_is_sound(reading, "length", length);
    const bool width_sound = size_is_sound(reading, "width", 2 * half);
    if (!length_sound || !width_sound) {
        return false;
    }
    Point *corners = ARENA_ARRAY(keep, Point, 4);
    corners[0] = (Point){0, -half};
    corners[1] = (Point){length, -half};
    corners[2] = (Point){length, half};
    corners[3] = (Point){0, half};
    *outline = (HideOutline){{corners, 4}, length};
    return true;
}

static bool counts_are_sound(const HideReading *reading)
{
    const HideEntry *entry = reading->entry;
    const bool from_points = entry->point_count > 0;
    const int count = from_points ? entry->point_count : entry->station_count;
    const int most = from_points ? HIDE_POINTS_MAX : STATIONS_MAX;
    if (count >= 3 && count <= most) {
        return true;
    }
    Arena *keep = reading->problems->keep;
    const char *field = from_points ? "points" : "stations";
    return reading_bad(reading, arena_text(keep, "%s.%s", reading->where, field),
                       arena_text(keep, "%d %s", count, field), arena_text(keep, "3 to %d", most),
                       NULL);
}

static bool edge_outline(const HideReading *reading, Arena *keep, Arena *scratch,
                         HideOutline *outline)
{
    Places places;
    if (!counts_are_sound(reading) || !places_read(reading, scratch, &places)) {
        return false;
    }
    if (reading->entry->point_count == 0) {
        slips_doubt(reading, scratch);
    }
    Ring edge = {NULL, 0};
    if (!join_places(reading, places, scratch, &edge) || !lies_on_its_half(reading, edge)) {
        return false;
    }
    const double area_mm2 = fabs(ring_area_mm2(edge));
    if (area_mm2 < AREA_MIN_MM2) {
        return reading_bad(
            reading, reading->where,
            arena_text(reading->problems->keep, "the outline encloses only %.2g mm²", area_mm2),
            NULL, "check the unit of the measures");
    }
    const double backbone_mm = find_backbone_mm(reading, edge);
    *outline = (HideOutline){ring_counter_clockwise(edge, keep), backbone_mm};
    return true;
}

bool hide_outline(const HideEntry *entry, const char *where, LengthUnit unit, Arena *keep,
                  Arena *scratch, HideOutline *outline, Problems *problems)
{
    const HideReading reading = {entry, where, unit, problems};
    if (entry->form == HIDE_PANEL) {
        return panel_outline(&reading, keep, outline);
    }
    const ArenaMark mark = arena_mark(scratch);
    const bool made = edge_outline(&reading, keep, scratch, outline);
    arena_rewind(scratch, mark);
    return made;
}
