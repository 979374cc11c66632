// Prints pairs of polygons with the lattice's verdicts, one JSON line each, for
// judge.py to hold against a general geometry library.
#include "base/random.h"
#include "plane/lattice.h"

#include <stdio.h>
#include <stdlib.h>

enum { CASES = 12000, POINTS_MAX = 12 };

// Coordinates are whole grid units and small, so that edges touch often and the other
// side's doubles are exact.
typedef struct Shape {
    Point points[POINTS_MAX];
    int count;
} Shape;

static Ring ring_of(const Shape *shape)
{
    return (Ring){shape->points, shape->count};
}

static Shape random_shape(Random *random, int size)
{
    for (;;) {
        Shape shape = {.count = 3 + random_below(random, 6)};
        for (int i = 0; i < shape.count; i++) {
            shape.points[i] =
                (Point){random_below(random, size + 1), random_below(random, size + 1)};
        }
        if (ring_is_simple(ring_of(&shape), NULL) && ring_area_mm2(ring_of(&shape)) != 0) {
            return shape;
        }
    }
}

static void shift(Shape *shape, double x, double y)
{
    for (int i = 0; i < shape->count; i++) {
        shape->points[i].x += x;
        shape->points[i].y += y;
    }
}

// Laid against the other: a vertex on a vertex, or a vertex on the middle of an edge.
static void bring_together(Shape *b, const Shape *a, Random *random)
{
    const int i = random_below(random, a->count);
    const Point here = a->points[i];
    const Point there = a->points[(i + 1) % a->count];
    const Point own = b->points[random_below(random, b->count)];
    if (random_below(random, 2)) {
        shift(b, here.x - own.x, here.y - own.y);
    } else {
        // Doubled first, so that the middle of the edge is a grid point.
        shift(b, floor((here.x + there.x) / 2) - own.x, floor((here.y + there.y) / 2) - own.y);
    }
}

// The other side of one of a's edges, mirrored at its middle: they share that edge.
static Shape across_an_edge(const Shape *a, Random *random)
{
    const int i = random_below(random, a->count);
    const Point from = a->points[i];
    const Point to = a->points[(i + 1) % a->count];
    Shape shape = *a;
    for (int k = 0; k < a->count; k++) {
        shape.points[k] = (Point){from.x + to.x - a->points[k].x, from.y + to.y - a->points[k].y};
    }
    return shape;
}

// A ring with every second vertex of `a`, or a's middle part: within it, or crossing it.
static Shape corner_cut(const Shape *a, Random *random)
{
    Shape shape = *a;
    const int out = random_below(random, a->count);
    for (int i = out; i + 1 < shape.count; i++) {
        shape.points[i] = shape.points[i + 1];
    }
    shape.count--;
    return shape;
}

static Shape partner(const Shape *a, Random *random)
{
    Shape b = random_shape(random, random_below(random, 2) ? 10 : 4);
    switch (random_below(random, 6)) {
    case 0:
        shift(&b, random_below(random, 12) - 4, random_below(random, 12) - 4);
        return b;
    case 1:
    case 2:
        bring_together(&b, a, random);
        return b;
    case 3:
        return across_an_edge(a, random);
    case 4:
        if (a->count > 3) {
            b = corner_cut(a, random);
        }
        return b;
    default:
        if (random_below(random, 2)) {
            return *a;
        }
        return b;
    }
}

static bool usable(const Shape *shape)
{
    return ring_is_simple(ring_of(shape), NULL) && ring_area_mm2(ring_of(shape)) != 0;
}

static void print_ring(const Shape *shape)
{
    for (int i = 0; i < shape->count; i++) {
        printf("%s[%d, %d]", i ? ", " : "", (int)shape->points[i].x, (int)shape->points[i].y);
    }
}

static LatticeRing lattice_of(const Shape *shape, Arena *arena)
{
    Point *points = ARENA_ARRAY(arena, Point, shape->count);
    for (int i = 0; i < shape->count; i++) {
        points[i] = point_times(shape->points[i], 1 / LATTICE_PER_MM);
    }
    return lattice_ring((Ring){points, shape->count}, (Motion){0}, arena);
}

static void print_case(const Shape *a, const Shape *b, int gap, Arena *arena)
{
    const ArenaMark mark = arena_mark(arena);
    const LatticeRing ring_a = lattice_of(a, arena);
    const LatticeRing ring_b = lattice_of(b, arena);
    printf("{\"a\": [");
    print_ring(a);
    printf("], \"b\": [");
    print_ring(b);
    printf("], \"gap\": %d, \"meet\": %d, \"within\": %d, \"nearer\": %d}\n", gap,
           lattice_interiors_meet(ring_a, ring_b, arena), lattice_within(ring_a, ring_b, arena),
           lattice_nearer_than(ring_a, ring_b, gap));
    arena_rewind(arena, mark);
}

int main(void)
{
    Arena *arena = arena_create("cases", (size_t)64 << 20);
    if (!arena) {
        return EXIT_FAILURE;
    }
    int printed = 0;
    for (uint64_t trial = 0; printed < CASES; trial++) {
        Random random = random_begin(1959, trial, 0);
        const Shape a = random_shape(&random, random_below(&random, 2) ? 12 : 6);
        const Shape b = partner(&a, &random);
        if (usable(&b)) {
            print_case(&a, &b, random_below(&random, 7), arena);
            printed++;
        }
    }
    arena_destroy(arena);
    return EXIT_SUCCESS;
}
