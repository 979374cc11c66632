// Whether covers find room on hides at all, asked many times.
//
// What the purchase simulation asks of hides that are drawn at random: no layout is handed
// out, and which of two places is the better one does not matter, so the answer takes some
// milliseconds instead of a second.
#pragma once

#include "cutting/cutting.h"
#include "layout/probe.h"

/// How hard room is looked for: units of the engine's search for each eight covers; for fewer as
/// much as for eight.
typedef struct RoomCare {
    uint64_t seed;
    double quick_work;
    double careful_work; ///< more, when it fails narrowly; 0: none
    double near_share;   ///< narrowly: at most this share of the covers is missing, or one
    const Progress *progress;
} RoomCare;

/// As a person would look who wants to know whether a hide is enough: docs/buying.md says
/// what each number was measured to bring.
RoomCare room_care_default(void);

/// Covers that are ready to be looked at, with what was found out about them.
typedef struct RoomCovers {
    Arena *keep;
    Probe *probe; ///< NULL: not ready
    const LayingRules *rules;
    int wanted; ///< copies of all covers
} RoomCovers;

/// Which hides will be asked of, about.
typedef struct RoomStock {
    double area_mm2; ///< of one hide
    int hides;       ///< in one question
} RoomStock;

/// Gets covers ready for about such hides; covers and rules must outlive them. Takes memory of its
/// own, which room_covers_drop() gives back; after an error there is none.
///
/// Threads  one for each.
/// Errors   as cutting_lay() has of covers and rules.
MUST_CHECK bool room_covers_make(const CoverDemand *demands, int demand_count,
                                 const LayingRules *rules, RoomStock stock, RoomCovers *covers,
                                 Problems *problems);
/// Accepts those that are all zero.
void room_covers_drop(RoomCovers *covers);

typedef struct Room {
    int missing;  ///< covers without a place; 0: there is room for all
    bool careful; ///< more work was allowed
    int layouts;  ///< that were built: few when room is easily found
} Room;

/// Looks for room for all covers on the hides together; 1 to LAYOUT_SHEETS_MAX of them, with
/// outlines and flaws that do not cross themselves.
///
/// Result   the same whatever was asked before.
/// Errors   PROBLEM_CANCELLED when it was stopped.
MUST_CHECK bool cutting_room(const RoomCovers *covers, const Hide *hides, int hide_count,
                             const RoomCare *care, Arena *scratch, Room *room, Problems *problems);

/// A hide as the engine's probe takes it: the same areas as cutting_task() keeps covers off, but
/// not joined, and along the cut of a side none. For tests.
ProbeSheet room_sheet(const Hide *hide, const ToleranceTable *table, Arena *keep);
