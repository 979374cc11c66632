// Places: the points of a hide's edge as the user gave them, each with the name it
// has in the document. Private to the module.
#pragma once

#include "hide/hide.h"

typedef enum PlaceSource { PLACE_BUTT_END, PLACE_LEFT, PLACE_RIGHT, PLACE_POINT } PlaceSource;

typedef struct Place {
    Point point;
    PlaceSource source;
    int index; ///< of the station or point; -1 for the butt end
} Place;

typedef struct Places {
    Place *items;
    int count;
} Places;

/// Where and how a hide is being read, for messages.
typedef struct HideReading {
    const HideEntry *entry;
    const char *where;
    LengthUnit unit;
    Problems *problems;
} HideReading;

/// Adds bad input with the three parts that every problem has. Returns false.
bool reading_bad(const HideReading *reading, const char *where, const char *found,
                 const char *allowed, const char *remedy);

/// `stations[3].left` behind the hide's path, or `points[12]`.
const char *place_path(const HideReading *reading, Place place);
/// The same without the hide's path.
const char *place_name(const HideReading *reading, Place place);
/// `470 mm up, 180 mm to the left`.
const char *point_text(Point point, LengthUnit unit, Arena *keep);

/// Places without neighbours alike.
///
/// Result   whole hide: the butt end, the left half to the neck, the right half back
///          to the butt, so clockwise. Side: the butt end and its half to the neck,
///          ending on the backbone; always as a left half. From points: as given.
/// Errors   as hide_outline(); values not finite, negative or too far out, a half
///          without places.
MUST_CHECK bool places_read(const HideReading *reading, Arena *keep, Places *places);

/// Doubts about stations that look like slips of the tape or the pencil.
///
/// Method   docs/hides.md, "Slips".
void slips_doubt(const HideReading *reading, Arena *scratch);
