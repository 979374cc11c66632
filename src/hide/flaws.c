#include "hide/flaws.h"
#include "base/units.h"

#include <string.h>

enum { DISC_POINTS = 32 };
// polygon_of_line() may fall 0.2 % short at its round ends.
static const double LINE_SAFETY = 1.003;

static bool points_are_sound(const HideReading *reading, const char *where, Ring drawn, int least)
{
    Arena *texts = reading->problems->keep;
    if (drawn.count < least || drawn.count > FLAW_POINTS_MAX) {
        return reading_bad(reading, where, arena_text(texts, "%d places", drawn.count),
                           arena_text(texts, "%d to %d", least, FLAW_POINTS_MAX), NULL);
    }
    for (int i = 0; i < drawn.count; i++) {
        const Point p = drawn.points[i];
        const bool sound = fabs(p.x) <= HIDE_REACH_MAX_MM && fabs(p.y) <= HIDE_REACH_MAX_MM;
        if (!sound) {
            return reading_bad(reading, arena_text(texts, "%s[%d]", where, i),
                               "lies beyond all hides",
                               arena_text(texts, "up to %s up and out",
                                          length_text(HIDE_REACH_MAX_MM, reading->unit, texts)),
                               "measure again, or look for a slipped digit");
        }
    }
    return true;
}

bool drawn_ring(const HideReading *reading, const char *where, Ring drawn, Arena *keep,
                Arena *scratch, Ring *ring)
{
    Arena *texts = reading->problems->keep;
    if (!points_are_sound(reading, where, drawn, 3)) {
        return false;
    }
    const ArenaMark mark = arena_mark(scratch);
    const Ring tidy = ring_tidied(drawn, 0, scratch);
    Point crossing = drawn.points[0];
    bool made = false;
    if (tidy.count < 3) {
        (void)reading_bad(reading, where, "encloses no area", "three places that are not on a line",
                          NULL);
    } else if (!ring_is_simple(tidy, &crossing)) {
        (void)reading_bad(reading, where,
                          arena_text(texts, "crosses or touches itself %s",
                                     point_text(crossing, reading->unit, texts)),
                          "an edge that meets itself nowhere",
                          "put the places in the order in which they lie round the area");
    } else {
        *ring = ring_counter_clockwise(tidy, keep);
        made = true;
    }
    arena_rewind(scratch, mark);
    return made;
}

static bool size_is_sound(const HideReading *reading, const char *where, double mm)
{
    if (mm > 0 && mm <= HIDE_REACH_MAX_MM) {
        return true;
    }
    Arena *texts = reading->problems->keep;
    return reading_bad(reading, where,
                       arena_text(texts, "%g %s", length_from_mm(mm, reading->unit),
                                  length_unit_name(reading->unit)),
                       arena_text(texts, "more than 0, up to %s",
                                  length_text(HIDE_REACH_MAX_MM, reading->unit, texts)),
                       NULL);
}

// Drawn round the circle, so that all of the spot is in it.
static PolygonSet disc(Point middle, double radius_mm, Arena *keep)
{
    Point *points = ARENA_ARRAY(keep, Point, DISC_POINTS);
    const double corner_mm = radius_mm / cos(PI / DISC_POINTS);
    for (int i = 0; i < DISC_POINTS; i++) {
        const double angle = 2 * PI * i / DISC_POINTS;
        points[i] = (Point){middle.x + corner_mm * cos(angle), middle.y + corner_mm * sin(angle)};
    }
    return polygon_set_of_ring((Ring){points, DISC_POINTS}, keep);
}

static bool make_spot(const FlawEntry *entry, const char *where, const HideReading *reading,
                      Arena *keep, Flaw *flaw)
{
    Arena *texts = reading->problems->keep;
    const Ring drawn = {entry->points, entry->point_count > 1 ? 1 : entry->point_count};
    const bool placed = points_are_sound(reading, arena_text(texts, "%s.at", where), drawn, 1);
    const bool sized =
        size_is_sound(reading, arena_text(texts, "%s.radius", where), entry->size_mm);
    if (!placed || !sized) {
        return false;
    }
    flaw->middle = entry->points[0];
    flaw->area = disc(flaw->middle, entry->size_mm, keep);
    return true;
}

// Half way along a line.
static Point line_middle(const Point *points, int count)
{
    double rest_mm = 0;
    for (int i = 1; i < count; i++) {
        rest_mm += 0.5 * point_distance(points[i - 1], points[i]);
    }
    for (int i = 1; i < count; i++) {
        const double length_mm = point_distance(points[i - 1], points[i]);
        if (length_mm >= rest_mm && length_mm > 0) {
            return point_between(points[i - 1], points[i], rest_mm / length_mm);
        }
        rest_mm -= length_mm;
    }
    return points[count - 1];
}

static bool make_line(const FlawEntry *entry, const char *where, const HideReading *reading,
                      Arena *keep, Arena *scratch, Flaw *flaw)
{
    Arena *texts = reading->problems->keep;
    const char *line_where = arena_text(texts, "%s.line", where);
    const Ring drawn = {entry->points, entry->point_count};
    const bool placed = points_are_sound(reading, line_where, drawn, 2);
    const bool sized = size_is_sound(reading, arena_text(texts, "%s.width", where), entry->size_mm);
    if (!placed || !sized) {
        return false;
    }
    const ArenaMark mark = arena_mark(scratch);
    Point *points = ARENA_ARRAY(scratch, Point, entry->point_count);
    int count = 0;
    for (int i = 0; i < entry->point_count; i++) {
        const Point p = entry->points[i];
        if (count == 0 || points[count - 1].x != p.x || points[count - 1].y != p.y) {
            points[count++] = p;
        }
    }
    bool made = false;
    if (count < 2) {
        (void)reading_bad(reading, line_where, "all its places are the same",
                          "two different places", "mark a spot instead");
    } else if (!polygon_of_line(points, count, entry->size_mm * LINE_SAFETY, keep, &flaw->area)) {
        (void)reading_bad(reading, line_where, "no area can be made of this line", NULL,
                          "mark it as an area instead");
    } else {
        flaw->middle = line_middle(points, count);
        made = true;
    }
    arena_rewind(scratch, mark);
    return made;
}

bool flaw_make(const FlawEntry *entry, const char *where, const HideReading *reading, Arena *keep,
               Arena *scratch, Flaw *flaw)
{
    Flaw result = {.kind = entry->kind, .name = arena_copy_text(keep, entry->name)};
    bool made = false;
    if (entry->form == FLAW_SPOT) {
        made = make_spot(entry, where, reading, keep, &result);
    } else if (entry->form == FLAW_LINE) {
        made = make_line(entry, where, reading, keep, scratch, &result);
    } else {
        Ring ring;
        const char *area_where = arena_text(reading->problems->keep, "%s.area", where);
        made = drawn_ring(reading, area_where, (Ring){entry->points, entry->point_count}, keep,
                          scratch, &ring);
        if (made) {
            result.area = polygon_set_of_ring(ring, keep);
            result.middle = ring_centroid(ring);
        }
    }
    if (made) {
        *flaw = result;
    }
    return made;
}

bool flaw_is_off(const Flaw *flaw, Ring outline, Arena *scratch)
{
    // A point of it on the hide settles most cases without an overlay.
    for (int i = 0; i < flaw->area.count; i++) {
        const Ring ring = flaw->area.items[i].outer;
        for (int k = 0; k < ring.count; k++) {
            if (ring_contains(outline, ring.points[k])) {
                return false;
            }
        }
    }
    const ArenaMark mark = arena_mark(scratch);
    PolygonSet common;
    const bool off = polygon_overlay(POLYGON_INTERSECTION, flaw->area,
                                     polygon_set_of_ring(outline, scratch), scratch, &common) &&
                     common.count == 0;
    arena_rewind(scratch, mark);
    return off;
}
