#include "paper/notes.h"

#include <stdlib.h>

static const double sample_mm = 1.5;     ///< between the points that stand for a text
static const double air_mm = 0.5;        ///< between a text and a line
static const double off_line_mm = 1.6;   ///< between a line and the text that names it
static const double straight_rad = 0.17; ///< a stretch turns no more than this
static const double side_rad = 0.5;      ///< a line of a side faces it within this

static double segment_distance_mm(Point place, Point a, Point b)
{
    return point_distance(place, point_on_segment(place, a, b));
}

static double item_distance_mm(const DrawItem *item, Point place, double nearest_mm)
{
    if (item->kind == DRAW_TEXT) {
        return nearest_mm;
    }
    const int segments = item->closed ? item->point_count : item->point_count - 1;
    for (int i = 0; i < segments; i++) {
        const Point next = item->points[(i + 1) % item->point_count];
        nearest_mm = fmin(nearest_mm, segment_distance_mm(place, item->points[i], next));
    }
    return nearest_mm;
}

/// Distance to the middles of other texts.
static double texts_distance_mm(const Notes *notes, Point place, double nearest_mm)
{
    for (int i = 0; i < notes->taken_count; i++) {
        nearest_mm = fmin(nearest_mm, point_distance(place, notes->taken[i]));
    }
    return nearest_mm;
}

static double window_distance_mm(Box window, Point place)
{
    return fmin(fmin(place.x - window.min.x, window.max.x - place.x),
                fmin(place.y - window.min.y, window.max.y - place.y));
}

double notes_clearance_mm(const Notes *notes, Point place)
{
    double nearest_mm = window_distance_mm(notes->window, place);
    for (int i = 0; i < notes->sheet->count; i++) {
        nearest_mm = item_distance_mm(&notes->sheet->items[i], place, nearest_mm);
    }
    return texts_distance_mm(notes, place, nearest_mm);
}

static void take(Notes *notes, Point place)
{
    notes->taken = arena_room(notes->sheet->keep, notes->taken, notes->taken_count,
                              &notes->capacity, sizeof *notes->taken);
    notes->taken[notes->taken_count++] = place;
}

/// Points along the middle of a text, from its left end to its right end.
typedef struct Samples {
    Point first;
    Point step;
    int count;
} Samples;

static Samples samples_of(Note note, Point anchor, double turn_rad)
{
    const Point way = {cos(turn_rad), sin(turn_rad)};
    const Point up = {-way.y, way.x};
    const double width_mm = draw_text_width_mm(note.text, note.size_mm, note.bold);
    const int steps = (int)ceil(width_mm / sample_mm) + 1;
    return (Samples){.first = point_plus(anchor, point_times(up, note.size_mm / 2)),
                     .step = point_times(way, width_mm / steps),
                     .count = steps + 1};
}

static Point sample(Samples samples, int index)
{
    return point_plus(samples.first, point_times(samples.step, index));
}

void note_force(Notes *notes, Note note, Point anchor, double turn_rad)
{
    draw_text(notes->sheet, LAYER_TEXT, anchor, note.size_mm, ALIGN_LEFT, note.bold, turn_rad, "%s",
              note.text);
    const Samples samples = samples_of(note, anchor, turn_rad);
    for (int i = 0; i < samples.count; i++) {
        take(notes, sample(samples, i));
    }
}

bool note_at(Notes *notes, Note note, Point anchor, double turn_rad)
{
    const Samples samples = samples_of(note, anchor, turn_rad);
    for (int i = 0; i < samples.count; i++) {
        if (notes_clearance_mm(notes, sample(samples, i)) < note.size_mm / 2 + air_mm ||
            texts_distance_mm(notes, sample(samples, i), 1e9) < note.size_mm + 2 * air_mm) {
            return false;
        }
    }
    note_force(notes, note, anchor, turn_rad);
    return true;
}

/// Places a note centred at `share` of the way from `from` to `to`.
static bool place_beside(Notes *notes, Note note, Point from, Point to, double share, Point inside)
{
    Point way = point_unit(point_minus(to, from));
    const bool backward = way.x < -1e-9 || (fabs(way.x) <= 1e-9 && way.y < 0);
    way = point_times(way, backward ? -1 : 1); // texts read from the left, or upward
    const Point up = {-way.y, way.x};
    const Point middle = point_between(from, to, share);
    const bool above = (point_dot(up, point_minus(inside, middle)) > 0) != note.outside;
    const double lift_mm = above ? off_line_mm : -off_line_mm - note.size_mm;
    const double width_mm = draw_text_width_mm(note.text, note.size_mm, note.bold);
    const Point anchor =
        point_plus(point_minus(middle, point_times(way, width_mm / 2)), point_times(up, lift_mm));
    return note_at(notes, note, anchor, atan2(way.y, way.x));
}

static bool looks_to(Point from, Point to, Point side)
{
    const Point outward = point_unit(point_right(point_minus(to, from)));
    return point_length(side) <= 0 || point_dot(outward, side) > cos(side_rad);
}

static bool try_stretch(Notes *notes, Note note, Point from, Point to, Point inside)
{
    static const double shares[] = {0.5, 0.3, 0.7, 0.15, 0.85};
    for (size_t i = 0; i < sizeof shares / sizeof shares[0]; i++) {
        if (place_beside(notes, note, from, to, shares[i], inside)) {
            return true;
        }
    }
    return false;
}

/// A part of a line that is nearly straight.
typedef struct Stretch {
    Point from;
    Point to;
    double length_mm;
} Stretch;

/// Longest first.
static int by_length(const void *a, const void *b)
{
    const double first = ((const Stretch *)a)->length_mm;
    const double second = ((const Stretch *)b)->length_mm;
    return (first < second) - (first > second);
}

/// Cuts a line into stretches; returns how many.
static int stretches_of(const DrawItem *line, Stretch *stretches)
{
    const int segments = line->closed ? line->point_count : line->point_count - 1;
    int count = 0;
    for (int i = 0; i < segments;) {
        const Point from = line->points[i];
        const Point first = point_minus(line->points[(i + 1) % line->point_count], from);
        int last = i + 1;
        for (; last < segments; last++) {
            const Point next =
                point_minus(line->points[(last + 1) % line->point_count], line->points[last]);
            if (fabs(atan2(point_cross(first, next), point_dot(first, next))) > straight_rad) {
                break;
            }
        }
        const Point to = line->points[last % line->point_count];
        stretches[count++] = (Stretch){from, to, point_distance(from, to)};
        i = last;
    }
    qsort(stretches, (size_t)count, sizeof *stretches, by_length);
    return count;
}

bool note_along(Notes *notes, Note note, const DrawItem *line, Point inside, Point side)
{
    const double width_mm = draw_text_width_mm(note.text, note.size_mm, note.bold);
    Stretch *stretches = ARENA_ARRAY(notes->sheet->keep, Stretch, line->point_count);
    const int count = stretches_of(line, stretches);
    for (int i = 0; i < count && stretches[i].length_mm > width_mm; i++) {
        if (looks_to(stretches[i].from, stretches[i].to, side) &&
            try_stretch(notes, note, stretches[i].from, stretches[i].to, inside)) {
            return true;
        }
    }
    return false;
}

Point notes_emptiest(const Notes *notes, Ring ring, double *radius_mm)
{
    const double step_mm = 4;
    Point best = notes->window.min;
    *radius_mm = 0;
    const int columns = (int)((notes->window.max.x - notes->window.min.x) / step_mm);
    const int rows = (int)((notes->window.max.y - notes->window.min.y) / step_mm);
    for (int row = 0; row <= rows; row++) {
        for (int column = 0; column <= columns; column++) {
            const Point place = {notes->window.min.x + column * step_mm,
                                 notes->window.min.y + row * step_mm};
            if (window_distance_mm(notes->window, place) <= *radius_mm ||
                !ring_contains(ring, place)) {
                continue;
            }
            const double clear_mm = notes_clearance_mm(notes, place);
            if (clear_mm > *radius_mm) {
                *radius_mm = clear_mm;
                best = place;
            }
        }
    }
    return best;
}
