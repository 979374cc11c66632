#include "layout/strip_fixed.h"

#include "layout/area_parts.h"
#include "layout/outline_body.h"
#include "layout/part_cut.h"
#include "plane/lattice.h"

#include <math.h>
#include <stdlib.h>

// A flaw is cut into stretches no longer than this, or than the strip is wide.
static const double stretch_least = 1000 * LATTICE_PER_MM;

typedef struct Listing {
    StripStill *still;
    Box strip;
    double stretch;
    int points_most;
    bool full;
    Arena *keep;
} Listing;

void strip_flaw_depths(const Sheet *sheet, bool *depths)
{
    for (int depth = 0; depth < LAYOUT_DEPTHS; depth++) {
        depths[depth] = sheet->forbidden[depth].count > 0;
    }
    depths[0] |= sheet->hole_count > 0;
}

// Puts a circle among the greatest, the greatest first.
static void keep_circle(Circles *circles, float x, float y, float radius)
{
    int at = CIRCLES;
    while (at > 0 && radius > circles->radius[at - 1]) {
        at--;
        if (at + 1 < CIRCLES) {
            circles->x[at + 1] = circles->x[at];
            circles->y[at + 1] = circles->y[at];
            circles->radius[at + 1] = circles->radius[at];
        }
    }
    if (at < CIRCLES) {
        circles->x[at] = x;
        circles->y[at] = y;
        circles->radius[at] = radius;
    }
}

// The greatest circles of all parts.
static Circles circles_of(ConvexParts parts, Arena *keep)
{
    Circles all = {0};
    for (int i = 0; i < parts.count; i++) {
        const Circles some = circles_inside(convex_part_ring(&parts.items[i], keep), keep);
        for (int k = 0; k < CIRCLES && some.radius[k] > 0; k++) {
            keep_circle(&all, some.x[k], some.y[k], some.radius[k]);
        }
    }
    return all;
}

static double hull_area(ConvexParts parts, Arena *keep)
{
    int count = 0;
    for (int i = 0; i < parts.count; i++) {
        count += parts.items[i].count;
    }
    Point *points = ARENA_ARRAY(keep, Point, count + 1);
    count = 0;
    for (int i = 0; i < parts.count; i++) {
        for (int k = 0; k < parts.items[i].count; k++) {
            points[count++] = (Point){parts.items[i].x[k], parts.items[i].y[k]};
        }
    }
    return ring_area_mm2(ring_convex_hull(points, count, keep)); // in square units
}

static void list_flaw(Listing *listing, ConvexParts parts, int depth)
{
    StripStill *still = listing->still;
    listing->full |= still->flaw_count == STRIP_FLAWS_MAX;
    if (listing->full) {
        return;
    }
    const Box box = convex_parts_box(parts);
    Arena *keep = listing->keep;
    StripFixed *made = &still->items[still->locked_count + still->flaw_count++];
    *made = (StripFixed){.turned = {.width = box.max.x - box.min.x,
                                    .height = box.max.y - box.min.y,
                                    .flaw = true,
                                    .depth = depth},
                         .x = box.min.x,
                         .y = box.min.y};
    Body *body = &made->turned.body;
    body->parts = convex_parts_moved(parts, -box.min.x, -box.min.y, keep);
    body->circles = circles_of(body->parts, keep);
    body->diameter = point_distance(box.min, box.max);
    body->size = sqrt(hull_area(body->parts, keep));
    body_ensure_circle(body);
}

static void list_stretch(Listing *listing, ConvexParts parts, Box box, int depth)
{
    ConvexPart *cut = ARENA_ARRAY(listing->keep, ConvexPart, parts.count + 1);
    int count = 0;
    for (int i = 0; i < parts.count; i++) {
        count += part_in_box(&parts.items[i], box, listing->keep, &cut[count]) ? 1 : 0;
    }
    if (count > 0) {
        list_flaw(listing, (ConvexParts){cut, count}, depth);
    }
}

static void list_area(Listing *listing, Polygon area, int depth)
{
    const ConvexParts parts = area_parts(area, listing->points_most, listing->keep);
    const Box bounds = convex_parts_box(parts);
    Box box = listing->strip;
    const double from = fmax(bounds.min.x, box.min.x);
    const double to = fmin(bounds.max.x, box.max.x);
    if (from >= to) {
        return;
    }
    const int stretches = (int)ceil((to - from) / listing->stretch);
    for (int i = 0; i < stretches && !listing->full; i++) {
        box.min.x = from + floor((to - from) * i / stretches);
        box.max.x = i + 1 < stretches ? from + floor((to - from) * (i + 1) / stretches) : to;
        list_stretch(listing, parts, box, depth);
    }
}

static void list_flaws(Listing *listing, const Sheet *sheet)
{
    for (int i = 0; i < sheet->hole_count && !listing->full; i++) {
        list_area(listing, (Polygon){.outer = sheet->holes[i]}, 0);
    }
    for (int depth = 0; depth < LAYOUT_DEPTHS; depth++) {
        for (int i = 0; i < sheet->forbidden[depth].count && !listing->full; i++) {
            list_area(listing, sheet->forbidden[depth].items[i], depth);
        }
    }
}

// All that tells two flaws apart, so that the order is the same whatever way it is sorted.
static int by_place(const void *one, const void *other)
{
    const StripFixed *a = one;
    const StripFixed *b = other;
    const double apart[] = {a->x - b->x, a->y - b->y,
                            (double)(a->turned.number - b->turned.number)};
    for (int i = 0; i < 3; i++) {
        if (apart[i] != 0) {
            return apart[i] < 0 ? -1 : 1;
        }
    }
    return 0;
}

static void number_all(StripStill *still)
{
    for (int i = 0; i < still->locked_count + still->flaw_count; i++) {
        still->items[i].turned.number = i;
    }
}

static bool make_locked(const LayoutTask *task, StripMaking making, Arena *keep, StripStill *made,
                        Problems *problems)
{
    for (int i = 0; i < task->locked_count; i++) {
        const Placement *locked = &task->locked[i];
        if (!strip_locked_make(&task->pieces[locked->piece], locked->motion, making, keep,
                               &made->items[made->locked_count++])) {
            return problems_add(problems, (Problem){PROBLEM_BAD_INPUT,
                                                    arena_text(problems->keep, "locked[%d]", i),
                                                    "a piece that the gap cannot be put around",
                                                    NULL, "a simpler outline"});
        }
    }
    return true;
}

bool strip_still_make(const LayoutTask *task, StripMaking making, int flaw_points, Arena *keep,
                      StripStill *made, Problems *problems)
{
    const Sheet *sheet = &task->sheets[0];
    const double length = round(ring_box(sheet->outline).max.x * LATTICE_PER_MM);
    *made = (StripStill){
        .items = ARENA_ARRAY(keep, StripFixed, task->locked_count + STRIP_FLAWS_MAX + 1)};
    Listing listing = {.still = made,
                       .strip = {{0, 0}, {length, making.width}},
                       .stretch = fmax(making.width, stretch_least),
                       .points_most = flaw_points,
                       .keep = keep};
    if (!make_locked(task, making, keep, made, problems)) {
        return false;
    }
    list_flaws(&listing, sheet);
    if (listing.full) {
        return problems_add(
            problems,
            (Problem){PROBLEM_BAD_INPUT, "sheets[0]", "more flaws than can be looked at",
                      arena_text(problems->keep, "up to %d, long ones counted once for each %g mm",
                                 STRIP_FLAWS_MAX, listing.stretch / LATTICE_PER_MM),
                      "join flaws that lie close together, or lay on a shorter strip"});
    }
    number_all(made);
    qsort(&made->items[made->locked_count], (size_t)made->flaw_count, sizeof *made->items,
          by_place);
    number_all(made);
    return true;
}
