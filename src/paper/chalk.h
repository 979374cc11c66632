// The chalk map as it stands on a page or in a picture: map, rulers, legend, and which
// side of the leather is up.
#pragma once

#include "paper/map.h"

/// Draws it into `room`, the backbone to the right or up the page.
void chalk_draw(const PackMatter *matter, int hide, bool flesh_up, bool upwards, Drawing *page,
                Box room);

/// The scale that it would have there.
double chalk_scale(const Hide *hide, bool upwards, Box room);

/// Adds the pages with the table of marks of each cover, and the table of flaws.
void chalk_mark_tables(const PackMatter *matter, int hide, Pages *pages);

/// What is left of a hide, as measured: `Left in one piece: 8.25 ft²; largest whole rectangle:
/// 15 by 27 in.`
const char *remnant_words(const PackMatter *matter, int hide, Arena *keep);

/// `Hide 2: back room` or `Hide 1`.
const char *chalk_hide_name(const PackMatter *matter, int hide, Arena *keep);
