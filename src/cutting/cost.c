#include "cutting/parts.h"

// Chalked on firm back and butt first, working forward from the butt, sides and neck
// avoided: common practice, put into numbers of our own (docs/tolerance.md).
static const double kind_cost[REGION_KIND_COUNT] = {
    [REGION_BUTT] = 0,  [REGION_BACK] = 0,  [REGION_SHOULDER] = 1, [REGION_NECK] = 3,
    [REGION_BELLY] = 3, [REGION_FLANK] = 4, [REGION_SHANK] = 4,
};
static const double firmness_cost[FIRMNESS_COUNT] = {
    [FIRM] = 0, [MIDDLING] = 0.5, [SOFT] = 1.5, [LOOSE] = 3};
static const double forward_cost = 0.5;  // from the butt to the neck
static const double outward_cost = 0.25; // from the backbone to the farthest edge
static const double step_mm = 40;

// A place that no region covers is off the hide, or in a gap narrower than a hair
// between two; it costs what the worst leather costs.
static double leather_cost(const Hide *hide, Point place)
{
    const Region *region = hide_region_at(hide, place);
    if (!region) {
        return kind_cost[REGION_SHANK] + firmness_cost[LOOSE];
    }
    return kind_cost[region->kind] + firmness_cost[region->firmness];
}

CostField cost_of_places(const Hide *hide, Arena *keep)
{
    const Box box = ring_box(hide->outline);
    CostField field = {.origin = {box.min.x + step_mm / 2, box.min.y + step_mm / 2},
                       .step_mm = step_mm,
                       .columns = (int)((box.max.x - box.min.x) / step_mm) + 1,
                       .rows = (int)((box.max.y - box.min.y) / step_mm) + 1};
    float *cost = ARENA_ARRAY(keep, float, field.columns *field.rows);
    const double long_mm = fmax(box.max.x - box.min.x, 1);
    const double wide_mm = fmax(fmax(fabs(box.min.y), fabs(box.max.y)), 1);
    for (int row = 0; row < field.rows; row++) {
        for (int column = 0; column < field.columns; column++) {
            const Point place = {field.origin.x + column * step_mm, field.origin.y + row * step_mm};
            const double forward = fmax(place.x - box.min.x, 0) / long_mm;
            const double outward = fabs(place.y) / wide_mm;
            cost[row * field.columns + column] =
                (float)(leather_cost(hide, place) + forward_cost * forward +
                        outward_cost * outward);
        }
    }
    field.cost = cost;
    return field;
}
