// Whether covers find room on hides at all, asked many times.
//
// What the purchase simulation asks of hides that are drawn at random: no layout is handed
// out, and which of two places is the better one does not matter, so the answer takes some
// tens of milliseconds instead of a second.
#pragma once

#include "cutting/cutting.h"

/// How hard room is looked for.
typedef struct RoomCare {
    uint64_t seed;
    double quick_work;   ///< units of the engine's work for the first search
    double careful_work; ///< for a second one, when the first fails narrowly; 0: none
    double near_share;   ///< fails narrowly: at most this share of the covers is missing, or one
} RoomCare;

/// As a person would look who wants to know whether a hide is enough: docs/buying.md says
/// what each number was measured to bring.
RoomCare room_care_default(void);

typedef struct Room {
    int missing;  ///< covers without a place; 0: there is room for all
    bool careful; ///< the second search was needed
} Room;

/// Looks for room for all covers on the hides together.
///
/// Errors   as cutting_lay(); PROBLEM_CANCELLED when it was stopped.
MUST_CHECK bool cutting_room(const Laying *laying, const RoomCare *care, const Progress *progress,
                             Arena *scratch, Room *room, Problems *problems);
