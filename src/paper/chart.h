// Charts: a frame with scales, and points in it.
#pragma once

#include "paper/page.h"

typedef struct Chart {
    Drawing *page;
    Box plot;  ///< within the axes, in mm of the page
    Box shown; ///< the values at the plot's corners
} Chart;

/// Where a value stands on the page.
Point chart_point(const Chart *chart, double x, double y);

/// A round step (1, 2 or 5 times a power of ten) that divides a length into at most `most` parts.
double chart_step(double length, int most);

/// Axes with a tick and a number at every step across, a rule at every step up.
void chart_draw_axes(const Chart *chart, double step_x, double step_y);

/// The area between two curves over the same places; the points are low and high in turn.
void chart_draw_band(const Chart *chart, const double *x, const double *low, const double *high,
                     int count);
void chart_draw_curve(const Chart *chart, const double *x, const double *y, int count);

/// A dashed line.
void chart_dashes(Drawing *page, Point from, Point to);

/// Moves middles of labels apart, so that none is nearer to the next than `apart`, within
/// `from` and `to`; they stay in order, and the squares of what they move are the least.
///
/// Ranges   `at` ascending. Where (count - 1) * apart does not go, they are spread evenly.
/// Method   pool adjacent violators (Ayer and others, Annals of Mathematical Statistics 26, 1955).
void chart_spread(double *at, int count, double apart, double from, double to, Arena *keep);
