// Covers on hides: the tolerance table, and the way from covers and hides to the
// engine's pieces and sheets and back.
//
// What a band tolerates is decided here and nowhere else. For each kind of flaw and
// each firmness the table names the innermost band that it may lie in: a brand may
// lie in the turn and in the grip, so its entry is BAND_TURN. Bands further in are
// always at least as strict. Defaults: docs/tolerance.md.
#pragma once

#include "base/text.h"
#include "hide/hide.h"
#include "layout/layout.h"
#include "seat/cover.h"

/// Innermost band that tolerates a thing: a Band, or NO_BAND.
typedef int Tolerance;
#define NO_BAND ((int)BAND_COUNT)

/// The band's name, or `none`.
const char *tolerance_word(Tolerance tolerance);

typedef struct ToleranceTable {
    Tolerance flaw[FLAW_KIND_COUNT];
    double margin_mm[FLAW_KIND_COUNT]; ///< kept off around each flaw
    Tolerance firmness[FIRMNESS_COUNT];
    Tolerance rim; ///< the hide's outermost rim, rim_mm wide
    double rim_mm;
} ToleranceTable;

ToleranceTable tolerance_defaults(void);

/// How covers may lie.
typedef struct LayingRules {
    double turn_window_rad; ///< each way from the firm direction, 0 to pi/2
    bool either_way;        ///< the front may look to the butt or to the neck; else all to the butt
    double gap_mm;          ///< between covers
    ToleranceTable table;
} LayingRules;

/// A cover to be laid: what it is called and for which chair.
typedef struct CoverDemand {
    const Cover *cover;
    const char *name;  ///< on the chalk map and in lists: `A`, `B2`
    const char *seat;  ///< name of the seat kind
    const char *chair; ///< name of the chair, or NULL when the kind has plain copies
    int count;         ///< copies wanted
    int beside;        ///< those of the same number stand side by side; 0: with their kind
} CoverDemand;

/// Area as cut of all copies together.
double demands_cut_mm2(const CoverDemand *demands, int demand_count);

/// What is to be laid on what, and how; owned by the caller.
typedef struct Laying {
    const CoverDemand *demands;
    int demand_count;
    const Hide *hides;
    int hide_count;
    const LayingRules *rules;
} Laying;

/// One flaw or soft region that lies within a band that tolerates it.
typedef struct Touch {
    int flaw;   ///< index into the hide's flaws, or -1
    int region; ///< index into the hide's regions, or -1
    Band band;  ///< the innermost band touched
    double area_mm2;
} Touch;

/// A cover placed on a hide, in hide coordinates.
typedef struct PlacedCover {
    int demand; ///< index into the demands
    int copy;   ///< 0, 1, ... of that demand
    int hide;
    Motion motion;
    bool locked;
    Ring cut; ///< moved onto the hide, rounded to 0.01 mm as the judge saw it
    Ring within[BAND_COUNT];
    Ring tack_line;
    double off_firm_rad; ///< angle between the cover's and the leather's firm direction at
                         ///< the middle of the face, 0 to pi/2
    Touch *touches;
    int touch_count;
} PlacedCover;

/// Why a demand found no place for some copies.
typedef struct Unplaced {
    int demand;
    int count;
    const char *reason; ///< a sentence for the user, without full stop
} Unplaced;

/// What is left of a hide counts where it is so wide: narrower strips are good for piping at best.
/// Source   common practice, a figure of our own.
#define USEFUL_MM 100.0

typedef struct CutPlan {
    PlacedCover *covers; ///< in the order of cutting: butt first, forward
    int cover_count;
    Unplaced *unplaced;
    int unplaced_count;
    double *used_mm2;       ///< for each hide: area of the covers cut from it
    const Remnant *left;    ///< for each hide; NULL: not measured
    double useful_mm;       ///< what is left counts where it is so wide
    const SharedCuts *cuts; ///< for each hide; NULL: not measured
    double least_cut_mm;    ///< shorter straight edges do not count there
    bool stopped;           ///< asked to stop before the search ended; the best so far
} CutPlan;

/// The copy's number behind its demand's name: `3`, or `-3` behind a digit; "" for the only one.
const char *copy_number_text(const CoverDemand *demand, int copy, Arena *keep);

/// Which chair a cover is for: `side chair, number 4`, or `side chair` for those of the kind.
const char *chair_text(const CoverDemand *demand, Arena *keep);

/// What a placed cover is called: `A3`, or `A` for the only copy.
const char *cover_name(const CoverDemand *demands, const PlacedCover *placed, Arena *keep);

/// The other covers that somebody said stand beside these: `B, C`; "" when nobody did.
const char *beside_text(const CoverDemand *demands, int count, int demand, Arena *keep);

/// Whether no cover lies on a hide.
bool hide_is_left_whole(const CutPlan *plan, int hide);

/// The largest rectangle that is left, along and across the backbone, as one says it, rounded
/// down to 1/2 in or 5 mm: `15 1/2 by 27 in`; `none` when there is none as wide as is of use.
const char *remnant_rectangle_text(const Remnant *left, double useful_mm, LengthUnit unit,
                                   Arena *keep);

/// The largest remnant: `8.25 ft²`, or `none`.
const char *remnant_area_text(const Remnant *left, AreaUnit unit, Arena *keep);

/// Straight cuts that two covers share, rounded down likewise: `1180 mm side by side with a
/// neighbour's, 560 mm on a line with one`; "" when there are none.
const char *shared_cuts_text(SharedCuts cuts, LengthUnit unit, Arena *keep);

/// Lays covers on hides. Placements of `options.start` that are locked stay where they are; the
/// others are what the search begins with, on one hide.
///
/// Errors   as layout_search(); also a cover without area.
MUST_CHECK bool cutting_lay(const Laying *laying, LayoutOptions options, const Progress *progress,
                            Arena *keep, Arena *scratch, CutPlan *plan, Problems *problems);

/// One cover where a placement of the engine's task puts it, and what it touches there; its copy is
/// left 0. Errors   what it touches cannot be told.
MUST_CHECK bool cutting_place(const Laying *laying, const Placement *placement, Arena *keep,
                              Arena *scratch, PlacedCover *cover, Problems *problems);

/// Placements that the judge accepts as a plan: measured, in the order of cutting. `task` is that
/// of cutting_task(); the placements are `laid.start`.
///
/// Errors   as cutting_place().
MUST_CHECK bool cutting_laid(const Laying *laying, const LayoutTask *task, LayoutOptions laid,
                             Arena *keep, Arena *scratch, CutPlan *plan, Problems *problems);

/// The engine's task for the same, for tests and benches. Sheet h is hide h, piece d
/// is demand d; depth 0 is the cut outline, then turn, edge and face. A cover's
/// +y (back of the seat) lies along the hide's +x (neck) at turn -pi/2.
MUST_CHECK bool cutting_task(const Laying *laying, Arena *keep, Arena *scratch, LayoutTask *task,
                             Problems *problems);
