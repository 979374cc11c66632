#include "layout/parts.h"

#include <math.h>
#include <string.h>

typedef struct Corners {
    const double *x;
    const double *y;
} Corners;

// Indices of corners, counter-clockwise.
typedef struct Loop {
    int corner[PARTS_POINTS_MAX];
    int count;
} Loop;

// > 0 when c lies to the left of the way from a to b. Exact.
static double side(Corners at, int a, int b, int c)
{
    return (at.x[b] - at.x[a]) * (at.y[c] - at.y[a]) - (at.y[b] - at.y[a]) * (at.x[c] - at.x[a]);
}

static int loop_corner(const Loop *loop, int index)
{
    return loop->corner[(index + loop->count) % loop->count];
}

static void loop_remove(Loop *loop, int index)
{
    memmove(&loop->corner[index], &loop->corner[index + 1],
            (size_t)(loop->count - index - 1) * sizeof loop->corner[0]);
    loop->count--;
}

static double twice_area(Corners at, const Loop *loop)
{
    double sum = 0;
    for (int i = 1; i + 1 < loop->count; i++) {
        sum += side(at, loop->corner[0], loop->corner[i], loop->corner[i + 1]);
    }
    return sum;
}

// Corners on the line between their neighbours say nothing.
static void drop_flat(Corners at, Loop *loop)
{
    for (int i = 0; i < loop->count && loop->count > 2;) {
        if (side(at, loop_corner(loop, i - 1), loop->corner[i], loop_corner(loop, i + 1)) == 0) {
            loop_remove(loop, i);
            i = i > 0 ? i - 1 : 0;
        } else {
            i++;
        }
    }
}

static bool same_place(Corners at, int a, int b)
{
    return at.x[a] == at.x[b] && at.y[a] == at.y[b];
}

static bool is_ear(Corners at, const Loop *loop, int index)
{
    const int a = loop_corner(loop, index - 1);
    const int b = loop->corner[index];
    const int c = loop_corner(loop, index + 1);
    if (side(at, a, b, c) <= 0) {
        return false;
    }
    for (int i = 0; i < loop->count; i++) {
        const int p = loop->corner[i];
        if (same_place(at, p, a) || same_place(at, p, b) || same_place(at, p, c)) {
            continue;
        }
        if (side(at, a, b, p) >= 0 && side(at, b, c, p) >= 0 && side(at, c, a, p) >= 0) {
            return false;
        }
    }
    return true;
}

static bool cut_ears(Corners at, Loop *loop, Loop *parts, int *count)
{
    while (loop->count > 3) {
        int ear = 0;
        while (ear < loop->count && !is_ear(at, loop, ear)) {
            ear++;
        }
        if (ear == loop->count) {
            return false;
        }
        parts[(*count)++] =
            (Loop){{loop_corner(loop, ear - 1), loop->corner[ear], loop_corner(loop, ear + 1)}, 3};
        loop_remove(loop, ear);
        drop_flat(at, loop);
    }
    if (loop->count == 3) {
        parts[(*count)++] = *loop;
    }
    return true;
}

// Joins `other` to `one` along a common edge when the whole stays convex.
static bool join(Corners at, Loop *one, const Loop *other)
{
    for (int i = 0; i < one->count; i++) {
        for (int j = 0; j < other->count; j++) {
            const int from = one->corner[i];
            const int to = loop_corner(one, i + 1);
            if (from != loop_corner(other, j + 1) || to != other->corner[j]) {
                continue;
            }
            if (side(at, loop_corner(one, i - 1), from, loop_corner(other, j + 2)) < 0 ||
                side(at, loop_corner(other, j - 1), to, loop_corner(one, i + 2)) < 0 ||
                one->count + other->count - 2 > PARTS_POINTS_MAX) {
                return false;
            }
            Loop joined = {.count = 0};
            for (int k = 1; k <= one->count; k++) {
                joined.corner[joined.count++] = loop_corner(one, i + k); // from `to` to `from`
            }
            for (int k = 2; k < other->count; k++) {
                joined.corner[joined.count++] = loop_corner(other, j + k);
            }
            *one = joined;
            return true;
        }
    }
    return false;
}

static int join_all(Corners at, Loop *parts, int count)
{
    for (int i = 0; i < count; i++) {
        for (int j = 0; j < count;) {
            if (j != i && join(at, &parts[i], &parts[j])) {
                parts[j] = parts[count - 1];
                count--;
                i = i == count ? j : i; // the last one has moved
                j = 0;
            } else {
                j++;
            }
        }
    }
    return count;
}

static ConvexPart keep_part(Corners at, Loop *loop, Arena *keep)
{
    drop_flat(at, loop);
    double *x = ARENA_ARRAY(keep, double, loop->count);
    double *y = ARENA_ARRAY(keep, double, loop->count);
    for (int i = 0; i < loop->count; i++) {
        x[i] = at.x[loop->corner[i]];
        y[i] = at.y[loop->corner[i]];
    }
    return (ConvexPart){x, y, loop->count};
}

bool convex_parts(const double *x, const double *y, int count, Arena *keep, ConvexParts *parts)
{
    const Corners at = {x, y};
    if (count < 3 || count > PARTS_POINTS_MAX) {
        return false;
    }
    Loop ring = {.count = count};
    for (int i = 0; i < count; i++) {
        ring.corner[i] = i;
    }
    drop_flat(at, &ring);
    const double area = twice_area(at, &ring);
    Loop *loops = ARENA_ARRAY(keep, Loop, count);
    int made = 0;
    if (ring.count < 3 || !cut_ears(at, &ring, loops, &made)) {
        return false;
    }
    double sum = 0;
    bool good = area > 0;
    for (int i = 0; i < made; i++) {
        const double part = twice_area(at, &loops[i]);
        good &= part > 0;
        sum += part;
    }
    if (sum != area || !good) {
        return false;
    }
    made = join_all(at, loops, made);
    ConvexPart *items = ARENA_ARRAY(keep, ConvexPart, made);
    for (int i = 0; i < made; i++) {
        items[i] = keep_part(at, &loops[i], keep);
    }
    *parts = (ConvexParts){items, made};
    return true;
}

bool convex_parts_of_points(const LatticePoint *points, int count, Arena *keep, ConvexParts *parts)
{
    double *x = ARENA_ARRAY(keep, double, count);
    double *y = ARENA_ARRAY(keep, double, count);
    for (int i = 0; i < count; i++) {
        x[i] = (double)points[i].x;
        y[i] = (double)points[i].y;
    }
    return convex_parts(x, y, count, keep, parts);
}

ConvexPart convex_part_of_ring(Ring ring, Arena *keep)
{
    double *x = ARENA_ARRAY(keep, double, ring.count);
    double *y = ARENA_ARRAY(keep, double, ring.count);
    for (int i = 0; i < ring.count; i++) {
        x[i] = ring.points[i].x;
        y[i] = ring.points[i].y;
    }
    return (ConvexPart){x, y, ring.count};
}

Ring convex_part_ring(const ConvexPart *part, Arena *keep)
{
    Point *points = ARENA_ARRAY(keep, Point, part->count);
    for (int i = 0; i < part->count; i++) {
        points[i] = (Point){part->x[i], part->y[i]};
    }
    return (Ring){points, part->count};
}

static const Box nothing = {{HUGE_VAL, HUGE_VAL}, {-HUGE_VAL, -HUGE_VAL}};

Box convex_part_box(const ConvexPart *part)
{
    Box box = nothing;
    for (int i = 0; i < part->count; i++) {
        box.min = (Point){fmin(box.min.x, part->x[i]), fmin(box.min.y, part->y[i])};
        box.max = (Point){fmax(box.max.x, part->x[i]), fmax(box.max.y, part->y[i])};
    }
    return box;
}

Box convex_parts_box(ConvexParts parts)
{
    Box all = nothing;
    for (int i = 0; i < parts.count; i++) {
        const Box box = convex_part_box(&parts.items[i]);
        all.min = (Point){fmin(all.min.x, box.min.x), fmin(all.min.y, box.min.y)};
        all.max = (Point){fmax(all.max.x, box.max.x), fmax(all.max.y, box.max.y)};
    }
    return all;
}

ConvexParts convex_parts_moved(ConvexParts parts, double x, double y, Arena *keep)
{
    ConvexPart *moved = ARENA_ARRAY(keep, ConvexPart, parts.count + 1);
    for (int i = 0; i < parts.count; i++) {
        const ConvexPart *part = &parts.items[i];
        double *to_x = ARENA_ARRAY(keep, double, part->count);
        double *to_y = ARENA_ARRAY(keep, double, part->count);
        for (int k = 0; k < part->count; k++) {
            to_x[k] = part->x[k] + x;
            to_y[k] = part->y[k] + y;
        }
        moved[i] = (ConvexPart){to_x, to_y, part->count};
    }
    return (ConvexParts){moved, parts.count};
}
