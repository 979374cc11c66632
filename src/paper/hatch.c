#include "paper/hatch.h"

#include <string.h>

const double hatch_looseness[FIRMNESS_COUNT] = {
    [FIRM] = 1.0, [MIDDLING] = 1.5, [SOFT] = 2.1, [LOOSE] = 2.9};

/// Jobard and Lefer let a line run on until it comes this near to another, as a share
/// of the distance at which lines are begun.
#define NEAREST_SHARE 0.6
#define STEPS_PER_SPACING 4
enum { LINE_POINTS_MAX = 4000, CELLS_MAX = 1 << 21, SEED_COLUMNS = 4 };

/// A point on a line already drawn, chained in its cell.
typedef struct Bead {
    Point place;
    int line;
    struct Bead *next;
} Bead;

/// Points of all lines in square cells one spacing wide, so that near ones are found
/// by looking at nine cells.
typedef struct Beads {
    Bead **cells;
    int columns;
    int rows;
    Point origin;
    double cell_mm;
    Arena *keep;
} Beads;

typedef struct Tracer {
    const Hide *hide;
    const Region *region;
    double spacing_mm;
    double step_mm;
    Beads beads;
    Hatching hatching;
    Arena *keep;
} Tracer;

static Beads make_beads(Box box, double cell_mm, Arena *keep)
{
    Beads beads = {.origin = box.min, .cell_mm = cell_mm, .keep = keep};
    beads.columns = (int)((box.max.x - box.min.x) / cell_mm) + 1;
    beads.rows = (int)((box.max.y - box.min.y) / cell_mm) + 1;
    beads.cells = ARENA_ARRAY(keep, Bead *, beads.columns * beads.rows);
    return beads;
}

static int cell_of(double value, double origin, double cell_mm, int count)
{
    const int cell = (int)((value - origin) / cell_mm);
    return cell < 0 ? 0 : cell >= count ? count - 1 : cell;
}

static void add_bead(Beads *beads, Point place, int line)
{
    const int column = cell_of(place.x, beads->origin.x, beads->cell_mm, beads->columns);
    const int row = cell_of(place.y, beads->origin.y, beads->cell_mm, beads->rows);
    Bead **cell = &beads->cells[row * beads->columns + column];
    Bead *bead = ARENA_NEW(beads->keep, Bead);
    *bead = (Bead){place, line, *cell};
    *cell = bead;
}

static bool chain_near(const Bead *bead, Point place, double distance_mm, int line)
{
    for (; bead; bead = bead->next) {
        if (bead->line != line && point_distance(bead->place, place) < distance_mm) {
            return true;
        }
    }
    return false;
}

/// Whether a bead of a line other than `line` lies within `distance_mm` (one cell at
/// most) of a place.
static bool bead_near(const Beads *beads, Point place, double distance_mm, int line)
{
    const int column = cell_of(place.x, beads->origin.x, beads->cell_mm, beads->columns);
    const int row = cell_of(place.y, beads->origin.y, beads->cell_mm, beads->rows);
    for (int r = row > 0 ? row - 1 : 0; r <= row + 1 && r < beads->rows; r++) {
        for (int c = column > 0 ? column - 1 : 0; c <= column + 1 && c < beads->columns; c++) {
            if (chain_near(beads->cells[r * beads->columns + c], place, distance_mm, line)) {
                return true;
            }
        }
    }
    return false;
}

static Point firm_unit(const Tracer *tracer, Point place, Point sense)
{
    const double angle_rad = hide_firm_direction_rad(tracer->hide, place);
    const Point unit = {cos(angle_rad), sin(angle_rad)};
    return point_dot(unit, sense) < 0 ? point_times(unit, -1) : unit;
}

/// One half of a line, from `start` in the sense given; the start is not among the
/// points. Returns how many.
static int trace_half(const Tracer *tracer, Point start, Point sense, Point *points)
{
    const int line = tracer->hatching.count;
    int count = 0;
    Point place = start;
    while (count < LINE_POINTS_MAX / 2 - 1) {
        const Point first = firm_unit(tracer, place, sense);
        const Point half = point_plus(place, point_times(first, tracer->step_mm / 2));
        const Point heading = firm_unit(tracer, half, first);
        const Point next = point_plus(place, point_times(heading, tracer->step_mm));
        if (!polygon_set_contains(tracer->region->area, next) ||
            bead_near(&tracer->beads, next, NEAREST_SHARE * tracer->spacing_mm, line)) {
            break;
        }
        // A line that comes back to its own beginning has gone round once.
        if (count > 2 * STEPS_PER_SPACING && point_distance(next, start) < tracer->step_mm) {
            break;
        }
        points[count++] = next;
        place = next;
        sense = heading;
    }
    return count;
}

static void add_line(Tracer *tracer, const Point *points, int count)
{
    Hatching *hatching = &tracer->hatching;
    hatching->lines = arena_room(tracer->keep, hatching->lines, hatching->count,
                                 &hatching->capacity, sizeof *hatching->lines);
    Point *copy = ARENA_ARRAY(tracer->keep, Point, count);
    memcpy(copy, points, (size_t)count * sizeof *copy);
    for (int i = 0; i < count; i++) {
        add_bead(&tracer->beads, points[i], hatching->count);
    }
    hatching->lines[hatching->count++] = (HatchLine){copy, count};
}

/// Lays a line through a place if there is room for one. `buffer` holds
/// LINE_POINTS_MAX points.
static void try_line(Tracer *tracer, Point seed, Point *buffer)
{
    const int line = tracer->hatching.count;
    if (!polygon_set_contains(tracer->region->area, seed) ||
        bead_near(&tracer->beads, seed, 0.98 * tracer->spacing_mm, line)) {
        return;
    }
    const Point sense = firm_unit(tracer, seed, (Point){1, 0});
    Point *middle = buffer + LINE_POINTS_MAX / 2;
    const int back = trace_half(tracer, seed, point_times(sense, -1), buffer);
    Point *from = middle - back - 1;
    // The first half was walked away from the seed; turned round it leads up to it.
    for (int i = 0; i < back / 2; i++) {
        const Point swapped = buffer[i];
        buffer[i] = buffer[back - 1 - i];
        buffer[back - 1 - i] = swapped;
    }
    memmove(from, buffer, (size_t)back * sizeof *buffer);
    middle[-1] = seed;
    const int forth = trace_half(tracer, seed, sense, middle);
    // Crumbs only make the picture restless.
    if (back + forth >= STEPS_PER_SPACING) {
        add_line(tracer, from, back + 1 + forth);
    }
}

/// New lines begin one spacing to either side of each point of a line.
static void spread_from(Tracer *tracer, int line, Point *buffer)
{
    const HatchLine source = tracer->hatching.lines[line];
    for (int i = 0; i + 1 < source.count; i++) {
        const Point along = point_unit(point_minus(source.points[i + 1], source.points[i]));
        const Point aside = point_times(point_right(along), tracer->spacing_mm);
        try_line(tracer, point_plus(source.points[i], aside), buffer);
        try_line(tracer, point_minus(source.points[i], aside), buffer);
    }
}

Hatching hatch_region(const Hide *hide, const Region *region, double spacing_mm, Arena *keep)
{
    const double apart_mm = spacing_mm * hatch_looseness[region->firmness];
    const Box box = polygon_set_box(region->area);
    Tracer tracer = {.hide = hide, .region = region, .spacing_mm = apart_mm, .keep = keep};
    tracer.step_mm = apart_mm / STEPS_PER_SPACING;
    const double cells = (box.max.x - box.min.x) * (box.max.y - box.min.y) / (apart_mm * apart_mm);
    if (!(cells > 0) || cells > CELLS_MAX) {
        return tracer.hatching;
    }
    tracer.beads = make_beads(box, apart_mm, keep);
    Point *buffer = ARENA_ARRAY(keep, Point, LINE_POINTS_MAX);
    // Seeds on a coarse grid start the lines in each part of the region; all others
    // spread from those.
    int spread = 0;
    for (int i = 0; i < tracer.beads.rows * tracer.beads.columns; i++) {
        const int column = i % tracer.beads.columns;
        const int row = i / tracer.beads.columns;
        if (column % SEED_COLUMNS != 0) {
            continue;
        }
        try_line(&tracer,
                 (Point){box.min.x + (column + 0.5) * apart_mm, box.min.y + (row + 0.5) * apart_mm},
                 buffer);
        for (; spread < tracer.hatching.count; spread++) {
            spread_from(&tracer, spread, buffer);
        }
    }
    return tracer.hatching;
}
