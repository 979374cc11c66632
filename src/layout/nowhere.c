#include "layout/nowhere.h"
#include "base/units.h"

#include "layout/raster.h"

#include <string.h>

// Cells along the larger side of a ground; then, when that does not tell, finer.
static const int cells_along[] = {150, 450};
// Shrunk outlines may come out a little less shrunk (plane/polygon.h).
static const double sure_shrinking = 1.02;

// What is asked of one ground with cells of one size.
typedef struct Asking {
    const Piece *piece;
    double cell_mm;
    Point middle;    // of the piece: its place is where this lies
    double reach_mm; // no point of the piece is farther from it
    int around;      // cells that the piece may take to each side of it
    int depth_count;
    Spread spread[LAYOUT_DEPTHS];
    Bitmap blocked; // places where the middle may not lie
    double *words;
    Arena *scratch;
} Asking;

static void turn_over(Bitmap map)
{
    for (int row = 0; row < map.rows; row++) {
        uint64_t *bits = bitmap_row(map, row);
        for (int word = 0; word < map.words; word++) {
            bits[word] = ~bits[word];
        }
        if (map.columns % 64) {
            bits[map.words - 1] &= ((uint64_t)1 << (map.columns % 64)) - 1;
        }
    }
}

// Cells wholly where no outline of this depth may be; all that is off the map is so too.
static void map_depth(Asking *asking, const Ground *ground, int depth)
{
    const double margin_mm = asking->around * asking->cell_mm;
    const Grid grid = {.corner = {ground->box.min.x - margin_mm, ground->box.min.y - margin_mm},
                       .cell_mm = asking->cell_mm,
                       .columns = asking->blocked.columns + 2 * asking->around,
                       .rows = asking->blocked.rows + 2 * asking->around};
    Bitmap map = bitmap_make(grid.columns, grid.rows, asking->scratch);
    for (int i = 0; i < ground->allowed[depth].count; i++) {
        raster_area(grid, ground->allowed[depth].items[i], SAFE_MM, map, asking->scratch);
    }
    turn_over(map);
    asking->spread[depth] =
        spread_make(grid.columns, grid.rows, 2 * asking->around, asking->scratch);
    spread_fill(&asking->spread[depth], map);
    *asking->words -= (double)spread_words(&asking->spread[depth]);
}

// Cells wholly within an outline that has shrunk by how far its points may stray.
static bool mask_of(const Asking *asking, Ring outline, double turn_rad, double stray_mm,
                    Runs *mask)
{
    const int across = 2 * asking->around;
    const Grid grid = {
        .corner = {-asking->around * asking->cell_mm, -asking->around * asking->cell_mm},
        .cell_mm = asking->cell_mm,
        .columns = across,
        .rows = across};
    const Motion centred = {-asking->middle.x, -asking->middle.y, 0};
    const Ring turned = ring_moved(
        ring_moved(ring_counter_clockwise(outline, asking->scratch), centred, asking->scratch),
        (Motion){0, 0, turn_rad}, asking->scratch);
    PolygonSet shrunk;
    if (!polygon_grow(polygon_set_of_ring(turned, asking->scratch), -stray_mm * sure_shrinking,
                      POLYGON_ROUND, asking->scratch, &shrunk)) {
        return false;
    }
    Bitmap all = bitmap_make(across, across, asking->scratch);
    for (int i = 0; i < shrunk.count; i++) {
        Bitmap within = bitmap_make(across, across, asking->scratch);
        raster_outside(grid, shrunk.items[i].outer, within, asking->scratch);
        turn_over(within);
        bitmap_or_at(all, within, 0, 0);
    }
    *mask = bitmap_runs(all, asking->scratch);
    return true;
}

static bool all_blocked(Bitmap blocked)
{
    for (int row = 0; row < blocked.rows; row++) {
        const uint64_t *bits = bitmap_row(blocked, row);
        for (int word = 0; word < blocked.words; word++) {
            const bool last = word + 1 == blocked.words && blocked.columns % 64 != 0;
            const uint64_t wanted =
                last ? ((uint64_t)1 << (blocked.columns % 64)) - 1 : ~(uint64_t)0;
            if ((bits[word] & wanted) != wanted) {
                return false;
            }
        }
    }
    return true;
}

// Whether every place is blocked for all turns within `half_rad` of one. Places are asked
// for in steps of a cell: the middle is never more than half a cell off one of them, to
// either side, and a cell of the mask that is moved by no more still shares ground with the
// cell that it stood on.
static bool turn_blocked(Asking *asking, double turn_rad, double half_rad)
{
    const ArenaMark mark = arena_mark(asking->scratch);
    const double stray_mm = asking->reach_mm * half_rad + SAFE_MM;
    memset(asking->blocked.bits, 0, bitmap_words(asking->blocked) * sizeof *asking->blocked.bits);
    bool all = false;
    // The deepest first: it has the most to keep off.
    for (int depth = asking->depth_count - 1; depth >= 0 && !all && *asking->words > 0; depth--) {
        Runs runs;
        if (!mask_of(asking, asking->piece->outline[depth], turn_rad, stray_mm, &runs)) {
            continue;
        }
        spread_block(&asking->spread[depth], runs, asking->blocked);
        *asking->words -= 2.0 * runs.count * (double)bitmap_words(asking->blocked);
        all = all_blocked(asking->blocked);
    }
    arena_rewind(asking->scratch, mark);
    return all;
}

// A range of turns in parts so small that the outline strays by no more than a cell.
static bool range_blocked(Asking *asking, TurnRange range)
{
    const double wide_rad = range.to_rad - range.from_rad;
    const double part_rad = 2 * asking->cell_mm / fmax(asking->reach_mm, asking->cell_mm);
    const int parts = 1 + (int)(fmin(wide_rad, WHOLE_TURN_RAD) / part_rad);
    for (int i = 0; i < parts; i++) {
        const double middle_rad = range.from_rad + wide_rad * (i + 0.5) / parts;
        if (!turn_blocked(asking, middle_rad, wide_rad / parts / 2 + 1e-9)) {
            return false;
        }
    }
    return true;
}

static bool ground_blocked(const Piece *piece, const Ground *ground, int cells, double *words,
                           Arena *scratch)
{
    const ArenaMark mark = arena_mark(scratch);
    const double wide_mm = ground->box.max.x - ground->box.min.x;
    const double high_mm = ground->box.max.y - ground->box.min.y;
    Asking asking = {.piece = piece,
                     .cell_mm = fmax(wide_mm, high_mm) / cells,
                     .middle = ring_centroid(piece->outline[0]),
                     .words = words,
                     .scratch = scratch};
    for (int i = 0; i < piece->outline[0].count; i++) {
        asking.reach_mm =
            fmax(asking.reach_mm, point_distance(asking.middle, piece->outline[0].points[i]));
    }
    // What is larger than the ground could have masks of any size; area and length tell.
    bool blocked = asking.reach_mm <= wide_mm + high_mm;
    if (blocked) {
        asking.around = (int)(asking.reach_mm / asking.cell_mm) + 2;
        asking.blocked = bitmap_make((int)(wide_mm / asking.cell_mm) + 2,
                                     (int)(high_mm / asking.cell_mm) + 2, scratch);
        asking.depth_count =
            piece->depth_count < ground->depth_count ? piece->depth_count : ground->depth_count;
        for (int depth = 0; depth < asking.depth_count; depth++) {
            map_depth(&asking, ground, depth);
        }
        const TurnRange any = {0, WHOLE_TURN_RAD};
        for (int i = 0; i < piece->turn_count && blocked; i++) {
            blocked = range_blocked(&asking, piece->turn_symmetry == 0 ? any : piece->turns[i]);
        }
    }
    arena_rewind(scratch, mark);
    return blocked;
}

bool fits_nowhere(const Piece *piece, const Ground *grounds, int ground_count, double *words,
                  Arena *scratch)
{
    const int sizes = sizeof cells_along / sizeof cells_along[0];
    for (int i = 0; i < ground_count; i++) {
        bool blocked = false;
        for (int size = 0; size < sizes && !blocked && *words > 0; size++) {
            blocked = ground_blocked(piece, &grounds[i], cells_along[size], words, scratch);
        }
        if (!blocked) {
            return false;
        }
    }
    return true;
}
