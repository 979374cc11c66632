#include "paper/chart.h"

#include <math.h>

#define TICK_MM 1.4

Point chart_point(const Chart *chart, double x, double y)
{
    const Box *plot = &chart->plot;
    const Box *shown = &chart->shown;
    return (Point){plot->min.x + (x - shown->min.x) / (shown->max.x - shown->min.x) *
                                     (plot->max.x - plot->min.x),
                   plot->min.y + (y - shown->min.y) / (shown->max.y - shown->min.y) *
                                     (plot->max.y - plot->min.y)};
}

double chart_step(double length, int most)
{
    static const double steps[] = {1, 2, 5, 10};
    const double least = length / most;
    const double power = pow(10, floor(log10(least)));
    int i = 0;
    while (i < 3 && steps[i] * power < least * (1 - 1e-9)) {
        i++;
    }
    return steps[i] * power;
}

void chart_draw_axes(const Chart *chart, double step_x, double step_y)
{
    const Box *shown = &chart->shown;
    const int across = (int)floor((shown->max.x - shown->min.x) / step_x + 1e-9);
    const int up = (int)floor((shown->max.y - shown->min.y) / step_y + 1e-9);
    for (int i = 0; i <= up; i++) {
        const double y = shown->min.y + i * step_y;
        const Point left = chart_point(chart, shown->min.x, y);
        draw_line(chart->page, LAYER_RULE, left, chart_point(chart, shown->max.x, y));
        draw_text(chart->page, LAYER_TEXT, (Point){left.x - 1.8, left.y - CAPITAL_SMALL_MM / 2},
                  CAPITAL_SMALL_MM, ALIGN_RIGHT, false, 0, "%g", y);
    }
    for (int i = 0; i <= across; i++) {
        const double x = shown->min.x + i * step_x;
        const Point foot = chart_point(chart, x, shown->min.y);
        draw_line(chart->page, LAYER_MARK, foot, (Point){foot.x, foot.y - TICK_MM});
        draw_text(chart->page, LAYER_TEXT, (Point){foot.x, foot.y - TICK_MM - 3.6},
                  CAPITAL_SMALL_MM, ALIGN_MIDDLE, false, 0, "%g", x);
    }
    const Box *plot = &chart->plot;
    draw_line(chart->page, LAYER_MARK, plot->min, (Point){plot->max.x, plot->min.y});
    draw_line(chart->page, LAYER_MARK, plot->min, (Point){plot->min.x, plot->max.y});
}

void chart_draw_band(const Chart *chart, const double *x, const double *low, const double *high,
                     int count)
{
    Point *points = ARENA_ARRAY(chart->page->keep, Point, 2 * count);
    for (int i = 0; i < count; i++) {
        points[i] = chart_point(chart, x[i], low[i]);
        points[2 * count - 1 - i] = chart_point(chart, x[i], high[i]);
    }
    draw_shape(chart->page, LAYER_BAND, (Ring){points, 2 * count}, true);
}

void chart_draw_curve(const Chart *chart, const double *x, const double *y, int count)
{
    Point *points = ARENA_ARRAY(chart->page->keep, Point, count);
    for (int i = 0; i < count; i++) {
        points[i] = chart_point(chart, x[i], y[i]);
    }
    draw_polyline(chart->page, LAYER_CHART, points, count, false);
}

void chart_dashes(Drawing *page, Point from, Point to)
{
    const double dash_mm = 1.8;
    const double every_mm = 2.8;
    const double length_mm = point_distance(from, to);
    const int count = (int)ceil(length_mm / every_mm);
    for (int i = 0; i < count; i++) {
        const double end_mm = fmin(i * every_mm + dash_mm, length_mm);
        draw_line(page, LAYER_MARK, point_between(from, to, i * every_mm / length_mm),
                  point_between(from, to, end_mm / length_mm));
    }
}

/// Neighbours that want the same room, and where they then stand.
typedef struct Cluster {
    double sum; ///< of the places wanted
    int count;
} Cluster;

void chart_spread(double *at, int count, double apart, double from, double to, Arena *keep)
{
    if (count > 1 && (count - 1) * apart > to - from) {
        apart = (to - from) / (count - 1);
    }
    // With i * apart taken off, places need only be in order: isotonic regression.
    Cluster *clusters = ARENA_ARRAY(keep, Cluster, count);
    int used = 0;
    for (int i = 0; i < count; i++) {
        clusters[used++] = (Cluster){at[i] - i * apart, 1};
        while (used > 1 && clusters[used - 2].sum / clusters[used - 2].count >
                               clusters[used - 1].sum / clusters[used - 1].count) {
            clusters[used - 2].sum += clusters[used - 1].sum;
            clusters[used - 2].count += clusters[used - 1].count;
            used--;
        }
    }
    const double most = fmax(from, to - (count - 1) * apart);
    int i = 0;
    for (int c = 0; c < used; c++) {
        const double place = fmin(fmax(clusters[c].sum / clusters[c].count, from), most);
        for (int k = 0; k < clusters[c].count; k++, i++) {
            at[i] = place + i * apart;
        }
    }
}
