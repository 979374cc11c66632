#include "base/units.h"
#include "layout/judge.h"

#include <string.h>

// The judge. It shares no code with the search, on purpose: what the search
// believes, this proves or refuses, in whole numbers.

// Moved points stay well inside the lattice (10 km); no workshop is larger.
static const double farthest_mm = 2e6;
static const double turn_tolerance_rad = 1e-9;

typedef struct LatticeArea {
    LatticeRing outer;
    LatticeRing *holes;
    int hole_count;
} LatticeArea;

typedef struct Judge {
    const LayoutTask *task;
    const Placement *placements;
    int count;
    LatticeRing (*rings)[LAYOUT_DEPTHS]; // moved outlines of each placement
    bool *sound;                         // its numbers are in range
    Arena *scratch;
    LayoutFault *faults;
    int room;
    int found;
} Judge;

static void report(Judge *judge, LayoutFault fault)
{
    if (judge->found < judge->room) {
        judge->faults[judge->found] = fault;
    }
    judge->found++;
}

bool judge_near_enough(Ring ring)
{
    if (ring.count < 3) {
        return false;
    }
    for (int i = 0; i < ring.count; i++) {
        // Written so that a number that is not one fails.
        if (!(fabs(ring.points[i].x) <= farthest_mm && fabs(ring.points[i].y) <= farthest_mm)) {
            return false;
        }
    }
    return true;
}

bool judge_in_range(const LayoutTask *task, const Placement *placement)
{
    return placement->piece >= 0 && placement->piece < task->piece_count && placement->sheet >= 0 &&
           placement->sheet < task->sheet_count && fabs(placement->motion.x_mm) <= farthest_mm &&
           fabs(placement->motion.y_mm) <= farthest_mm && isfinite(placement->motion.turn_rad) &&
           judge_near_enough(task->sheets[placement->sheet].outline) &&
           judge_near_enough(task->pieces[placement->piece].outline[0]);
}

// Numbers and counts first; what is not in range is looked at no further.
static void check_numbers(Judge *judge)
{
    int *copies = ARENA_ARRAY(judge->scratch, int, judge->task->piece_count + 1);
    for (int i = 0; i < judge->count; i++) {
        const Placement *placement = &judge->placements[i];
        judge->sound[i] = judge_in_range(judge->task, placement);
        if (!judge->sound[i] ||
            ++copies[placement->piece] > judge->task->pieces[placement->piece].demand) {
            report(judge, (LayoutFault){LAYOUT_COUNT, i, -1, 0});
        }
    }
}

bool judge_turn_allowed(const Piece *piece, double turn_rad)
{
    if (piece->turn_symmetry == 0) {
        return true; // a round piece looks the same at any turn
    }
    const double period_rad = WHOLE_TURN_RAD / piece->turn_symmetry;
    for (int i = 0; i < piece->turn_count; i++) {
        const TurnRange range = piece->turns[i];
        double past_rad = fmod(turn_rad - range.from_rad + turn_tolerance_rad, period_rad);
        if (past_rad < 0) {
            past_rad += period_rad;
        }
        if (past_rad <= range.to_rad - range.from_rad + 2 * turn_tolerance_rad) {
            return true;
        }
    }
    return false;
}

static void move_outlines(Judge *judge)
{
    for (int i = 0; i < judge->count; i++) {
        if (!judge->sound[i]) {
            continue;
        }
        const Placement *placement = &judge->placements[i];
        const Piece *piece = &judge->task->pieces[placement->piece];
        if (!judge_turn_allowed(piece, placement->motion.turn_rad)) {
            report(judge, (LayoutFault){LAYOUT_TURN, i, -1, 0});
        }
        for (int depth = 0; depth < piece->depth_count; depth++) {
            if (judge_near_enough(piece->outline[depth])) {
                judge->rings[i][depth] =
                    lattice_ring(piece->outline[depth], placement->motion, judge->scratch);
            }
        }
        if (judge->rings[i][0].count < 3) { // smaller than the lattice can tell
            judge->sound[i] = false;
            report(judge, (LayoutFault){LAYOUT_COUNT, i, -1, 0});
        }
    }
}

static bool boxes_meet(LatticeRing a, LatticeRing b)
{
    return a.min.x < b.max.x && b.min.x < a.max.x && a.min.y < b.max.y && b.min.y < a.max.y;
}

static bool insides_meet(LatticeRing a, LatticeRing b, Arena *scratch)
{
    return a.count >= 3 && b.count >= 3 && boxes_meet(a, b) &&
           lattice_interiors_meet(a, b, scratch);
}

// A ring's inside is connected. So it is clear of an area with holes exactly when it
// is clear of the outer ring, or lies wholly within one hole: to be in two holes it
// would have to pass through what is between them.
static bool meets_area(LatticeRing ring, const LatticeArea *area, Arena *scratch)
{
    if (!insides_meet(ring, area->outer, scratch)) {
        return false;
    }
    for (int i = 0; i < area->hole_count; i++) {
        if (area->holes[i].count >= 3 && lattice_within(ring, area->holes[i], scratch)) {
            return false;
        }
    }
    return true;
}

static LatticeRing still_ring(Ring ring, Arena *scratch)
{
    return judge_near_enough(ring) ? lattice_ring(ring, (Motion){0}, scratch) : (LatticeRing){0};
}

static LatticeArea lattice_area(Polygon polygon, Arena *scratch)
{
    LatticeArea area = {.outer = still_ring(polygon.outer, scratch),
                        .holes = ARENA_ARRAY(scratch, LatticeRing, polygon.hole_count + 1),
                        .hole_count = polygon.hole_count};
    for (int i = 0; i < polygon.hole_count; i++) {
        area.holes[i] = still_ring(polygon.holes[i], scratch);
    }
    return area;
}

static void check_outline(Judge *judge, int sheet_index)
{
    const Sheet *sheet = &judge->task->sheets[sheet_index];
    const LatticeRing outline = still_ring(sheet->outline, judge->scratch);
    LatticeRing *holes = ARENA_ARRAY(judge->scratch, LatticeRing, sheet->hole_count + 1);
    for (int i = 0; i < sheet->hole_count; i++) {
        holes[i] = still_ring(sheet->holes[i], judge->scratch);
    }
    for (int i = 0; i < judge->count; i++) {
        if (!judge->sound[i] || judge->placements[i].sheet != sheet_index) {
            continue;
        }
        bool on_sheet = lattice_within(judge->rings[i][0], outline, judge->scratch);
        for (int hole = 0; on_sheet && hole < sheet->hole_count; hole++) {
            on_sheet = !insides_meet(judge->rings[i][0], holes[hole], judge->scratch);
        }
        if (!on_sheet) {
            report(judge, (LayoutFault){LAYOUT_OFF_SHEET, i, -1, 0});
        }
    }
}

static void check_forbidden(Judge *judge, int sheet_index, int depth)
{
    const PolygonSet forbidden = judge->task->sheets[sheet_index].forbidden[depth];
    for (int index = 0; index < forbidden.count; index++) {
        const ArenaMark mark = arena_mark(judge->scratch);
        const LatticeArea area = lattice_area(forbidden.items[index], judge->scratch);
        for (int i = 0; i < judge->count; i++) {
            if (judge->sound[i] && judge->placements[i].sheet == sheet_index &&
                meets_area(judge->rings[i][depth], &area, judge->scratch)) {
                report(judge, (LayoutFault){LAYOUT_ON_FORBIDDEN, i, index, depth});
            }
        }
        arena_rewind(judge->scratch, mark);
    }
}

// A gap between two grid steps counts as the greater one.
int64_t judge_gap(double gap_mm)
{
    return (int64_t)ceil(gap_mm * LATTICE_PER_MM - 1e-6);
}

int64_t judge_pair_gap(const LayoutTask *task, int sheet, int piece, int other)
{
    return judge_gap(fmax(task->sheets[sheet].gap_mm,
                          fmax(task->pieces[piece].gap_mm, task->pieces[other].gap_mm)));
}

static void check_pair(Judge *judge, int i, int j)
{
    const LatticeRing a = judge->rings[i][0];
    const LatticeRing b = judge->rings[j][0];
    if (insides_meet(a, b, judge->scratch)) {
        report(judge, (LayoutFault){LAYOUT_OVERLAP, i, j, 0});
        return;
    }
    const Placement *first = &judge->placements[i];
    const int64_t gap =
        judge_pair_gap(judge->task, first->sheet, first->piece, judge->placements[j].piece);
    if (gap > 0 && a.min.x - gap < b.max.x && b.min.x - gap < a.max.x && a.min.y - gap < b.max.y &&
        b.min.y - gap < a.max.y && lattice_nearer_than(a, b, gap)) {
        report(judge, (LayoutFault){LAYOUT_GAP, i, j, 0});
    }
}

static void check_pairs(Judge *judge)
{
    for (int i = 0; i < judge->count; i++) {
        for (int j = i + 1; judge->sound[i] && j < judge->count; j++) {
            if (judge->sound[j] && judge->placements[i].sheet == judge->placements[j].sheet) {
                check_pair(judge, i, j);
            }
        }
    }
}

int layout_check(const LayoutTask *task, const Placement *placements, int count, Arena *scratch,
                 LayoutFault *faults, int room)
{
    const ArenaMark mark = arena_mark(scratch);
    Judge judge = {.task = task,
                   .placements = placements,
                   .count = count,
                   .rings = arena_alloc(scratch, (size_t)count + 1, sizeof *judge.rings),
                   .sound = ARENA_ARRAY(scratch, bool, count + 1),
                   .scratch = scratch,
                   .faults = faults,
                   .room = room};
    check_numbers(&judge);
    move_outlines(&judge);
    for (int sheet = 0; sheet < task->sheet_count; sheet++) {
        check_outline(&judge, sheet);
        for (int depth = 0; depth < LAYOUT_DEPTHS; depth++) {
            check_forbidden(&judge, sheet, depth);
        }
    }
    check_pairs(&judge);
    arena_rewind(scratch, mark);
    return judge.found;
}
