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
// A mark that the face tolerates is seen all the same: as dear as the worst firm leather.
static const double mark_cost = 4;
static const double step_mm = 40;
enum { SAMPLES = 4 }; // along each side of a cell, to tell how much of it is marked

// The x at which a row of cells crosses the edges of an area, in no order.
typedef struct Crossings {
    double *x;
    int count;
    int room;
} Crossings;

static void cross_ring(Crossings *crossings, Ring ring, double y, Arena *arena)
{
    for (int i = 0; i < ring.count; i++) {
        const Point a = ring.points[i];
        const Point b = ring_point(ring, i + 1);
        if ((a.y > y) != (b.y > y)) {
            crossings->x = arena_room(arena, crossings->x, crossings->count, &crossings->room,
                                      sizeof *crossings->x);
            crossings->x[crossings->count++] = a.x + (b.x - a.x) * (y - a.y) / (b.y - a.y);
        }
    }
}

// As ring_contains() and polygon_set_contains() would say it, for all cells of one row.
static bool is_between(const Crossings *crossings, double x)
{
    bool inside = false;
    for (int i = 0; i < crossings->count; i++) {
        inside ^= x < crossings->x[i];
    }
    return inside;
}

typedef struct Row {
    const Hide *hide;
    Crossings outline;
    Crossings regions[REGION_KIND_COUNT];
} Row;

static Row row_of(const Hide *hide, double y, Arena *arena)
{
    Row row = {.hide = hide};
    cross_ring(&row.outline, hide->outline, y, arena);
    for (int i = 0; i < hide->region_count; i++) {
        const PolygonSet area = hide->regions[i].area;
        for (int k = 0; k < area.count; k++) {
            cross_ring(&row.regions[i], area.items[k].outer, y, arena);
            for (int h = 0; h < area.items[k].hole_count; h++) {
                cross_ring(&row.regions[i], area.items[k].holes[h], y, arena);
            }
        }
    }
    return row;
}

static const Region *region_at(const Row *row, Point place)
{
    for (int i = 0; i < row->hide->region_count; i++) {
        if (is_between(&row->regions[i], place.x)) {
            return &row->hide->regions[i];
        }
    }
    return is_between(&row->outline, place.x) ? hide_region_at(row->hide, place) : NULL;
}

// A place that no region covers is off the hide, or in a gap narrower than a hair
// between two; it costs what the worst leather costs.
static double leather_cost(const Row *row, Point place)
{
    const Region *region = region_at(row, place);
    if (!region) {
        return kind_cost[REGION_SHANK] + firmness_cost[LOOSE];
    }
    return kind_cost[region->kind] + firmness_cost[region->firmness];
}

// How much of a cell lies in a flaw, by samples.
static double marked_share(const Polygon *part, Point middle)
{
    const PolygonSet set = {part, 1};
    int marked = 0;
    for (int row = 0; row < SAMPLES; row++) {
        for (int column = 0; column < SAMPLES; column++) {
            const Point off = {(column + 0.5) / SAMPLES - 0.5, (row + 0.5) / SAMPLES - 0.5};
            marked += polygon_set_contains(set, point_plus(middle, point_times(off, step_mm)));
        }
    }
    return (double)marked / (SAMPLES * SAMPLES);
}

static int cell_at(double mm, double origin_mm, int count)
{
    const double cell = round((mm - origin_mm) / step_mm);
    return cell < 0 ? 0 : cell > count - 1 ? count - 1 : (int)cell;
}

static void add_mark(const Polygon *part, CostField field, float *cost)
{
    const Box box = ring_box(part->outer);
    const int top = cell_at(box.max.y, field.origin.y, field.rows);
    const int right = cell_at(box.max.x, field.origin.x, field.columns);
    for (int row = cell_at(box.min.y, field.origin.y, field.rows); row <= top; row++) {
        for (int column = cell_at(box.min.x, field.origin.x, field.columns); column <= right;
             column++) {
            const Point middle = {field.origin.x + column * step_mm,
                                  field.origin.y + row * step_mm};
            cost[row * field.columns + column] += (float)(mark_cost * marked_share(part, middle));
        }
    }
}

// The face may lie on these flaws, and had better not.
static void add_marks(const Hide *hide, const ToleranceTable *table, CostField field, float *cost)
{
    for (int i = 0; i < hide->flaw_count; i++) {
        const Flaw *flaw = &hide->flaws[i];
        for (int k = 0; table->flaw[flaw->kind] == BAND_FACE && k < flaw->area.count; k++) {
            add_mark(&flaw->area.items[k], field, cost);
        }
    }
}

CostField cost_of_places(const Hide *hide, const ToleranceTable *table, Arena *keep, Arena *scratch)
{
    const Box box = ring_box(hide->outline);
    CostField field = {.origin = {box.min.x + step_mm / 2, box.min.y + step_mm / 2},
                       .step_mm = step_mm,
                       .columns = (int)((box.max.x - box.min.x) / step_mm) + 1,
                       .rows = (int)((box.max.y - box.min.y) / step_mm) + 1};
    float *cost = ARENA_ARRAY(keep, float, field.columns *field.rows);
    const double long_mm = fmax(box.max.x - box.min.x, 1);
    const double wide_mm = fmax(fmax(fabs(box.min.y), fabs(box.max.y)), 1);
    // A panel is cut from the best of a hide: one place of it is as good as another.
    for (int row = 0; hide->form != HIDE_PANEL && row < field.rows; row++) {
        const ArenaMark mark = arena_mark(scratch);
        const double y = field.origin.y + row * step_mm;
        const Row crossed = row_of(hide, y, scratch);
        for (int column = 0; column < field.columns; column++) {
            const Point place = {field.origin.x + column * step_mm, y};
            const double forward = fmax(place.x - box.min.x, 0) / long_mm;
            const double outward = fabs(place.y) / wide_mm;
            cost[row * field.columns + column] =
                (float)(leather_cost(&crossed, place) + forward_cost * forward +
                        outward_cost * outward);
        }
        arena_rewind(scratch, mark);
    }
    add_marks(hide, table, field, cost);
    field.cost = cost;
    return field;
}
