// Tiles: a large drawing spread over sheets of paper that are glued together.
//
// Windows of neighbouring sheets overlap by TILE_OVERLAP_MM; in the middle of each
// overlap runs the join line. Sheets are named like `B3`: rows are lettered from the
// top (the seat's back), columns numbered from the left. A sheet is trimmed at the
// join lines on its left and on its top and laid over the neighbours there.
#pragma once

#include "paper/drawing.h"

#define TILE_OVERLAP_MM 10.0

/// The grid of sheets over a drawing. Row 0 is the top one.
typedef struct TileGrid {
    double window_width_mm;
    double window_height_mm;
    int columns;
    int rows;
    Point corner; ///< lower left corner of the lower left window, in the drawing
    bool *used;   ///< [row * columns + column]: this sheet holds something
    int used_count;
} TileGrid;

/// The grid with the fewest sheets that show a ring and `clearance_mm` round it.
/// Sheets whose part, up to the join lines, has nothing of the ring's inside are not
/// used. `used` lives in `keep`.
TileGrid tile_grid(Ring ring, double clearance_mm, double window_width_mm, double window_height_mm,
                   Arena *keep);

bool tile_is_used(const TileGrid *grid, int row, int column); ///< false off the grid
Box tile_window(const TileGrid *grid, int row, int column);
/// The window up to the join lines, where there are neighbours in the grid.
Box tile_cell(const TileGrid *grid, int row, int column);
/// `B3`; rows beyond Z are `AA`, `AB`, ...
const char *tile_name(int row, int column, Arena *keep);

/// Draws what lies in `window` of the lines of `whole`, moved by `by`. Texts and fills
/// are left out. A closed line that lies wholly in the window stays closed.
void tile_draw_clipped(Drawing *sheet, const Drawing *whole, Box window, Point by);
