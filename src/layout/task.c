#include "layout/task.h"

#include "layout/model.h"

// No sheet or piece reaches farther than this from its origin, in mm; the judge asks
// the same.
static const double farthest_mm = 2e6;

static bool bad(Problems *problems, const char *where, const char *found, const char *allowed)
{
    return problems_add(problems, (Problem){PROBLEM_BAD_INPUT, where, found, allowed, NULL});
}

static bool check_count(Problems *problems, const char *where, int count, int least, int most)
{
    if (count >= least && count <= most) {
        return true;
    }
    return bad(problems, where, arena_text(problems->keep, "%d", count),
               arena_text(problems->keep, "%d to %d", least, most));
}

static bool check_points(Problems *problems, const char *where, Ring ring)
{
    for (int i = 0; i < ring.count; i++) {
        const Point p = ring.points[i];
        if (!(fabs(p.x) <= farthest_mm && fabs(p.y) <= farthest_mm)) {
            return bad(problems, where,
                       arena_text(problems->keep, "point %d at %g, %g mm", i, p.x, p.y),
                       arena_text(problems->keep, "up to %g mm from the origin", farthest_mm));
        }
    }
    return true;
}

static bool check_ring(Problems *problems, const char *where, Ring ring)
{
    if (!check_count(problems, where, ring.count, 3, LAYOUT_POINTS_MAX) ||
        !check_points(problems, where, ring)) {
        return false;
    }
    Point crossing;
    if (!ring_is_simple(ring, &crossing)) {
        return bad(problems, where,
                   arena_text(problems->keep, "the outline crosses itself near %.1f, %.1f mm",
                              crossing.x, crossing.y),
                   "an outline whose edges do not meet");
    }
    if (ring_area_mm2(ring) == 0) {
        return bad(problems, where, "an outline without area", "a closed outline with area");
    }
    return true;
}

// Forbidden areas may cross themselves, or have no area: the judge keeps off them as they are.
static void check_areas(Problems *problems, const char *where, PolygonSet areas)
{
    for (int i = 0; i < areas.count; i++) {
        const Polygon *area = &areas.items[i];
        const char *which = arena_text(problems->keep, "%s[%d]", where, i);
        bool good = check_count(problems, which, area->outer.count, 0, LAYOUT_POINTS_MAX) &&
                    check_points(problems, which, area->outer);
        for (int k = 0; k < area->hole_count && good; k++) {
            good = check_count(problems, which, area->holes[k].count, 0, LAYOUT_POINTS_MAX) &&
                   check_points(problems, which, area->holes[k]);
        }
    }
}

static bool check_field(Problems *problems, const char *where, CostField field)
{
    if (field.columns == 0 || field.rows == 0) {
        return true;
    }
    bool good = field.columns > 0 && field.rows > 0 && field.step_mm > 0 &&
                isfinite(field.step_mm) && isfinite(field.origin.x) && isfinite(field.origin.y) &&
                (double)field.columns * field.rows <= LAYOUT_COSTS_IN_ALL;
    for (int i = 0; good && i < field.columns * field.rows; i++) {
        good = field.cost[i] >= 0 && isfinite((double)field.cost[i]);
    }
    return good ||
           bad(problems, where, "a cost field with a number out of range", "costs of 0 and more");
}

static void check_gap(Problems *problems, const char *where, double gap_mm)
{
    if (!(gap_mm >= 0 && gap_mm <= 1000)) {
        bad(problems, where, arena_text(problems->keep, "%g mm", gap_mm), "0 to 1000 mm");
    }
}

static void check_sheet(Problems *problems, const Sheet *sheet, int index)
{
    Arena *keep = problems->keep;
    check_ring(problems, arena_text(keep, "sheets[%d].outline", index), sheet->outline);
    for (int i = 0; i < sheet->hole_count; i++) {
        check_ring(problems, arena_text(keep, "sheets[%d].holes[%d]", index, i), sheet->holes[i]);
    }
    for (int depth = 0; depth < LAYOUT_DEPTHS; depth++) {
        check_areas(problems, arena_text(keep, "sheets[%d].forbidden[%d]", index, depth),
                    sheet->forbidden[depth]);
    }
    check_gap(problems, arena_text(keep, "sheets[%d].gap", index), sheet->gap_mm);
    if (!(sheet->price >= 0 && sheet->price <= 1e12)) {
        bad(problems, arena_text(keep, "sheets[%d].price", index),
            arena_text(keep, "%g", sheet->price), "0 and more");
    }
    check_field(problems, arena_text(keep, "sheets[%d].field", index), sheet->field);
}

static bool turns_allowed(const Piece *piece)
{
    for (int i = 0; i < piece->turn_count; i++) {
        const TurnRange range = piece->turns[i];
        if (!(fabs(range.from_rad) <= 100 && fabs(range.to_rad) <= 100 &&
              range.from_rad <= range.to_rad)) {
            return false;
        }
    }
    return true;
}

static void check_piece(Problems *problems, const Piece *piece, int index)
{
    Arena *keep = problems->keep;
    const char *where = arena_text(keep, "pieces[%d]", index);
    if (!check_count(problems, arena_text(keep, "%s.outlines", where), piece->depth_count, 1,
                     LAYOUT_DEPTHS) ||
        !check_count(problems, arena_text(keep, "%s.turns", where), piece->turn_count, 1,
                     LAYOUT_TURNS_MAX)) {
        return;
    }
    for (int depth = 0; depth < piece->depth_count; depth++) {
        check_ring(problems, arena_text(keep, "%s.outlines[%d]", where, depth),
                   piece->outline[depth]);
    }
    if (!turns_allowed(piece)) {
        bad(problems, arena_text(keep, "%s.turns", where), "a turn that ends before it begins",
            "from and to in radians, from not after to");
    }
    if (!(piece->value > 0 && piece->value <= 1e12)) {
        bad(problems, arena_text(keep, "%s.value", where), arena_text(keep, "%g", piece->value),
            "more than 0");
    }
    check_gap(problems, arena_text(keep, "%s.gap", where), piece->gap_mm);
    check_count(problems, arena_text(keep, "%s.demand", where), piece->demand, 1,
                LAYOUT_COPIES_MAX);
    check_count(problems, arena_text(keep, "%s.turn_symmetry", where), piece->turn_symmetry, 0, 2);
}

static const char *fault_text(LayoutFault fault, Arena *keep)
{
    switch (fault.kind) {
    case LAYOUT_OFF_SHEET:
        return "the locked piece is not wholly on its sheet";
    case LAYOUT_ON_FORBIDDEN:
        return arena_text(keep, "the locked piece lies on forbidden area %d of depth %d",
                          fault.other, fault.depth);
    case LAYOUT_OVERLAP:
        return arena_text(keep, "the locked piece overlaps locked[%d]", fault.other);
    case LAYOUT_GAP:
        return arena_text(keep, "the locked piece is nearer to locked[%d] than the gap",
                          fault.other);
    case LAYOUT_TURN:
        return "the locked piece is turned further than it may be";
    case LAYOUT_COUNT:
        break;
    }
    return "a number out of range, or more copies than are wanted";
}

static void check_locked(Problems *problems, const LayoutTask *task, Arena *scratch)
{
    LayoutFault faults[20];
    const int room = (int)(sizeof faults / sizeof faults[0]);
    const int found = layout_check(task, task->locked, task->locked_count, scratch, faults, room);
    for (int i = 0; i < found && i < room; i++) {
        problems_add(problems,
                     (Problem){PROBLEM_BAD_INPUT,
                               arena_text(problems->keep, "locked[%d]", faults[i].placement),
                               fault_text(faults[i], problems->keep), NULL,
                               "move it, or unlock it"});
    }
}

static void check_wishes(Problems *problems, const LayoutTask *task)
{
    bool wished[LAYOUT_WISH_COUNT] = {false};
    if (!check_count(problems, "wishes", task->wish_count, 0, LAYOUT_WISH_COUNT)) {
        return;
    }
    for (int i = 0; i < task->wish_count; i++) {
        const int wish = (int)task->wishes[i];
        const char *where = arena_text(problems->keep, "wishes[%d]", i);
        if (!check_count(problems, where, wish, 0, LAYOUT_WISH_COUNT - 1)) {
            continue;
        }
        if (wished[wish]) {
            bad(problems, where, "the same wish a second time", "each wish once");
        }
        wished[wish] = true;
    }
    if (!(task->useful_mm >= 0 && task->useful_mm <= farthest_mm)) {
        bad(problems, "useful width", arena_text(problems->keep, "%g mm", task->useful_mm),
            arena_text(problems->keep, "0 to %g mm", farthest_mm));
    }
}

static double points_of_areas(PolygonSet areas)
{
    double points = 0;
    for (int i = 0; i < areas.count; i++) {
        points += areas.items[i].outer.count;
        for (int k = 0; k < areas.items[i].hole_count; k++) {
            points += areas.items[i].holes[k].count;
        }
    }
    return points;
}

// Before anything is done with them, since even to look at so many takes its time.
static bool check_points_in_all(Problems *problems, const LayoutTask *task)
{
    double points = 0;
    for (int i = 0; i < task->sheet_count; i++) {
        const Sheet *sheet = &task->sheets[i];
        points += sheet->outline.count;
        for (int k = 0; k < sheet->hole_count; k++) {
            points += sheet->holes[k].count;
        }
        for (int depth = 0; depth < LAYOUT_DEPTHS; depth++) {
            points += points_of_areas(sheet->forbidden[depth]);
        }
    }
    for (int i = 0; i < task->piece_count; i++) {
        for (int depth = 0; depth < task->pieces[i].depth_count && depth < LAYOUT_DEPTHS; depth++) {
            points += task->pieces[i].outline[depth].count;
        }
    }
    return points <= LAYOUT_POINTS_IN_ALL ||
           bad(problems, "outlines", arena_text(problems->keep, "%.0f points in all", points),
               arena_text(problems->keep, "up to %d", LAYOUT_POINTS_IN_ALL));
}

static bool check_costs_in_all(Problems *problems, const LayoutTask *task)
{
    double costs = 0;
    for (int i = 0; i < task->sheet_count; i++) {
        costs += fmax(0, (double)task->sheets[i].field.columns * task->sheets[i].field.rows);
    }
    return costs <= LAYOUT_COSTS_IN_ALL ||
           bad(problems, "cost fields", arena_text(problems->keep, "%.0f costs in all", costs),
               arena_text(problems->keep, "up to %d", LAYOUT_COSTS_IN_ALL));
}

bool task_check(const LayoutTask *task, Arena *scratch, Problems *problems)
{
    const int before = problems->mistakes;
    if (!check_count(problems, "pieces", task->piece_count, 0, LAYOUT_PIECES_MAX) ||
        !check_count(problems, "sheets", task->sheet_count, 0, LAYOUT_SHEETS_MAX) ||
        !check_count(problems, "locked", task->locked_count, 0, LAYOUT_COPIES_MAX) ||
        !check_points_in_all(problems, task) || !check_costs_in_all(problems, task)) {
        return false;
    }
    check_wishes(problems, task);
    for (int i = 0; i < task->sheet_count; i++) {
        check_sheet(problems, &task->sheets[i], i);
    }
    int copies = 0;
    for (int i = 0; i < task->piece_count; i++) {
        check_piece(problems, &task->pieces[i], i);
        copies += problems->mistakes == before ? task->pieces[i].demand : 0;
    }
    if (problems->mistakes == before) {
        check_count(problems, "pieces in all", copies, 0, LAYOUT_COPIES_MAX);
    }
    if (problems->mistakes == before) {
        check_locked(problems, task, scratch);
    }
    if (problems->mistakes == before && task->aim != LAYOUT_SHORTEST_STRIP &&
        !model_ever_finds_room(task)) {
        bad(problems, task->locked_count > 0 ? "locked" : "pieces",
            "more points, in more turns and with more gaps, than there is room for",
            "fewer points, fewer turns, or alike gaps");
    }
    return problems->mistakes == before;
}

double task_widest_gap_mm(const LayoutTask *task)
{
    double widest_mm = 0;
    for (int i = 0; i < task->sheet_count; i++) {
        widest_mm = fmax(widest_mm, task->sheets[i].gap_mm);
    }
    for (int i = 0; i < task->piece_count; i++) {
        widest_mm = fmax(widest_mm, task->pieces[i].gap_mm);
    }
    return widest_mm;
}
