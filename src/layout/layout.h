// The layout engine: pieces on sheets, and the judge of the result.
//
// It knows nothing of leather. A sheet has an outline, holes, and for each depth
// areas to keep off. A piece has nested outlines, one for each depth: depth 0 is
// the whole piece, which stays on the sheet and off the other pieces; outline d
// keeps off the areas of depth d. Turns are intervals. Method: docs/layout.md.
#pragma once

#include "base/problem.h"
#include "base/progress.h"
#include "plane/polygon.h"

#include <stdint.h>

enum {
    LAYOUT_DEPTHS = 4,
    LAYOUT_PIECES_MAX = 500,  ///< kinds of pieces
    LAYOUT_COPIES_MAX = 1000, ///< placements in all
    LAYOUT_SHEETS_MAX = 50,
    LAYOUT_POINTS_MAX = 5000,       ///< in one outline
    LAYOUT_POINTS_IN_ALL = 250000,  ///< of all sheets, holes, forbidden areas and pieces
    LAYOUT_COSTS_IN_ALL = 10000000, ///< of the cost fields of all sheets
    LAYOUT_TURNS_MAX = 8,           ///< intervals of one piece
};

/// A cost for each place, for instance of worse material. The engine adds up the
/// mean cost under a piece's deepest outline.
typedef struct CostField {
    Point origin; ///< middle of cell (0, 0)
    double step_mm;
    int columns;       ///< along x; 0: no field, cost 0 everywhere
    int rows;          ///< along y
    const float *cost; ///< [row * columns + column], each >= 0
} CostField;

typedef struct Sheet {
    Ring outline;
    const Ring *holes;
    int hole_count;
    PolygonSet forbidden[LAYOUT_DEPTHS];
    CostField field;
    double gap_mm; ///< between pieces, edge to edge, at least
    double price;  ///< for LAYOUT_FEWEST_SHEETS; 0 counts as 1
} Sheet;

/// Turns from `from_rad` to `to_rad`, to_rad >= from_rad. A fixed turn has both
/// alike.
typedef struct TurnRange {
    double from_rad;
    double to_rad;
} TurnRange;

typedef struct Piece {
    Ring outline[LAYOUT_DEPTHS]; ///< nested; depth_count of them
    int depth_count;             ///< 1 to LAYOUT_DEPTHS
    const TurnRange *turns;
    int turn_count;
    double value;      ///< what placing one is worth; > 0
    int demand;        ///< how many are wanted; > 0
    int turn_symmetry; ///< 1 none, 2 looks the same half turned, 0 at any turn
    double gap_mm; ///< that it wants from others; of a pair the greatest counts, with the sheet's
    int partners;  ///< pieces of the same number belong side by side; 0: to none
} Piece;

typedef struct Placement {
    int piece;
    int sheet;
    Motion motion;
    bool locked; ///< the user put it there; the search leaves it
} Placement;

typedef enum LayoutAim {
    LAYOUT_PLACE_ALL,      ///< as many as possible by value, then least cost
    LAYOUT_SHORTEST_STRIP, ///< one sheet, a rectangle with a corner at the origin, long
                           ///< enough for all; the least length (x) that holds all pieces
    LAYOUT_FEWEST_SHEETS,  ///< all pieces on sheets of the least price together; when there
                           ///< is no room for all, the most value
} LayoutAim;

/// What makes one layout nicer than another that holds the same pieces.
typedef enum LayoutWish {
    LAYOUT_WISH_COST,      ///< least mean cost under the deepest outlines
    LAYOUT_WISH_STRAIGHT,  ///< least turned off the middle of the intervals
    LAYOUT_WISH_PARTNERS,  ///< partners near each other and turned alike
    LAYOUT_WISH_RECTANGLE, ///< large whole rectangles are left of the sheets
    LAYOUT_WISH_REMNANT,   ///< large whole parts are left of the sheets
    LAYOUT_WISH_FEW_PARTS, ///< what is left is in few parts
    LAYOUT_WISH_CUTS,      ///< few and straight cuts: neighbours share them
    LAYOUT_WISH_COUNT
} LayoutWish;

typedef struct LayoutTask {
    const Sheet *sheets;
    int sheet_count;
    const Piece *pieces;
    int piece_count;
    LayoutAim aim;
    const Placement *locked;
    int locked_count;
    const LayoutWish *wishes; ///< the most important first, none twice
    int wish_count;           ///< 0: all, in the order of LayoutWish
    double useful_mm;         ///< what is left counts where it is so wide; 0: a quarter of
                              ///< the root of the smallest piece's area
    bool unfinished;          ///< leave the wishes out, and what is measured for them
} LayoutTask;

/// What is left of one sheet: what lies off the pieces, the holes and the areas to keep off
/// of depths 0 and 1.
typedef struct Remnant {
    double area_mm2; ///< of the largest part that is useful_mm wide throughout
    Box rectangle;   ///< the largest that lies straight; min is max when there is none
    int parts;       ///< how many such parts there are
} Remnant;

/// Straight cuts on one sheet that serve two pieces (layout/cuts.h).
typedef struct SharedCuts {
    double shared_mm;  ///< where straight edges of two pieces face each other, the gap apart
    double in_line_mm; ///< where a straight edge goes on on the line of another piece's
} SharedCuts;

typedef struct LayoutMeasures {
    double cost;                ///< mean cost under the deepest outlines
    double off_middle_rad;      ///< mean turn off the middle of the interval
    double partner_distance_mm; ///< mean from one partner to the next, between centres
    double partner_turn_rad;    ///< mean difference in turn between the same two
    Remnant *remnants;          ///< one for each sheet; NULL: not measured
    SharedCuts *cuts;           ///< one for each sheet; NULL: not measured
    double useful_mm;           ///< how wide they are throughout
    double least_cut_mm;        ///< shorter straight edges do not count among `cuts`
} LayoutMeasures;

typedef struct Layout {
    Placement *placements;
    int count;
    int *missing;            ///< for each piece, how many copies found no place
    double value;            ///< of all that is placed
    double cost;             ///< mean cost under the placed pieces' deepest outlines
    double length_mm;        ///< LAYOUT_SHORTEST_STRIP: the greatest x of any piece; else 0
    double price;            ///< of the sheets that anything lies on
    double work;             ///< units spent; 0 where nobody counts (LAYOUT_SHORTEST_STRIP)
    bool stopped;            ///< by the progress, before the search ended: the best so far
    LayoutMeasures measures; ///< all 0 on a strip, or when unfinished
} Layout;

typedef struct LayoutOptions {
    uint64_t seed;
    double work;            ///< units of work allowed; 0: the default of 1.0
    int threads;            ///< that may be used; 0 counts as 1; the result is the same. One
                            ///< alone is used for LAYOUT_FEWEST_SHEETS
    const Placement *start; ///< placements to begin with, as far as they are still free; the
                            ///< result is no worse than them when the judge accepts them
    int start_count;
    /// Called with the best layout so far when it has become better, for a screen that
    /// draws it: free of overlaps by construction, not yet judged, valid during the call.
    /// On any thread, never two calls at once; NULL: not wanted.
    void (*improved)(void *context, const Layout *layout);
    void *improved_context;
} LayoutOptions;

/// Looks for a good layout.
///
/// Result   accepted by layout_check(), always. Same task, seed, work and start: the same
///          layout on every machine and any number of threads.
/// Errors   bad input (an outline that crosses itself, locked placements that the
///          judge refuses), PROBLEM_CANCELLED only when stopped before any layout.
///          A strip is long enough for all, and has no more than 2000 flaws.
/// Method   docs/layout.md.
MUST_CHECK bool layout_search(const LayoutTask *task, LayoutOptions options,
                              const Progress *progress, Arena *keep, Arena *scratch, Layout *layout,
                              Problems *problems);

/// Measures placements that the judge accepts.
///
/// Result   partners are joined each to the next by the shortest tree (Prim 1957), in which a
///          half turn counts as much as lying farther apart by the root of the pieces' mean
///          area; two sheets are as far apart as twice the greatest diagonal of any.
/// Accuracy areas as polygon_overlay() and polygon_grow(): 0.2 % of useful_mm at round
///          corners. Where areas to keep off cannot be joined (drawn over themselves, say),
///          what is left is counted in the cells named next, too small by up to two cells at
///          each edge. No rectangle is larger than the one found by more than a
///          cell at each side, of 250,000 cells on the sheet's box, 5000 along it at most;
///          each of its sides touches what ends it.
LayoutMeasures layout_measure(const LayoutTask *task, const Placement *placements, int count,
                              Arena *keep, Arena *scratch);

typedef enum LayoutFaultKind {
    LAYOUT_OFF_SHEET,    ///< not wholly on the sheet's outline, or over a hole
    LAYOUT_ON_FORBIDDEN, ///< an outline meets an area of its depth
    LAYOUT_OVERLAP,      ///< two pieces overlap
    LAYOUT_GAP,          ///< two pieces are nearer than the gap
    LAYOUT_TURN,         ///< turn outside its intervals
    LAYOUT_COUNT,        ///< more copies than wanted, or numbers out of range
} LayoutFaultKind;

typedef struct LayoutFault {
    LayoutFaultKind kind;
    int placement;
    int other; ///< overlap, gap: the other placement; forbidden: index of the area
    int depth; ///< forbidden: the depth
} LayoutFault;

/// The judge: accepts or refuses placements, at full resolution on the 0.01 mm
/// lattice, touching allowed. Shares no code with the search.
///
/// Result   number of faults found; the first `room` of them are written. 0 is
///          accepted.
int layout_check(const LayoutTask *task, const Placement *placements, int count, Arena *scratch,
                 LayoutFault *faults, int room);

/// What keeps one more copy of a piece off a sheet that has these placements.
typedef struct LayoutHold {
    bool fits_bare_sheet;     ///< somewhere on the bare outline
    bool fits_with_forbidden; ///< somewhere on the sheet with its forbidden areas but no other
                              ///< pieces
    bool fits_now;            ///< there is room after all
} LayoutHold;

/// Looks at all of the piece's turns that the search tries.
MUST_CHECK bool layout_what_holds(const LayoutTask *task, const Layout *layout, int piece,
                                  int sheet, Arena *scratch, LayoutHold *hold, Problems *problems);
