// Notes: small texts put where there is room among the lines of a sheet.
#pragma once

#include "paper/drawing.h"

/// What stands on a sheet already. Begin with `sheet` and `window`; lines and shapes
/// of the sheet count by themselves, texts only when placed through here.
typedef struct Notes {
    Drawing *sheet;
    Box window;   ///< notes stay inside
    Point *taken; ///< points along the middles of texts
    int taken_count;
    int capacity;
} Notes;

typedef struct Note {
    const char *text;
    double size_mm;
    bool bold;
    bool outside; ///< beside a line: on the far side of it
} Note;

/// Distance to the nearest line of the sheet, text or window edge; negative outside
/// the window.
double notes_clearance_mm(const Notes *notes, Point place);

/// Places a note with its baseline's left end at `anchor`, if it touches nothing.
bool note_at(Notes *notes, Note note, Point anchor, double turn_rad);

/// The same whatever it touches.
void note_force(Notes *notes, Note note, Point anchor, double turn_rad);

/// Places a note beside a line, on the side of `inside`, where the line runs nearly
/// straight for long enough, the longest stretch first. With `side` only where the
/// line's right-hand normal (the outward one of a counter-clockwise ring) lies within
/// 0.5 rad of it; (0, 0) asks for no side.
bool note_along(Notes *notes, Note note, const DrawItem *line, Point inside, Point side);

/// The place within `ring` that is farthest from all lines and texts, on a grid of
/// 4 mm; its clearance in *radius_mm, 0 when there is none.
Point notes_emptiest(const Notes *notes, Ring ring, double *radius_mm);
