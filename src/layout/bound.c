#include "layout/bound.h"

#include "layout/nowhere.h"
#include "layout/task.h"

#include <stdlib.h>

// An outline rounded to the lattice moves by up to 0.0071 mm, so its area changes by at
// most that along its length; a little more for what the geometry library rounds.
static const double rounding_mm = 0.01;
// Words of work for all proofs that a piece fits nowhere: some hundredths of a second.
static const double proof_words = 3e7;

// The part of all sheets that one depth may use: pieces that do not touch each other.
typedef struct Part {
    double area_mm2;
    double long_mm; // the box's diagonal: nothing longer fits
} Part;

typedef struct Parts {
    Part *items;
    int count;
    int room;
} Parts;

// One piece as the bound sees it at one depth.
typedef struct Need {
    int piece;
    double area_mm2; // surely
    double reach_mm; // the distance of two of its points
    double value;
    int demand;
} Need;

static double sure_area_mm2(Ring ring)
{
    return fmax(0, fabs(ring_area_mm2(ring)) - rounding_mm * ring_length_mm(ring));
}

// A length that an outline surely has from end to end, at any turn.
static double reach_mm(Ring ring)
{
    double farthest_mm = 0;
    for (int i = 1; i < ring.count; i++) {
        farthest_mm = fmax(farthest_mm, point_distance(ring.points[0], ring.points[i]));
    }
    return fmax(0, farthest_mm - 2 * rounding_mm);
}

static bool nested(Ring inner, Ring outer, Arena *scratch)
{
    const ArenaMark mark = arena_mark(scratch);
    PolygonSet outside;
    const PolygonSet inside = polygon_set_of_ring(ring_counter_clockwise(inner, scratch), scratch);
    const PolygonSet whole = polygon_set_of_ring(ring_counter_clockwise(outer, scratch), scratch);
    const bool result = polygon_overlay(POLYGON_DIFFERENCE, inside, whole, scratch, &outside) &&
                        polygon_set_area_mm2(outside) <= rounding_mm * ring_length_mm(inner);
    arena_rewind(scratch, mark);
    return result;
}

// Outlines that are not nested could share area with those of other pieces.
static bool all_nested(const LayoutTask *task, int depth, Arena *scratch)
{
    for (int i = 0; i < task->piece_count; i++) {
        const Piece *piece = &task->pieces[i];
        if (depth < piece->depth_count &&
            !nested(piece->outline[depth], piece->outline[depth - 1], scratch)) {
            return false;
        }
    }
    return true;
}

static bool without_ring(PolygonSet area, Ring ring, Arena *arena, PolygonSet *left)
{
    const PolygonSet hole = polygon_set_of_ring(ring_counter_clockwise(ring, arena), arena);
    return polygon_overlay(POLYGON_DIFFERENCE, area, hole, arena, left);
}

// Takes out what a depth must keep off. What cannot be taken out stays: that only makes
// the bound weaker.
static PolygonSet allowed_at(const Sheet *sheet, int depth, PolygonSet above, Arena *arena)
{
    PolygonSet allowed = above;
    if (depth == 0) {
        allowed = polygon_set_of_ring(ring_counter_clockwise(sheet->outline, arena), arena);
        for (int i = 0; i < sheet->hole_count; i++) {
            PolygonSet left;
            if (without_ring(allowed, sheet->holes[i], arena, &left)) {
                allowed = left;
            }
        }
    }
    PolygonSet left;
    if (sheet->forbidden[depth].count > 0 &&
        polygon_overlay(POLYGON_DIFFERENCE, allowed, sheet->forbidden[depth], arena, &left)) {
        allowed = left;
    }
    return allowed;
}

static void add_part(Parts *parts, Polygon polygon, Arena *arena)
{
    double length_mm = ring_length_mm(polygon.outer);
    for (int i = 0; i < polygon.hole_count; i++) {
        length_mm += ring_length_mm(polygon.holes[i]);
    }
    const Box box = ring_box(polygon.outer);
    parts->items =
        arena_room(arena, parts->items, parts->count, &parts->room, sizeof *parts->items);
    parts->items[parts->count++] =
        (Part){.area_mm2 = fabs(polygon_area_mm2(polygon)) + rounding_mm * length_mm,
               .long_mm = point_distance(box.min, box.max) + 2 * rounding_mm};
}

static bool part_holds(const Part *part, const Need *need)
{
    return need->area_mm2 <= part->area_mm2 && need->reach_mm <= part->long_mm;
}

static int by_area(const void *left, const void *right)
{
    const Need *a = left;
    const Need *b = right;
    if (a->area_mm2 != b->area_mm2) {
        return a->area_mm2 < b->area_mm2 ? -1 : 1;
    }
    return (a->piece > b->piece) - (a->piece < b->piece);
}

static int by_value_of_area(const void *left, const void *right)
{
    const Need *a = left;
    const Need *b = right;
    const double a_worth = a->value * b->area_mm2;
    const double b_worth = b->value * a->area_mm2;
    if (a_worth != b_worth) {
        return a_worth > b_worth ? -1 : 1;
    }
    return (a->piece > b->piece) - (a->piece < b->piece);
}

// So many copies, and no more, have together no more than this area: the smallest first.
static int most_copies(Need *needs, int count, double area_mm2)
{
    qsort(needs, (size_t)count, sizeof *needs, by_area);
    int most = 0;
    for (int i = 0; i < count; i++) {
        const double room =
            needs[i].area_mm2 > 0 ? floor(area_mm2 / needs[i].area_mm2 + 1e-9) : HUGE_VAL;
        const int taken = room < needs[i].demand ? (int)room : needs[i].demand;
        most += taken;
        area_mm2 -= taken * needs[i].area_mm2;
        if (taken < needs[i].demand) {
            break;
        }
    }
    return most;
}

// The most value: the worthiest for their area first, the last one in part (Dantzig 1957,
// from memory).
static double most_value(Need *needs, int count, double area_mm2)
{
    qsort(needs, (size_t)count, sizeof *needs, by_value_of_area);
    double value = 0;
    for (int i = 0; i < count; i++) {
        const double all_mm2 = needs[i].demand * needs[i].area_mm2;
        if (all_mm2 > area_mm2) {
            return value + needs[i].value * area_mm2 / needs[i].area_mm2;
        }
        value += needs[i].demand * needs[i].value;
        area_mm2 -= all_mm2;
    }
    return value;
}

// The needs of all pieces that have this depth and are not known to fit nowhere.
static int list_needs(const LayoutTask *task, int depth, const bool *nowhere, Need *needs)
{
    int count = 0;
    for (int i = 0; i < task->piece_count; i++) {
        const Piece *piece = &task->pieces[i];
        if (nowhere[i]) {
            continue;
        }
        const bool has = depth < piece->depth_count;
        needs[count++] = (Need){.piece = i,
                                .area_mm2 = has ? sure_area_mm2(piece->outline[depth]) : 0,
                                .reach_mm = has ? reach_mm(piece->outline[depth]) : 0,
                                .value = piece->value,
                                .demand = piece->demand};
    }
    return count;
}

static void find_nowhere(const Need *needs, int count, const Parts *parts, bool *nowhere)
{
    for (int i = 0; i < count; i++) {
        bool held = false;
        for (int p = 0; p < parts->count && !held; p++) {
            held = part_holds(&parts->items[p], &needs[i]);
        }
        nowhere[needs[i].piece] = nowhere[needs[i].piece] || !held;
    }
}

// Area in parts that hold at least one of the pieces.
static double useful_mm2(const Parts *parts, const Need *needs, int count)
{
    double area_mm2 = 0;
    for (int p = 0; p < parts->count; p++) {
        bool useful = false;
        for (int i = 0; i < count && !useful; i++) {
            useful = part_holds(&parts->items[p], &needs[i]);
        }
        area_mm2 += useful ? parts->items[p].area_mm2 : 0;
    }
    return area_mm2;
}

static const char *const bound_doing = "looking how many could fit";

static Parts list_parts(const LayoutTask *task, int depth, const Progress *progress,
                        Ground *grounds, Arena *arena)
{
    Parts parts = {0};
    for (int s = 0; s < task->sheet_count && progress_report(progress, bound_doing, 0); s++) {
        Ground *ground = &grounds[s];
        const PolygonSet above = depth > 0 ? ground->allowed[depth - 1] : (PolygonSet){0};
        ground->allowed[depth] = allowed_at(&task->sheets[s], depth, above, arena);
        ground->depth_count = depth + 1;
        for (int i = 0; i < ground->allowed[depth].count; i++) {
            add_part(&parts, ground->allowed[depth].items[i], arena);
        }
    }
    return parts;
}

// The two bounds of one depth: copies, and value.
static double bound_depth(const Parts *parts, Need *needs, int count, DepthBound *depth)
{
    *depth = (DepthBound){.allowed_mm2 = useful_mm2(parts, needs, count)};
    for (int i = 0; i < count; i++) {
        depth->needed_mm2 += needs[i].demand * needs[i].area_mm2;
    }
    depth->most = most_copies(needs, count, depth->allowed_mm2);
    return most_value(needs, count, depth->allowed_mm2);
}

static int deepest_of(const LayoutTask *task)
{
    int deepest = 0;
    for (int i = 0; i < task->piece_count; i++) {
        const int count = task->pieces[i].depth_count;
        deepest = count > deepest ? count : deepest;
    }
    return deepest;
}

// Until a depth that is not nested: what follows it may lie anywhere.
static int list_depths(const LayoutTask *task, const Progress *progress, Ground *grounds,
                       Parts *parts, bool *nowhere, Arena *scratch)
{
    Need *needs = ARENA_ARRAY(scratch, Need, task->piece_count + 1);
    const bool none_yet[LAYOUT_PIECES_MAX] = {false};
    const int deepest = deepest_of(task);
    int depth = 0;
    while (depth < deepest && (depth == 0 || all_nested(task, depth, scratch))) {
        parts[depth] = list_parts(task, depth, progress, grounds, scratch);
        const int count = list_needs(task, depth, none_yet, needs);
        find_nowhere(needs, count, &parts[depth], nowhere);
        depth++;
    }
    return depth;
}

// What area and length leave open, cells may tell.
static void prove_nowhere(const LayoutTask *task, const Progress *progress, const Ground *grounds,
                          bool *nowhere, Arena *scratch)
{
    double words = proof_words;
    for (int i = 0; i < task->piece_count && progress_report(progress, bound_doing, 0); i++) {
        nowhere[i] = nowhere[i] ||
                     fits_nowhere(&task->pieces[i], grounds, task->sheet_count, &words, scratch);
    }
}

bool layout_bound(const LayoutTask *task, const Progress *progress, Arena *keep, Arena *scratch,
                  LayoutBound *bound, Problems *problems)
{
    ProgressPart part = {.whole = progress, .to = 0};
    const Progress reports = {progress_report_part, &part};
    const ArenaMark mark = arena_mark(scratch);
    if (!task_check(task, scratch, problems)) {
        arena_rewind(scratch, mark);
        return false;
    }
    LayoutBound found = {.nowhere = ARENA_ARRAY(keep, bool, task->piece_count + 1)};
    Need *needs = ARENA_ARRAY(scratch, Need, task->piece_count + 1);
    Parts parts[LAYOUT_DEPTHS];
    Ground *grounds = ARENA_ARRAY(scratch, Ground, task->sheet_count + 1);
    for (int i = 0; i < task->sheet_count; i++) {
        grounds[i].box = ring_box(task->sheets[i].outline);
    }
    found.depth_count = list_depths(task, &reports, grounds, parts, found.nowhere, scratch);
    prove_nowhere(task, &reports, grounds, found.nowhere, scratch);
    for (int i = 0; i < task->piece_count; i++) {
        const Piece *piece = &task->pieces[i];
        found.wanted += piece->demand;
        found.most += found.nowhere[i] ? 0 : piece->demand;
        found.value += found.nowhere[i] ? 0 : piece->demand * piece->value;
    }
    for (int depth = 0; depth < found.depth_count; depth++) {
        const int count = list_needs(task, depth, found.nowhere, needs);
        const double value = bound_depth(&parts[depth], needs, count, &found.depth[depth]);
        found.most = found.depth[depth].most < found.most ? found.depth[depth].most : found.most;
        found.value = fmin(found.value, value);
    }
    arena_rewind(scratch, mark);
    if (part.stopped) {
        return problems_say(problems, PROBLEM_CANCELLED, "layout", "stopped");
    }
    *bound = found;
    return true;
}
