// Pieces on a strip that may overlap for a while, and the search that takes them
// apart.
#pragma once

#include "base/random.h"
#include "layout/turned.h"

/// Where one copy lies; whole lattice units.
typedef struct Spot {
    int turned;
    double x;
    double y;
} Spot;

typedef struct StripWork {
    double done; ///< roughly nanoseconds of one core
    double reported;
    double limit;
    const Progress *progress;
    bool stopped; ///< the user wants no more
} StripWork;

typedef struct Strip {
    const StripPiece *pieces;
    const int *piece_of; ///< copy -> piece
    int count;           ///< copies
    double width;
    double length;
    Spot *spots;
    Extent *boxes;     ///< of each copy where it lies
    float *severities; ///< [one * count + other]: 0 for pairs that do not meet
    float *weights;    ///< grow while a pair keeps meeting
    Random random;
    StripWork work;
    Arena *scratch;
} Strip;

/// Counts work and reports now and then. False: no more, by the limit or the user.
bool strip_work(Strip *strip, double nanoseconds);

const Turned *strip_turned(const Strip *strip, int copy, int turned);

/// Where a copy may lie in a turn without leaving the strip; false when it is too long.
bool strip_range(const Strip *strip, int copy, int turned, Extent *range);

/// Whether a copy would lie clear of all others.
bool strip_free(Strip *strip, int copy, Spot spot);

/// Puts a copy down; severities are not looked at.
void strip_put(Strip *strip, int copy, Spot spot);

/// The greatest x of any piece.
double strip_extent(const Strip *strip);

/// Moves pieces until none overlaps. False when it gives up, after two rows of
/// `patience` sweeps without less overlap, or has no more work.
///
/// Method   guided local search on overlaps: Umetani et al. 2009; severities by
///          circles and the sampling of places: Gardeyn, Vanden Berghe and Wauters
///          2025.
bool separate(Strip *strip, int patience);
