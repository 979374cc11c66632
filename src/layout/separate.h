// Pieces on a strip that may overlap for a while, and the search that takes them
// apart.
#pragma once

#include "base/random.h"
#include "layout/pair.h"
#include "layout/turned.h"

/// Where one copy lies: its box's lower left corner, whole lattice units.
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

typedef struct CopyPair {
    int one; ///< moves
    int other;
} CopyPair;

typedef struct Strip {
    const StripPiece *pieces;
    const int *piece_of; ///< copy -> piece
    int movable;         ///< copies that move; they come first
    int laid;            ///< with the locked ones
    int count;           ///< with the flaws that begin within the length
    int all;             ///< with all flaws, from the left on
    int turned_count;    ///< of all that moves
    TurnSteps steps;     ///< of the intervals
    bool fine;           ///< whether fine turns are tried now
    double width;
    double length;          ///< set by strip_set_length()
    double step;            ///< of the grid on which places are looked for
    double row_gap;         ///< that is enough between any two boxes
    Spot *spots;            ///< of all; only those of what moves change
    float *severities;      ///< [movable * count + other]: 0 for pairs that do not meet
    float *weights;         ///< grow while a pair keeps meeting
    CopyPair *pairs_listed; ///< those that overlap, or did so lately: all whose weight is not 1
    int listed_count;
    uint8_t *listed; ///< [movable * count + other], movable < other: whether the pair is listed
    Pair **pairs;    ///< [fixed * turned_count + moved]; made when first asked for
    Random random;
    StripWork work;
    Arena *keep; ///< of the pairs
    Arena *scratch;
} Strip;

/// Counts work and reports now and then. False: no more, by the limit or the user.
bool strip_work(Strip *strip, double nanoseconds);

/// Flaws beyond the length are out of reach, and are not looked at.
void strip_set_length(Strip *strip, double length);

const Turned *strip_turned(const Strip *strip, int copy, int turned);

/// The pair of something in one turn and a piece that moves, by their numbers.
const Pair *strip_pair(Strip *strip, const Turned *fixed, const Turned *moved);

/// How badly a copy that moves, at a spot, overlaps another where that lies; 0 when it does not.
float strip_severity(Strip *strip, int copy, Spot spot, int other);

/// The greatest place of a copy in a turn without leaving the strip, the least being 0, 0.
/// False when it is too long.
bool strip_range(const Strip *strip, int copy, int turned, double *most_x, double *most_y);

/// Whether a copy would lie clear of all others.
bool strip_free(Strip *strip, int copy, Spot spot);

/// The greatest x of any piece, locked ones too.
double strip_extent(const Strip *strip);

/// Moves pieces until none overlaps. Gives up after two rows of `patience` sweeps without less
/// overlap, or when there is no more work; the spots are then those with the least overlap.
///
/// Result   the overlap that is left; 0: the pieces lie clear.
/// Method   guided local search on overlaps: Umetani et al. 2009, with the weights of
///          Gardeyn, Vanden Berghe and Wauters 2025; places: seek.h.
double separate(Strip *strip, int patience);
