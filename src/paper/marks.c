#include "paper/marks.h"

#include <string.h>

/// Corners nearer than this are one.
#define SAME_PLACE_MM 20.0

const char *marks_axis_name(const Hide *hide)
{
    return hide->form == HIDE_PANEL ? "middle line" : "backbone";
}

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

const char *marks_distance_text(const Marks *marks, int from, int to, LengthUnit unit, Arena *keep)
{
    const double length_mm = point_distance(marks->items[from].place, marks->items[to].place);
    return length_digits(marks_rounded_mm(length_mm, unit), unit, keep);
}

Label marks_cover_label(const PackMatter *matter, const PlacedCover *cover, double size_mm,
                        double width_mm, Arena *keep)
{
    const CoverDemand *demand = &matter->demands[cover->demand];
    const char *copy = copy_number_text(demand, cover->copy, keep);
    const double name_mm = width_mm - draw_text_width_mm(copy, size_mm, true);
    const char *name = page_fitted(demand->name, size_mm, true, name_mm, keep);
    return (Label){arena_text(keep, "%s%s", name, copy), size_mm, true};
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

/// The index of the point that lies furthest in a direction.
static int furthest_index(Ring ring, Point direction)
{
    int best = 0;
    for (int i = 1; i < ring.count; i++) {
        if (point_dot(ring.points[i], direction) > point_dot(ring.points[best], direction)) {
            best = i;
        }
    }
    return best;
}

static void mark_corners(Marks *marks, Ring ring, double turn_rad, LengthUnit unit)
{
    const double front_left_rad = turn_rad + 225 * RAD_PER_DEG;
    const int first = furthest_index(ring, (Point){cos(front_left_rad), sin(front_left_rad)});
    for (int i = 0; i < ring.count; i++) {
        add_mark(marks, ring_point(ring, first + i), unit);
    }
}

/// The corners, and half way along the outline from each to the next.
static void mark_extremes(Marks *marks, Ring ring, double turn_rad, LengthUnit unit)
{
    int corner[CORNER_COUNT];
    int count = 0;
    for (int i = 0; i < CORNER_COUNT; i++) {
        const double angle_rad = turn_rad + (225 + 90.0 * i) * RAD_PER_DEG;
        const int at = furthest_index(ring, (Point){cos(angle_rad), sin(angle_rad)});
        const bool known =
            count > 0 &&
            (point_distance(ring.points[at], ring.points[corner[count - 1]]) < SAME_PLACE_MM ||
             point_distance(ring.points[at], ring.points[corner[0]]) < SAME_PLACE_MM);
        if (!known) {
            corner[count++] = at;
        }
    }
    for (int i = 0; i < count; i++) {
        int next = corner[(i + 1) % count];
        next += next <= corner[i] ? ring.count : 0;
        add_mark(marks, ring.points[corner[i]], unit);
        add_mark(marks, halfway(ring, corner[i], next), unit);
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
    if (cut.count > MARKS_MAX && marks.count == 2 * CORNER_COUNT) {
        // Corner to corner, though on a round cover no line is longer than another.
        marks.diagonal[0][1] = CORNER_COUNT;
        marks.diagonal[1][0] = CORNER_COUNT / 2;
        marks.diagonal[1][1] = CORNER_COUNT / 2 + CORNER_COUNT;
        marks.diagonal_count = 2;
        return marks;
    }
    if (longest_diagonal(&marks, NULL, marks.diagonal[0]) &&
        longest_diagonal(&marks, marks.diagonal[0], marks.diagonal[1])) {
        marks.diagonal_count = 2;
    }
    return marks;
}
