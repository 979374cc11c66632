// Hides with flaws, and problems of pieces with demands on quality: docs/benches.md.
//
// The form is that of a set of real hides (Baldacci, Boschetti, Ganovelli and Maniezzo
// 2014) that states no licence, so none of it is here; a folder is given.
#pragma once

#include "base/problem.h"
#include "plane/ring.h"

enum {
    QUALITY_FULL = 4, ///< everywhere outside all areas
    HIDES_MAX = 50,
};

typedef struct HideArea {
    int quality; ///< 0 unusable to 3 nearly whole
    Ring ring;
} HideArea;

typedef struct RealHide {
    const char *id;
    Ring outline;
    const HideArea *areas;
    int area_count;
} RealHide;

/// A part of a piece with a demand of its own.
typedef struct HidePart {
    int least; ///< worst quality that it may contain
    Ring ring;
} HidePart;

typedef struct HidePiece {
    const char *id;
    int demand; ///< copies
    int least;  ///< worst quality, but in its parts
    Ring outline;
    const HidePart *parts;
    int part_count;
} HidePiece;

typedef struct HideProblem {
    const char *name;
    const RealHide *stock[HIDES_MAX]; ///< one may be there more than once
    int stock_count;
    const HidePiece *pieces;
    int piece_count;
} HideProblem;

typedef struct RealHides {
    const RealHide *items;
    int count;
} RealHides;

/// Reads and checks the file of all hides. What is read lives where the problems live.
///
/// Errors   a file that cannot be read, or that does not say what a hide needs: the
///          problem names file, place and what may stand there.
MUST_CHECK bool hides_read(const char *path, RealHides *hides, Problems *problems);

/// The same for one problem. Pieces smaller than `least_mm2` are left out.
MUST_CHECK bool hide_problem_read(const char *path, const RealHides *hides, double least_mm2,
                                  HideProblem *problem, Problems *problems);
