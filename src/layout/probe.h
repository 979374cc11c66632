// Whether pieces find room on sheets, asked over and over with the same pieces.
//
// For a simulation that lays the same pieces on thousands of sheets. What is known of the pieces,
// and of where each cannot lie beside each other, is made once and kept. Sheets are taken as they
// are drawn: areas may overlap, reach beyond the outline, and be kept off by a margin. The answers
// are the fast tier's own, on cells somewhat coarser than a search begins with; so what it lays is
// free of overlaps as layout_check() sees them, but that is not asked again.
#pragma once

#include "layout/layout.h"

/// Something to keep off.
typedef struct ProbeArea {
    Ring ring;       ///< a simple one
    double reach_mm; ///< kept off around it, corners rounded
    int depth;       ///< 0 to LAYOUT_DEPTHS - 1
    bool edge_only;  ///< not what it encloses, only what is within reach of its edge
} ProbeArea;

typedef struct ProbeSheet {
    Ring outline; ///< a simple one
    const ProbeArea *areas;
    int area_count;
} ProbeSheet;

/// How hard room is looked for. Work is that of the search alone, in the engine's units: what is
/// made of pieces and sheets to begin with is not counted.
typedef struct ProbeCare {
    uint64_t seed;
    double quick_work;
    double careful_work; ///< more, when room is missed narrowly; 0: none
    int near;            ///< narrowly: when no more copies than these are missing
    const Progress *progress;
} ProbeCare;

typedef struct ProbeFound {
    int missing;           ///< copies without a place; 0: there is room for all
    bool careful;          ///< more work was allowed
    int layouts;           ///< that were built
    Placement *placements; ///< of all that found a place
    int count;
} ProbeFound;

/// What will be asked of. The size of cells follows area and number, which are guesses.
typedef struct ProbeStock {
    double area_mm2; ///< of one sheet
    int sheets;      ///< in one question
    double gap_mm;   ///< between pieces, at least
} ProbeStock;

typedef struct Probe Probe;

/// Gets the pieces ready. Their outlines must outlive the probe.
///
/// Threads  one probe for each.
/// Errors   those of layout_search() that concern pieces.
MUST_CHECK bool probe_make(const Piece *pieces, int piece_count, ProbeStock stock, Arena *keep,
                           Arena *scratch, Probe **probe, Problems *problems);

/// Looks for room for all pieces on the sheets together, 1 to LAYOUT_SHEETS_MAX.
///
/// Result   the same whatever was asked before. False when it was stopped.
MUST_CHECK bool probe_look(Probe *probe, const ProbeSheet *sheets, int sheet_count, ProbeCare care,
                           Arena *keep, Arena *scratch, ProbeFound *found);
