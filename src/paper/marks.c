#include "paper/marks.h"

#include <ctype.h>
#include <string.h>

enum { DIRECTIONS = 8 };
/// Points this near to the furthest one lie on the same straight edge.
#define STRAIGHT_MM 0.25
#define SAME_PLACE_MM 20.0

double marks_rounding_mm(LengthUnit unit)
{
    return unit == LENGTH_IN ? MM_PER_IN / 8 : 1.0;
}

double marks_rounded_mm(double mm, LengthUnit unit)
{
    const double step = marks_rounding_mm(unit);
    return round(mm / step) * step;
}

const char *marks_up_text(double up_mm, LengthUnit unit, Arena *keep)
{
    return up_mm < 0 ? arena_text(keep, "%s behind", length_digits(-up_mm, unit, keep))
                     : length_digits(up_mm, unit, keep);
}

const char *marks_out_text(double out_mm, LengthUnit unit, Arena *keep)
{
    if (out_mm == 0) {
        return "0";
    }
    return arena_text(keep, "%s %s", length_digits(fabs(out_mm), unit, keep),
                      out_mm > 0 ? "left" : "right");
}

const char *marks_cover_name(const PackMatter *matter, const PlacedCover *cover, Arena *keep)
{
    const CoverDemand *demand = &matter->demands[cover->demand];
    if (demand->count <= 1) {
        return demand->name;
    }
    const size_t length = strlen(demand->name);
    const char *hyphen = length > 0 && isdigit((unsigned char)demand->name[length - 1]) ? "-" : "";
    return arena_text(keep, "%s%s%d", demand->name, hyphen, cover->copy + 1);
}

static void add_mark(Marks *marks, Point place, LengthUnit unit)
{
    marks->items[marks->count++] =
        (Mark){place, marks_rounded_mm(place.x, unit), marks_rounded_mm(place.y, unit)};
}

/// The place half the way along the ring from one point to another.
static Point halfway(Ring ring, int first, int last)
{
    double left_mm = 0;
    for (int i = first; i < last; i++) {
        left_mm += point_distance(ring_point(ring, i), ring_point(ring, i + 1)) / 2;
    }
    int at = first;
    double edge_mm = 0;
    while (at < last) {
        edge_mm = point_distance(ring_point(ring, at), ring_point(ring, at + 1));
        if (edge_mm >= left_mm) {
            break;
        }
        left_mm -= edge_mm;
        at++;
    }
    return at < last && edge_mm > 0
               ? point_between(ring_point(ring, at), ring_point(ring, at + 1), left_mm / edge_mm)
               : ring_point(ring, at);
}

/// The point of the ring that lies furthest in a direction; the middle of the edge
/// where a straight edge does.
static Point furthest(Ring ring, Point direction)
{
    int best = 0;
    for (int i = 1; i < ring.count; i++) {
        if (point_dot(ring.points[i], direction) > point_dot(ring.points[best], direction)) {
            best = i;
        }
    }
    const double level = point_dot(ring.points[best], direction) - STRAIGHT_MM;
    int first = best;
    int last = best;
    while (last - first < ring.count && point_dot(ring_point(ring, first - 1), direction) > level) {
        first--;
    }
    while (last - first < ring.count && point_dot(ring_point(ring, last + 1), direction) > level) {
        last++;
    }
    return halfway(ring, first, last);
}

static void mark_corners(Marks *marks, Ring ring, double turn_rad, LengthUnit unit)
{
    const Point front_left = {cos(turn_rad + 225 * RAD_PER_DEG), sin(turn_rad + 225 * RAD_PER_DEG)};
    int first = 0;
    for (int i = 1; i < ring.count; i++) {
        if (point_dot(ring.points[i], front_left) > point_dot(ring.points[first], front_left)) {
            first = i;
        }
    }
    for (int i = 0; i < ring.count; i++) {
        add_mark(marks, ring_point(ring, first + i), unit);
    }
}

static void mark_extremes(Marks *marks, Ring ring, double turn_rad, LengthUnit unit)
{
    for (int i = 0; i < DIRECTIONS; i++) {
        const double angle_rad = turn_rad + (225 + 360.0 * i / DIRECTIONS) * RAD_PER_DEG;
        const Point place = furthest(ring, (Point){cos(angle_rad), sin(angle_rad)});
        bool known = false;
        for (int k = 0; k < marks->count; k++) {
            known = known || point_distance(marks->items[k].place, place) < SAME_PLACE_MM;
        }
        if (!known) {
            add_mark(marks, place, unit);
        }
    }
}

/// The longest distance between two marks that are no neighbours and not among
/// `except`.
static bool longest_diagonal(const Marks *marks, const int *except, int *pair)
{
    double longest = 0;
    for (int i = 0; i < marks->count; i++) {
        for (int k = i + 2; k < marks->count; k++) {
            const bool neighbours = i == 0 && k == marks->count - 1;
            const bool common =
                except && (i == except[0] || i == except[1] || k == except[0] || k == except[1]);
            const double length = point_distance(marks->items[i].place, marks->items[k].place);
            if (!neighbours && !common && length > longest) {
                longest = length;
                pair[0] = i;
                pair[1] = k;
            }
        }
    }
    return longest > 0;
}

Marks marks_of(Ring cut, double turn_rad, LengthUnit unit)
{
    Marks marks = {.count = 0};
    if (cut.count <= MARKS_MAX) {
        mark_corners(&marks, cut, turn_rad, unit);
    } else {
        mark_extremes(&marks, cut, turn_rad, unit);
    }
    if (longest_diagonal(&marks, NULL, marks.diagonal[0]) &&
        longest_diagonal(&marks, marks.diagonal[0], marks.diagonal[1])) {
        marks.diagonal_count = 2;
    }
    return marks;
}
