// What all pairs of two lists of bodies will take, before any is made.
#pragma once

#include "layout/pair.h"

/// Sums over a list of bodies, of which those over all pairs are made up.
typedef struct PairSums {
    double count;
    double width;
    double height;
    double area;    ///< of the boxes
    double largest; ///< width or height of any
    double parts;   ///< convex ones
    double corners; ///< of the parts
    double extent;  ///< width and height of the parts
} PairSums;

/// A body without parts counts for nothing.
void pair_sums_add(PairSums *sums, const Body *body);

/// Grid points of all pairs: each pair's grid is as wide as both outlines together and, at
/// either end of both, `spare` columns more; and as high alike.
double pair_points(const PairSums *fixed, const PairSums *moved, double step, double spare);

/// Bytes of the sums of all pairs of parts (three numbers for each corner of both), and of the
/// lists that name each in the cells along its edge.
double pair_sum_bytes(const PairSums *fixed, const PairSums *moved, double step);
