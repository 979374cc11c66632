#include "cutting/room.h"

#include "cutting/parts.h"

enum { COVERS_FOR_WORK = 8 };
// The cut of a side is led by hand: it stays so near to the backbone (docs/population.md).
static const double cut_within_mm = 15;
static const size_t covers_bytes = (size_t)1 << 30;

RoomCare room_care_default(void)
{
    return (RoomCare){.seed = 1, .quick_work = 0.0006, .careful_work = 0.005, .near_share = 0.15};
}

// ---- Hides

// Areas to keep off, as the tolerance table has them (cutting/sheet.c).
typedef struct Gathered {
    ProbeArea *items;
    int count;
} Gathered;

static void gather(Gathered *gathered, ProbeArea area, Tolerance tolerance)
{
    if (tolerance != BAND_FACE) {
        area.depth = (int)BAND_COUNT - tolerance;
        gathered->items[gathered->count++] = area;
    }
}

static void gather_set(Gathered *gathered, PolygonSet set, double margin_mm, Tolerance tolerance)
{
    for (int i = 0; i < set.count; i++) {
        const ProbeArea area = {.ring = set.items[i].outer, .reach_mm = margin_mm * sure_growth};
        gather(gathered, area, tolerance);
    }
}

static bool is_on_cut(const Hide *hide, int point)
{
    return hide->form == HIDE_SIDE && fabs(hide->outline.points[point].y) <= cut_within_mm;
}

// The stretch of the natural edge from a point on, walked forth and back.
static Ring stretch_of_edge(const Hide *hide, int first, Arena *keep)
{
    const Ring outline = hide->outline;
    Point *points = ARENA_ARRAY(keep, Point, 2 * outline.count);
    int count = 0;
    for (int i = first; count < outline.count && !is_on_cut(hide, i); i = (i + 1) % outline.count) {
        points[count++] = outline.points[i];
    }
    for (int i = count - 2; i > 0; i--) {
        points[count + (count - 2 - i)] = points[i];
    }
    return (Ring){points, count > 2 ? 2 * count - 2 : count};
}

// A panel has no natural edge, a side none along the cut; a remnant that of the hide it is of.
static void gather_rim(Gathered *gathered, const Hide *cut, const ToleranceTable *table,
                       Arena *keep)
{
    const Hide *hide = cut->whole ? cut->whole : cut;
    const Ring outline = hide->outline;
    ProbeArea rim = {.ring = outline, .reach_mm = table->rim_mm * sure_growth, .edge_only = true};
    if (table->rim_mm <= 0 || hide->form == HIDE_PANEL) {
        return;
    }
    bool is_cut = false;
    for (int i = 0; i < outline.count; i++) {
        const int next = (i + 1) % outline.count;
        is_cut |= is_on_cut(hide, i);
        if (is_on_cut(hide, i) && !is_on_cut(hide, next)) {
            rim.ring = stretch_of_edge(hide, next, keep);
            gather(gathered, rim, table->rim);
        }
    }
    if (!is_cut) {
        gather(gathered, rim, table->rim);
    }
}

static int most_areas(const Hide *hide)
{
    const Hide *whole = hide->whole ? hide->whole : hide;
    int count = whole->outline.count / 2 + 1; // stretches of natural edge
    for (int i = 0; i < hide->flaw_count; i++) {
        count += hide->flaws[i].area.count;
    }
    for (int i = 0; i < hide->region_count; i++) {
        count += hide->regions[i].area.count;
    }
    return count;
}

ProbeSheet room_sheet(const Hide *hide, const ToleranceTable *table, Arena *keep)
{
    Gathered gathered = {.items = ARENA_ARRAY(keep, ProbeArea, most_areas(hide))};
    for (int i = 0; i < hide->flaw_count; i++) {
        const Flaw *flaw = &hide->flaws[i];
        gather_set(&gathered, flaw->area, table->margin_mm[flaw->kind], table->flaw[flaw->kind]);
    }
    for (int i = 0; i < hide->region_count; i++) {
        const Region *region = &hide->regions[i];
        gather_set(&gathered, region->area, 0, table->firmness[region->firmness]);
    }
    gather_rim(&gathered, hide, table, keep);
    return (ProbeSheet){hide->outline, gathered.items, gathered.count};
}

// ---- Covers

bool room_covers_make(const CoverDemand *demands, int demand_count, const LayingRules *rules,
                      RoomStock stock, RoomCovers *covers, Problems *problems)
{
    const Laying laying = {.demands = demands, .demand_count = demand_count, .rules = rules};
    *covers = (RoomCovers){.keep = arena_create("covers", covers_bytes), .rules = rules};
    Arena *scratch = arena_create("trials", covers_bytes);
    if (!covers->keep || !scratch) {
        arena_destroy(scratch);
        room_covers_drop(covers);
        return problems_say(problems, PROBLEM_SYSTEM, "buying", "no memory left");
    }
    for (int i = 0; i < demand_count; i++) {
        covers->wanted += demands[i].count;
    }
    const ProbeStock of = {stock.area_mm2, stock.hides, rules->gap_mm};
    LayoutTask task;
    const bool good = task_on_sheets(&laying, NULL, covers->keep, &task, problems) &&
                      probe_make(task.pieces, task.piece_count, of, covers->keep, scratch,
                                 &covers->probe, problems);
    arena_destroy(scratch);
    if (!good) {
        room_covers_drop(covers);
    }
    return good;
}

void room_covers_drop(RoomCovers *covers)
{
    arena_destroy(covers->keep);
    *covers = (RoomCovers){0};
}

bool cutting_room(const RoomCovers *covers, const Hide *hides, int hide_count, const RoomCare *care,
                  Arena *scratch, Room *room, Problems *problems)
{
    // Sheets and layouts live as long as the question.
    Arena *keep = arena_create("room", (size_t)1 << 30);
    if (!keep) {
        return problems_say(problems, PROBLEM_SYSTEM, "buying", "no memory left");
    }
    ProbeSheet *sheets = ARENA_ARRAY(keep, ProbeSheet, hide_count);
    for (int i = 0; i < hide_count; i++) {
        sheets[i] = room_sheet(&hides[i], &covers->rules->table, keep);
    }
    const double more = fmax(1, (double)covers->wanted / COVERS_FOR_WORK);
    const ProbeCare look = {.seed = care->seed,
                            .quick_work = care->quick_work * more,
                            .careful_work = care->careful_work * more,
                            .near = (int)fmax(1, care->near_share * covers->wanted),
                            .progress = care->progress};
    ProbeFound found;
    const bool done = probe_look(covers->probe, sheets, hide_count, look, keep, scratch, &found);
    *room = (Room){found.missing, found.careful, found.layouts};
    arena_destroy(keep);
    return done ||
           problems_say(problems, PROBLEM_CANCELLED, "buying", "stopped in the midst of a trial");
}
