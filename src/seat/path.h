// Private to the seat module: the leather's way in cross section.
//
// The section through an edge has two rounded edges, the padding's upper one and the
// frame's lower one, and tight leather lies on the line that touches both. Everything
// is measured at the leather's neutral line, half its thickness. docs/seats.md draws it.
#pragma once

#include "seat/cover.h"

/// What is the same all round a seat.
typedef struct Section {
    const BuildUp *build_up;
    const Fixing *fixing;
    double rounding_mm;    ///< radius of the leather round the padding's edge
    double bottom_mm;      ///< radius of the leather round the frame's lower edge
    double bevel_mm;       ///< way along a bevel's face
    double lower_mm;       ///< what the lower edge's shape takes of the side and of the underside
    double dome_growth_mm; ///< frame's outline to where a dome without crown ends
} Section;

Section section_of(const BuildUp *build_up, const Fixing *fixing, double leather_mm);

/// The value for an edge with this outward normal: its side's, within 30 degrees of
/// straight; between two sides it goes evenly from one to the other, so that a
/// rounded corner has no step.
double sides_toward(const Sides *sides, Point outward);

/// Whether tight leather can touch both rounded edges at all on this side.
bool section_closes(const Section *section, Side side);

/// How much farther out than an uncrowned one a dome ends, because its slope meets
/// the rounding farther down. `support_mm` is the distance from the middle to the line
/// of the edge where an uncrowned dome would end.
double section_dome_reach_mm(const Section *section, double support_mm);

/// The way from the dome's end to the end of the grip at an edge; run and dome are 0.
/// `support_mm`: distance from the middle to the line of the edge where the dome ends.
LeatherPath section_path(const Section *section, Point outward, double support_mm);
