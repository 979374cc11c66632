#include "layout/field.h"

static bool has_field(CostField field)
{
    return field.columns > 0 && field.rows > 0;
}

FieldSums field_sums(CostField field, Arena *keep)
{
    FieldSums result = {.field = field};
    if (!has_field(field)) {
        return result;
    }
    const int stride = field.columns + 1;
    result.sums = ARENA_ARRAY(keep, double, (size_t)stride *(size_t)(field.rows + 1));
    for (int row = 0; row < field.rows; row++) {
        double in_row = 0;
        for (int column = 0; column < field.columns; column++) {
            const double cost = (double)field.cost[row * field.columns + column];
            in_row += cost;
            result.sums[(row + 1) * stride + column + 1] =
                result.sums[row * stride + column + 1] + in_row;
            result.highest = fmax(result.highest, cost);
        }
    }
    return result;
}

static int clamp(double value, int count)
{
    return value < 0 ? 0 : value > count - 1 ? count - 1 : (int)value;
}

static double nearest_cell(CostField field, Point at)
{
    const int column = clamp(round((at.x - field.origin.x) / field.step_mm), field.columns);
    const int row = clamp(round((at.y - field.origin.y) / field.step_mm), field.rows);
    return (double)field.cost[row * field.columns + column];
}

double field_box_mean(const FieldSums *sums, Box box)
{
    const CostField field = sums->field;
    if (!has_field(field)) {
        return 0;
    }
    const double left = ceil((box.min.x - field.origin.x) / field.step_mm);
    const double right = floor((box.max.x - field.origin.x) / field.step_mm);
    const double low = ceil((box.min.y - field.origin.y) / field.step_mm);
    const double high = floor((box.max.y - field.origin.y) / field.step_mm);
    if (right < left || high < low || right < 0 || high < 0 || left >= field.columns ||
        low >= field.rows) {
        return nearest_cell(field, point_between(box.min, box.max, 0.5));
    }
    const int from_column = clamp(left, field.columns);
    const int to_column = clamp(right, field.columns) + 1;
    const int from_row = clamp(low, field.rows);
    const int to_row = clamp(high, field.rows) + 1;
    const int stride = field.columns + 1;
    const double total =
        sums->sums[to_row * stride + to_column] - sums->sums[from_row * stride + to_column] -
        sums->sums[to_row * stride + from_column] + sums->sums[from_row * stride + from_column];
    return fmax(total, 0) / ((to_column - from_column) * (double)(to_row - from_row));
}

double field_ring_mean(CostField field, Ring ring)
{
    if (!has_field(field)) {
        return 0;
    }
    const Box box = ring_box(ring);
    const int from_row = clamp(floor((box.min.y - field.origin.y) / field.step_mm), field.rows);
    const int to_row = clamp(ceil((box.max.y - field.origin.y) / field.step_mm), field.rows);
    const int from_column =
        clamp(floor((box.min.x - field.origin.x) / field.step_mm), field.columns);
    const int to_column = clamp(ceil((box.max.x - field.origin.x) / field.step_mm), field.columns);
    double total = 0;
    int cells = 0;
    for (int row = from_row; row <= to_row; row++) {
        for (int column = from_column; column <= to_column; column++) {
            const Point middle = {field.origin.x + column * field.step_mm,
                                  field.origin.y + row * field.step_mm};
            if (ring_contains(ring, middle)) {
                total += (double)field.cost[row * field.columns + column];
                cells++;
            }
        }
    }
    return cells > 0 ? total / cells : nearest_cell(field, ring_centroid(ring));
}
