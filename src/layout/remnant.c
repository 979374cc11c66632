#include "layout/remnant.h"

#include "layout/left.h"
#include "layout/raster.h"

// Areas of these depths spoil what is left: nothing may be cut over the first, and what
// the second names is fit for a margin at best.
enum { SPOILING_DEPTHS = 2 };
static const double cells_on_sheet = 250e3;
// A sheet like a needle has fewer.
static const double cells_along = 5000;
// Two places nearer than this are the same.
static const double hair_mm = 1e-6;

// Whole parts as exact polygons. False when areas cannot be joined: some lie within each other's
// rounding, or are no areas at all.
static bool cut_away(PolygonSet *left, PolygonSet area, Arena *scratch)
{
    return area.count == 0 || polygon_overlay(POLYGON_DIFFERENCE, *left, area, scratch, left);
}

static bool cut_away_rings(PolygonSet *left, const Ring *rings, int count, Arena *scratch)
{
    PolygonSet area = {0};
    return count == 0 ||
           (polygon_union_all(rings, count, scratch, &area) && cut_away(left, area, scratch));
}

// Parts that are wide enough: what is left after a disc of that width has gone all over
// them (opening).
static bool find_exact_parts(CutSheet cut, double useful_mm, Arena *scratch, Remnant *remnant)
{
    const Sheet *sheet = cut.sheet;
    PolygonSet left = polygon_set_of_ring(sheet->outline, scratch);
    bool good = cut_away_rings(&left, sheet->holes, sheet->hole_count, scratch) &&
                cut_away_rings(&left, cut.cuts, cut.cut_count, scratch);
    for (int depth = 0; good && depth < SPOILING_DEPTHS; depth++) {
        good = cut_away(&left, sheet->forbidden[depth], scratch);
    }
    PolygonSet cores;
    if (!good || !polygon_grow(left, -useful_mm / 2, POLYGON_ROUND, scratch, &cores)) {
        return false;
    }
    // Cores that lie apart may touch when grown again; they are separate parts all the same, and
    // each is grown by itself.
    remnant->parts = cores.count;
    for (int i = 0; i < cores.count && good; i++) {
        const ArenaMark mark = arena_mark(scratch);
        PolygonSet part = {0};
        good = polygon_grow((PolygonSet){&cores.items[i], 1}, useful_mm / 2, POLYGON_ROUND, scratch,
                            &part);
        remnant->area_mm2 = fmax(remnant->area_mm2, polygon_set_area_mm2(part));
        arena_rewind(scratch, mark);
    }
    return good;
}

// The sheet on cells.

typedef struct Obstacles {
    Ring *rings;
    int count;
    int capacity;
    Arena *arena;
} Obstacles;

typedef struct Cells {
    Grid grid;
    Bitmap map; // set where anything is in the way
    Obstacles obstacles;
} Cells;

static void add_ring(Obstacles *obstacles, Ring ring)
{
    obstacles->rings = arena_room(obstacles->arena, obstacles->rings, obstacles->count,
                                  &obstacles->capacity, sizeof *obstacles->rings);
    obstacles->rings[obstacles->count++] = ring;
}

static void add_polygon(Obstacles *obstacles, Polygon polygon, Grid grid, Bitmap map)
{
    raster_area(grid, polygon, SAFE_MM, map, obstacles->arena);
    add_ring(obstacles, polygon.outer);
    for (int i = 0; i < polygon.hole_count; i++) {
        add_ring(obstacles, polygon.holes[i]);
    }
}

static Grid sheet_grid(const Sheet *sheet)
{
    const Box box = ring_box(sheet->outline);
    const double width_mm = box.max.x - box.min.x;
    const double height_mm = box.max.y - box.min.y;
    const double cell_mm =
        fmax(sqrt(width_mm * height_mm / cells_on_sheet), fmax(width_mm, height_mm) / cells_along);
    return (Grid){.corner = box.min,
                  .cell_mm = cell_mm,
                  .columns = (int)(width_mm / cell_mm) + 1,
                  .rows = (int)(height_mm / cell_mm) + 1};
}

static Cells find_cells(CutSheet cut, Arena *scratch)
{
    const Sheet *sheet = cut.sheet;
    Cells cells = {.grid = sheet_grid(sheet), .obstacles = {.arena = scratch}};
    const Grid grid = cells.grid;
    Obstacles *obstacles = &cells.obstacles;
    const Bitmap map = bitmap_make(grid.columns, grid.rows, scratch);
    raster_outside(grid, sheet->outline, map, scratch);
    add_ring(obstacles, sheet->outline);
    for (int i = 0; i < sheet->hole_count; i++) {
        add_polygon(obstacles, (Polygon){.outer = sheet->holes[i]}, grid, map);
    }
    for (int i = 0; i < cut.cut_count; i++) {
        add_polygon(obstacles, (Polygon){.outer = cut.cuts[i]}, grid, map);
    }
    for (int depth = 0; depth < SPOILING_DEPTHS; depth++) {
        for (int i = 0; i < sheet->forbidden[depth].count; i++) {
            add_polygon(obstacles, sheet->forbidden[depth].items[i], grid, map);
        }
    }
    cells.map = map;
    return cells;
}

// What the exact way cannot tell: within a cell or two at each edge, too small rather than too
// large.
static void find_parts_on_cells(const Cells *cells, double useful_mm, Arena *scratch,
                                Remnant *remnant)
{
    const Grid grid = cells->grid;
    const double width = fmax(1, ceil(useful_mm / grid.cell_mm));
    if (width > fmin(grid.columns, grid.rows)) {
        return;
    }
    const LeftParts parts = left_parts(cells->map, (int)width, scratch);
    remnant->parts = parts.count;
    remnant->area_mm2 = parts.largest_cells * grid.cell_mm * grid.cell_mm;
}

// The rectangle: on cells first, then each side out to what ends it.

// A look from one side of a box outward: ahead along an axis, to the right or to the left,
// within the box's own width.
typedef struct Look {
    bool along_y;
    double sign; // 1: towards greater coordinates
    double from; // ahead, that is times the sign
    double low;  // across
    double high;
} Look;

static double ahead(const Look *look, Point p)
{
    return look->sign * (look->along_y ? p.y : p.x);
}

static double across(const Look *look, Point p)
{
    return look->along_y ? p.x : p.y;
}

// How far ahead an edge begins within the look's width; infinitely far when beside it.
static double edge_ahead(const Look *look, Point a, Point b)
{
    double across_a = across(look, a);
    double across_b = across(look, b);
    if (fmax(across_a, across_b) <= look->low + hair_mm ||
        fmin(across_a, across_b) >= look->high - hair_mm) {
        return HUGE_VAL;
    }
    double nearest = HUGE_VAL;
    const double ends[] = {fmin(fmax(across_a, look->low), look->high),
                           fmin(fmax(across_b, look->low), look->high)};
    for (int i = 0; i < 2; i++) {
        const double share =
            across_a == across_b ? i : (ends[i] - across_a) / (across_b - across_a);
        nearest = fmin(nearest, ahead(look, point_between(a, b, share)));
    }
    return nearest;
}

// The nearest thing ahead. The outline is among the rings, so there is one.
static double look_ahead(const Look *look, const Obstacles *obstacles)
{
    double nearest = HUGE_VAL;
    for (int i = 0; i < obstacles->count; i++) {
        const Ring ring = obstacles->rings[i];
        for (int k = 0; k < ring.count; k++) {
            const double found = edge_ahead(look, ring.points[k], ring_point(ring, k + 1));
            if (found >= look->from - hair_mm) {
                nearest = fmin(nearest, found);
            }
        }
    }
    return nearest < HUGE_VAL ? fmax(nearest, look->from) : look->from;
}

static Box stretched(Box box, const Obstacles *obstacles)
{
    Look look = {.along_y = false, .sign = 1, .from = box.max.x, box.min.y, box.max.y};
    box.max.x = look_ahead(&look, obstacles);
    look.sign = -1;
    look.from = -box.min.x;
    box.min.x = -look_ahead(&look, obstacles);
    look = (Look){.along_y = true, .sign = 1, .from = box.max.y, box.min.x, box.max.x};
    box.max.y = look_ahead(&look, obstacles);
    look.sign = -1;
    look.from = -box.min.y;
    box.min.y = -look_ahead(&look, obstacles);
    return box;
}

static Box find_rectangle(const Cells *cells, Arena *scratch)
{
    const Grid grid = cells->grid;
    const CellBox box = left_rectangle(cells->map, scratch);
    if (box.columns == 0) {
        return (Box){0};
    }
    const Point corner = {grid.corner.x + box.column * grid.cell_mm,
                          grid.corner.y + box.row * grid.cell_mm};
    const Point size = {box.columns * grid.cell_mm, box.rows * grid.cell_mm};
    return stretched((Box){corner, point_plus(corner, size)}, &cells->obstacles);
}

Remnant remnant_measure(CutSheet cut, double useful_mm, Arena *scratch)
{
    const ArenaMark mark = arena_mark(scratch);
    const Cells cells = find_cells(cut, scratch);
    Remnant remnant = {0};
    if (!find_exact_parts(cut, useful_mm, scratch, &remnant)) {
        remnant = (Remnant){0};
        find_parts_on_cells(&cells, useful_mm, scratch, &remnant);
    }
    remnant.rectangle = find_rectangle(&cells, scratch);
    arena_rewind(scratch, mark);
    return remnant;
}
