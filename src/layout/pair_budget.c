#include "layout/pair_budget.h"

#include <math.h>

void pair_sums_add(PairSums *sums, const Body *body)
{
    if (body->parts.count == 0) {
        return;
    }
    for (int i = 0; i < body->parts.count; i++) {
        const Box box = convex_part_box(&body->parts.items[i]);
        sums->extent += box.max.x - box.min.x + box.max.y - box.min.y;
        sums->corners += body->parts.items[i].count;
    }
    const Box all = convex_parts_box(body->parts);
    const double width = all.max.x - all.min.x;
    const double height = all.max.y - all.min.y;
    sums->count++;
    sums->width += width;
    sums->height += height;
    sums->area += width * height;
    sums->largest = fmax(sums->largest, fmax(width, height));
    sums->parts += body->parts.count;
}

// Of outlines with the spare columns and rows at their ends, counted in steps.
static double grid_area(const PairSums *sums, double step, double spare)
{
    return sums->area / (step * step) + spare * (sums->width + sums->height) / step +
           spare * spare * sums->count;
}

double pair_points(const PairSums *fixed, const PairSums *moved, double step, double spare)
{
    const double width = fixed->width / step + spare * fixed->count;
    const double height = fixed->height / step + spare * fixed->count;
    const double other_width = moved->width / step + spare * moved->count;
    const double other_height = moved->height / step + spare * moved->count;
    return (moved->count * grid_area(fixed, step, spare) + width * other_height) +
           (fixed->count * grid_area(moved, step, spare) + other_width * height);
}

double pair_sum_bytes(const PairSums *fixed, const PairSums *moved, double step)
{
    const double pairs = fixed->parts * moved->parts;
    const double sides = fixed->parts * moved->corners + moved->parts * fixed->corners;
    const double edges = fixed->parts * moved->extent + moved->parts * fixed->extent;
    const double cells = 2 * (edges / step + 4 * pairs);
    return 16 * pairs + 24 * sides + 2 * cells;
}
