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
    double rounding_mm;    ///< radius of the leather round the padding's edge
    double bottom_mm;      ///< radius of the leather round the frame's lower edge
    double bevel_mm;       ///< way along a bevel's face
    double lower_mm;       ///< what the lower edge's shape takes of the side and of the underside
    double dome_growth_mm; ///< frame's outline to where a dome without crown ends
} Section;

/// Of what lies tight on the lowest `layers` of the layers, followed at half its own thickness.
Section section_of(const BuildUp *build_up, int layers, double thickness_mm);

/// How the leather goes from one rounded edge to the other.
typedef struct SectionEdge {
    double side_mm;  ///< along the line that touches both
    double lean_rad; ///< of that line from upright, inward on its way down
    bool closes;     ///< there is such a line
    bool over_bevel; ///< it passes over the bevel to the bevel's inner corner
} SectionEdge;

/// `height_mm`: of the padding at the edge.
SectionEdge section_edge(const Section *section, double height_mm);

/// The value for an edge with this outward normal: its side's, within 30 degrees of
/// straight; between two sides it goes evenly from one to the other, so that a
/// rounded corner has no step.
double sides_toward(const Sides *sides, Point outward);

/// How much farther out than an uncrowned one a dome ends, because its slope meets
/// the rounding farther down. `support_mm` is the distance from the middle to the line
/// of the edge where an uncrowned dome would end.
double section_dome_reach_mm(const Section *section, double support_mm);

/// The way from the dome's end to the end of the grip at an edge; run and dome are 0.
/// `support_mm`: distance from the middle to the line of the edge where the dome ends.
LeatherPath section_path(const Section *section, const Fixing *fixing, Point outward,
                         double support_mm);
