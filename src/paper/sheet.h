// One sheet of a full-size template: a tile of the cover, the joins to its neighbours,
// and a strip that says what it is and proves its scale.
#pragma once

#include "paper/pack.h"
#include "paper/tile.h"

#define SHEET_MARGIN_MM 8.0 ///< what printers leave white
#define SHEET_STRIP_MM 16.0
#define PROOF_HEIGHT_MM 10.0 ///< room that the proof lines take
#define PROOF_WIDTH_MM 120.0

/// A cover to be spread over sheets.
typedef struct Template {
    const PackMatter *matter;
    const Cover *cover;
    const char *name; ///< of all demands that share it: `A`, or `A, B`
    const char *seat;
    const char *chair; ///< or NULL
    int count;
    double page_width_mm;
    double page_height_mm;
    TileGrid grid; ///< over the cover in the seat's frame of reference
} Template;

/// Chooses upright or lying sheets of the job's paper, whichever are fewer.
void sheet_lay_out(Template *template, Arena *keep);

/// Sheet `number` of template->grid.used_count.
Drawing *sheet_make(const Template *template, int row, int column, int number, Arena *keep);

/// Two lines of exactly 100 mm and 4 in, with ticks at their ends and in between, and
/// their lengths in words. `corner` is the lower left.
void sheet_draw_proof_lines(Drawing *page, Point corner);
