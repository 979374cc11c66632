// How large the cells of a task are, and whether what is known of them finds room.
#include "layout/poses.h"

// Poses of all shapes together, above which each interval is tried in its middle only.
enum { POSES_ENOUGH = 400 };
// Stretches of all outlines together; making one takes some 30 ns, keeping it 8 bytes.
static const double stretches_in_all = 2e7;
// And of one, while its parts are found: 60 bytes each.
static const double stretches_of_one = 8e6;
// Cells are no larger than a kilometre, in lattice units.
static const int cell_most = 100000000;
// Cells on the largest sheet's box: about 10 mm on a whole hide.
static const double cells_on_sheet = 66e3;
// Cells on all sheets together; their maps then take about 50 MB.
static const double cells_in_all = 9e6;
// Rows of one sheet, with the finest cells.
static const double rows_most = 120e3;
// A step that all measures share is used when it gives cells of nearly the right size.
static const double finest_share = 0.4, coarsest_share = 1.25;

// On their way to stretches, each edge has one on each band that it meets, and the inside one
// between two of them.
static OutlineCost outline_cost(Ring ring, double reach)
{
    const double length = ring_length_mm(ring) * LATTICE_PER_MM + 2 * ring.count;
    return (OutlineCost){1.5 * length + 2 * reach * ring.count, 2.0 * ring.count};
}

static void add_cost(PoseSums *sums, OutlineCost cost, double times)
{
    sums->all.for_height += times * cost.for_height;
    sums->all.for_points += times * cost.for_points;
    sums->most.for_height = fmax(sums->most.for_height, cost.for_height);
    sums->most.for_points = fmax(sums->most.for_points, cost.for_points);
}

// How many different gaps a model tells apart, at most; and the widest.
typedef struct GapsKnown {
    int count;
    double widest;
} GapsKnown;

static GapsKnown gaps_known(const LayoutTask *task)
{
    double known[GAPS_MAX];
    GapsKnown gaps = {0};
    for (int i = 0; i < task->sheet_count + task->piece_count; i++) {
        const double gap_mm = i < task->sheet_count ? task->sheets[i].gap_mm
                                                    : task->pieces[i - task->sheet_count].gap_mm;
        int at = 0;
        while (at < gaps.count && known[at] != gap_mm) {
            at++;
        }
        if (at == gaps.count && at < GAPS_MAX) {
            known[gaps.count++] = gap_mm;
        }
        gaps.widest = fmax(gaps.widest, gap_mm * LATTICE_PER_MM);
    }
    return gaps;
}

static bool is_first_of_shape(const LayoutTask *task, int piece)
{
    for (int i = 0; i < piece; i++) {
        if (poses_same_shape(&task->pieces[i], &task->pieces[piece])) {
            return false;
        }
    }
    return true;
}

// A piece that is longer than every sheet from corner to corner lies nowhere.
static bool may_lie(const LayoutTask *task, const Piece *piece)
{
    const Box own = ring_box(piece->outline[0]);
    for (int i = 0; i < task->sheet_count; i++) {
        const Box box = ring_box(task->sheets[i].outline);
        if (fmax(own.max.x - own.min.x, own.max.y - own.min.y) <=
            point_distance(box.min, box.max)) {
            return true;
        }
    }
    return false;
}

static PoseSums sums_of_turns(const LayoutTask *task, bool middles_only)
{
    PoseSums sums = {.middles_only = middles_only};
    const GapsKnown gaps = gaps_known(task);
    for (int i = 0; i < task->piece_count; i++) {
        if (!is_first_of_shape(task, i)) {
            continue;
        }
        const Piece *piece = &task->pieces[i];
        const int turns = poses_turns(piece, middles_only).count;
        sums.poses += turns;
        if (!may_lie(task, piece)) {
            continue;
        }
        for (int depth = 0; depth < piece->depth_count; depth++) {
            add_cost(&sums, outline_cost(piece->outline[depth], 1), turns);
        }
        add_cost(&sums, outline_cost(piece->outline[0], gaps.widest + 1),
                 (double)turns * gaps.count);
    }
    return sums;
}

static bool outlines_find_room(const PoseSums *sums, double height)
{
    return sums->all.for_height / height + sums->all.for_points <= stretches_in_all &&
           sums->most.for_height / height + sums->most.for_points <= stretches_of_one;
}

PoseSums poses_sums(const LayoutTask *task)
{
    const PoseSums all = sums_of_turns(task, false);
    const bool good = all.poses <= POSES_ENOUGH && outlines_find_room(&all, cell_most / 4.0);
    return good ? all : sums_of_turns(task, true);
}

static void add_rings(PoseSums *sums, const Ring *rings, int count)
{
    for (int i = 0; i < count; i++) {
        add_cost(sums, outline_cost(rings[i], 0), 1);
    }
}

// With what lies on the sheets: their edges, holes, areas, and the pieces that stay.
static PoseSums all_sums(const LayoutTask *task)
{
    PoseSums sums = poses_sums(task);
    const GapsKnown gaps = gaps_known(task);
    for (int i = 0; i < task->sheet_count; i++) {
        const Sheet *sheet = &task->sheets[i];
        add_rings(&sums, &sheet->outline, 1);
        add_rings(&sums, sheet->holes, sheet->hole_count);
        for (int depth = 0; depth < LAYOUT_DEPTHS; depth++) {
            for (int k = 0; k < sheet->forbidden[depth].count; k++) {
                const Polygon *area = &sheet->forbidden[depth].items[k];
                add_rings(&sums, &area->outer, 1);
                add_rings(&sums, area->holes, area->hole_count);
            }
        }
    }
    for (int i = 0; i < task->locked_count; i++) {
        const Piece *piece = &task->pieces[task->locked[i].piece];
        const double gap = fmax(gaps.widest, piece->gap_mm * LATTICE_PER_MM);
        add_cost(&sums, outline_cost(piece->outline[0], gap), gaps.count);
    }
    return sums;
}

// As model_make() chooses them.
static double band_height(int cell)
{
    return cell % 4 == 0 ? cell / 4 : cell % 2 == 0 ? cell / 2 : cell;
}

static double box_area_mm2(Ring ring)
{
    const Box box = ring_box(ring);
    return (box.max.x - box.min.x) * (box.max.y - box.min.y);
}

// What the sheets' boxes measure.
typedef struct Extents {
    double area_mm2; // of all
    double largest_mm2;
    double longest_mm; // along x
    double tallest_mm;
} Extents;

static Extents extents_of(const LayoutTask *task)
{
    Extents extents = {0};
    for (int i = 0; i < task->sheet_count; i++) {
        const Box box = ring_box(task->sheets[i].outline);
        const double area_mm2 = box_area_mm2(task->sheets[i].outline);
        extents.area_mm2 += area_mm2;
        extents.largest_mm2 = fmax(extents.largest_mm2, area_mm2);
        extents.longest_mm = fmax(extents.longest_mm, box.max.x - box.min.x);
        extents.tallest_mm = fmax(extents.tallest_mm, box.max.y - box.min.y);
    }
    return extents;
}

static bool sheets_find_room(const Extents *extents, int cell)
{
    const double cell_mm = cell / LATTICE_PER_MM;
    return extents->area_mm2 <= cells_in_all * (cell_mm * cell_mm) &&
           extents->tallest_mm <= rows_most * cell_mm;
}

bool model_finds_room(const LayoutTask *task, int cell)
{
    const Extents extents = extents_of(task);
    const PoseSums sums = all_sums(task);
    return sheets_find_room(&extents, cell) && outlines_find_room(&sums, band_height(cell));
}

bool model_ever_finds_room(const LayoutTask *task)
{
    const PoseSums sums = all_sums(task);
    return outlines_find_room(&sums, band_height(cell_most));
}

static int64_t common_divisor(int64_t a, int64_t b)
{
    while (b != 0) {
        const int64_t rest = a % b;
        a = b;
        b = rest;
    }
    return a < 0 ? -a : a;
}

// The greatest step that divides `step` and all of a ring's measures; 0 is no measure.
static int64_t shared_step(Ring ring, int64_t step)
{
    const Box box = ring_box(ring);
    for (int i = 0; i < ring.count && step != 1; i++) {
        const double x = (ring.points[i].x - box.min.x) * LATTICE_PER_MM;
        const double y = (ring.points[i].y - box.min.y) * LATTICE_PER_MM;
        if (fabs(x - round(x)) > 1e-6 || fabs(y - round(y)) > 1e-6) {
            return 1; // between two units
        }
        step = common_divisor(common_divisor(step, (int64_t)round(x)), (int64_t)round(y));
    }
    return step;
}

static int64_t task_step(const LayoutTask *task)
{
    int64_t step = 0;
    for (int i = 0; i < task->sheet_count && step != 1; i++) {
        step = shared_step(task->sheets[i].outline, step);
        step = common_divisor(step, (int64_t)ceil(task->sheets[i].gap_mm * LATTICE_PER_MM - 1e-6));
    }
    for (int i = 0; i < task->piece_count && step != 1; i++) {
        step = shared_step(task->pieces[i].outline[0], step);
    }
    return step;
}

// The divisor of a step that is nearest to the wanted cell, and best to halve; 0 when
// none is near.
static int fitting_cell(int64_t step, int wanted)
{
    int best = 0;
    double least = HUGE_VAL;
    for (int cell = (int)ceil(finest_share * wanted); cell <= coarsest_share * wanted; cell++) {
        if (step > 1 && step % cell == 0) {
            const double halves = cell % 16 == 0 ? 1 : cell % 4 == 0 ? 1.3 : 2;
            const double far = halves * (1 + fabs(log((double)cell / wanted)));
            best = far < least ? cell : best;
            least = fmin(far, least);
        }
    }
    return best;
}

int model_coarse_cell(const LayoutTask *task)
{
    const Extents extents = extents_of(task);
    const PoseSums sums = all_sums(task);
    // Passes on finer cells may follow: an axis holds more than these.
    const double wanted_mm = fmax(
        fmax(sqrt(extents.largest_mm2 / cells_on_sheet), sqrt(extents.area_mm2 / cells_in_all)),
        fmax(extents.longest_mm * 5 / COLUMNS_MAX, extents.tallest_mm * 5 / rows_most));
    int wanted = (int)fmin(fmax(ceil(wanted_mm * LATTICE_PER_MM / 16), 1) * 16, cell_most);
    while (wanted < cell_most && !outlines_find_room(&sums, band_height(wanted))) {
        wanted = wanted > cell_most / 2 ? cell_most : 2 * wanted;
    }
    const int fitting = fitting_cell(task_step(task), wanted);
    const bool finds_room = fitting > 0 && sheets_find_room(&extents, fitting) &&
                            outlines_find_room(&sums, band_height(fitting)) &&
                            fitting >= extents.longest_mm * LATTICE_PER_MM * 4 / COLUMNS_MAX;
    return finds_room ? fitting : wanted;
}
