// Straight cuts that serve two pieces at once.
//
// Where straight edges of two pieces face each other just the gap apart, one cut parts them when
// the gap is 0, and two along one lay of the straightedge when it is not. Where straight edges of
// two pieces follow each other on one line, on the same side of it, the straightedge is laid once
// for both.
//
// That a cut shared by neighbours saves work is known from the cutting of metal (Keane, When to cut
// a common line, The Fabricator, October 2012). The measure is ours.
#pragma once

#include "layout/layout.h"

/// A straight stretch of an outline, its piece to the left.
typedef struct StraightEdge {
    Point from;
    Point to;
} StraightEdge;

typedef struct StraightEdges {
    StraightEdge *items; ///< the longest first
    int count;
} StraightEdges;

/// Shorter straight edges, and shorter stretches shared by two, do not count: a tenth of the size
/// (measure_size_mm).
double cuts_least_mm(const LayoutTask *task);

/// The straight edges of an outline: no point strays farther than 0.02 mm, and none is shorter
/// than `least_mm`. No more than the 24 longest.
StraightEdges cuts_edges(Ring outline, double least_mm, Arena *keep, Arena *scratch);

/// The same, moved.
StraightEdges cuts_moved(StraightEdges edges, Motion motion, Arena *keep);

/// What the placements on one sheet share; `lying` are the edges of each placement where it lies.
///
/// Result   shared_mm: of each two pieces, the length over which straight edges face each other,
///          where it is at least cuts_least_mm() and the edges are the gap apart at both its
///          ends, within 0.5 mm.
///          in_line_mm: for each straight edge the greatest length that it has in common with
///          one that follows: the shorter of the two, when the jump between them is no longer
///          than that, and the ends of each lie on the other's line within 0.5 mm.
/// Cost     every pair of placements; of those that are near, every pair of edges.
SharedCuts cuts_measure(const LayoutTask *task, const StraightEdges *lying,
                        const Placement *placements, int count, int sheet, Arena *scratch);

/// Both as one length: what is in line counts half, since it saves no cut.
double cuts_worth_mm(SharedCuts cuts);
