// How nice a layout is: what layout_measure() does, in parts that the finish asks for.
#pragma once

#include "layout/layout.h"

/// layout_measure() that can be stopped: then remnants is NULL.
///
/// known    a layout of the same task, perhaps this one; or NULL. When its measures have remnants,
///          those of sheets on which the same lies are taken from there: measuring what is left
///          of a sheet is most of the work.
LayoutMeasures measure_layout(const LayoutTask *task, const Layout *layout, const Layout *known,
                              const Progress *progress, Arena *keep, Arena *scratch);

/// Turn off the middle of the interval that it lies in, or lies nearest to; 0 for what is
/// round.
double measure_off_middle_rad(const Piece *piece, double turn_rad);

/// Mean cost under the placement's deepest outline.
double measure_cost(const LayoutTask *task, const Placement *placement, Arena *scratch);

/// How far partners lie from each other; layout_measure() says how it is counted.
typedef struct PartnerMeasure {
    double distance_mm;
    double turn_rad;
    double apart_mm; ///< both in one: with turns as distances
} PartnerMeasure;

/// `centres` are those of the pieces' own outlines, by piece.
PartnerMeasure measure_partners(const LayoutTask *task, const Point *centres,
                                const Placement *placements, int count, Arena *scratch);

/// Centres of area of all pieces, unmoved.
const Point *measure_centres(const LayoutTask *task, Arena *keep);

/// LayoutTask.useful_mm, or its default.
double measure_useful_mm(const LayoutTask *task);

/// The root of the pieces' mean area: what a length is compared with.
double measure_size_mm(const LayoutTask *task);

/// The outlines that lie on a sheet, as the judge sees them.
const Ring *measure_cuts(const LayoutTask *task, const Placement *placements, int count, int sheet,
                         int *cut_count, Arena *keep);

/// What a wish asks to be small. Remnants count as negative areas, summed up over the sheets.
double measure_wish(const LayoutTask *task, const LayoutMeasures *measures, LayoutWish wish);
