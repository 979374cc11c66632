// Pages: the frame that every page of the pack has, and lines of text that fit.
//
// Millimetres, y up, as in drawing.h. A page states its title, the job's name, its
// number, the date and the units in use, so that a sheet found under the bench says
// where it belongs.
#pragma once

#include "paper/pack.h"

#define PAGE_MARGIN_MM 15.0

/// Heights of capital letters; nothing on a page is smaller than the first.
#define CAPITAL_SMALL_MM 2.2
#define CAPITAL_BODY_MM 2.4
#define CAPITAL_HEADING_MM 3.1
#define CAPITAL_TITLE_MM 4.6

/// From baseline to baseline, in heights of a capital letter.
#define LINE_PER_CAPITAL 2.0

/// Lines of one text.
typedef struct Lines {
    const char **items;
    int count;
} Lines;

/// A new page of the job's paper, upright or lying, with its frame.
/// Its first item is the page's number, which pages_add() keeps right.
Drawing *page_begin(const PackMatter *matter, const char *title, bool lying, Arena *keep);

/// Width and height of the job's paper, in mm.
Point page_size(const Job *job, bool lying);

/// The room inside the frame.
Box page_room(const Drawing *page);

/// The same of a page that is not made yet.
Box page_room_of(const Job *job, bool lying);

/// The text itself if it fits into the width, else its beginning and an ellipsis.
const char *page_fitted(const char *text, double size_mm, bool bold, double width_mm, Arena *keep);

/// The text broken between words, and within words that are wider than the width.
/// At least one line.
Lines page_lines(const char *text, double size_mm, bool bold, double width_mm, Arena *keep);

/// Width of the widest line.
double page_lines_width_mm(Lines lines, double size_mm, bool bold);
