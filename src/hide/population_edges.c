// What is asked of the edges of random hides: whether they meet, what is around them.
#include "hide/population_parts.h"

#include <stdlib.h>

enum { CELLS = 32 }; // along each side of the box

typedef struct CellEntry {
    int edge;
    int next;
} CellEntry;

// Edges by the cells of a grid that their boxes touch.
typedef struct EdgeCells {
    int first[CELLS][CELLS];
    CellEntry *entries;
    int count;
    int capacity;
    Point origin;
    double cell_x;
    double cell_y;
} EdgeCells;

static double turn_of(Point a, Point b, Point c)
{
    return point_cross(point_minus(b, a), point_minus(c, a));
}

// Touching counts: outlines shall stay apart.
static bool segments_meet(Point a, Point b, Point c, Point d)
{
    if (fmax(a.x, b.x) < fmin(c.x, d.x) || fmax(c.x, d.x) < fmin(a.x, b.x) ||
        fmax(a.y, b.y) < fmin(c.y, d.y) || fmax(c.y, d.y) < fmin(a.y, b.y)) {
        return false;
    }
    return turn_of(a, b, c) * turn_of(a, b, d) <= 0 && turn_of(c, d, a) * turn_of(c, d, b) <= 0;
}

static int cell_of(double from, double cell, double at)
{
    const double index = (at - from) / cell;
    return index <= 0 ? 0 : index >= CELLS ? CELLS - 1 : (int)index;
}

// Adds an edge to its cells unless it meets one that is there already.
static bool add_edge(EdgeCells *cells, const Point *points, int count, int edge, Arena *scratch)
{
    const Point a = points[edge];
    const Point b = points[(edge + 1) % count];
    const int from_x = cell_of(cells->origin.x, cells->cell_x, fmin(a.x, b.x));
    const int to_x = cell_of(cells->origin.x, cells->cell_x, fmax(a.x, b.x));
    const int from_y = cell_of(cells->origin.y, cells->cell_y, fmin(a.y, b.y));
    const int to_y = cell_of(cells->origin.y, cells->cell_y, fmax(a.y, b.y));
    for (int cell = 0; cell < (to_x - from_x + 1) * (to_y - from_y + 1); cell++) {
        int *first =
            &cells->first[from_x + cell % (to_x - from_x + 1)][from_y + cell / (to_x - from_x + 1)];
        for (int k = *first; k > 0; k = cells->entries[k].next) {
            const int other = cells->entries[k].edge;
            const bool neighbours = edge - other == 1 || (other == 0 && edge == count - 1);
            if (other != edge && !neighbours &&
                segments_meet(a, b, points[other], points[(other + 1) % count])) {
                return false;
            }
        }
        cells->entries = arena_room(scratch, cells->entries, cells->count, &cells->capacity,
                                    sizeof *cells->entries);
        cells->entries[cells->count] = (CellEntry){edge, *first};
        *first = cells->count++;
    }
    return true;
}

// Neighbours share an end; they overlap only where the edge turns right back.
static bool folds_back(const Point *points, int count, int edge)
{
    const Point a = points[edge];
    const Point b = points[(edge + 1) % count];
    const Point c = points[(edge + 2) % count];
    const Point in = point_minus(b, a);
    const Point out = point_minus(c, b);
    return point_cross(in, out) == 0 && point_dot(in, out) <= 0;
}

bool edges_keep_apart(const Point *points, int count, Arena *scratch)
{
    const Box box = ring_box((Ring){points, count});
    EdgeCells *cells = ARENA_NEW(scratch, EdgeCells);
    cells->origin = box.min;
    cells->cell_x = fmax((box.max.x - box.min.x) / CELLS, 1e-9);
    cells->cell_y = fmax((box.max.y - box.min.y) / CELLS, 1e-9);
    cells->capacity = 4 * count + 32;
    cells->entries = ARENA_ARRAY(scratch, CellEntry, cells->capacity);
    cells->count = 1; // 0 ends a list
    for (int edge = 0; edge < count; edge++) {
        if (folds_back(points, count, edge) || !add_edge(cells, points, count, edge, scratch)) {
            return false;
        }
    }
    return count >= 3;
}

static int by_x_then_y(const void *left, const void *right)
{
    const Point *a = left;
    const Point *b = right;
    const int by_x = (a->x > b->x) - (a->x < b->x);
    return by_x ? by_x : (a->y > b->y) - (a->y < b->y);
}

// A chain of at least `least` - 1 points with one more behind it, without right turns.
static int hull_with(Point *hull, int made, int least, Point p)
{
    while (made >= least && turn_of(hull[made - 2], hull[made - 1], p) <= 0) {
        made--;
    }
    hull[made] = p;
    return made + 1;
}

int hull_of(Point *points, int count, Point *hull)
{
    qsort(points, (size_t)count, sizeof *points, by_x_then_y);
    int made = 0;
    for (int i = 0; i < count; i++) {
        made = hull_with(hull, made, 2, points[i]);
    }
    const int least = made + 1; // the lower chain stays while the upper one is made
    for (int i = count - 2; i >= 0; i--) {
        made = hull_with(hull, made, least, points[i]);
    }
    return made - 1; // the last is the first again
}
