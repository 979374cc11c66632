#include "layout/drag_parts.h"

#include "layout/judge.h"

// ---- What lies still

typedef struct Gathering {
    Still *stills;
    LatticeRing *rings;
    int count;
    int room;
    Arena *arena;
} Gathering;

static void gather(Gathering *all, Still still, Ring ring, Motion motion)
{
    int room = all->room;
    all->stills = arena_room(all->arena, all->stills, all->count, &room, sizeof *all->stills);
    all->rings = arena_room(all->arena, all->rings, all->count, &all->room, sizeof *all->rings);
    all->stills[all->count] = still;
    if (judge_near_enough(ring)) {
        all->rings[all->count] = lattice_ring(ring, motion, all->arena);
    }
    all->count++;
}

static void gather_areas(Gathering *all, PolygonSet areas, int depth)
{
    for (int i = 0; i < areas.count; i++) {
        const Polygon area = areas.items[i];
        gather(all, (Still){STILL_AREA, depth, i}, area.outer, (Motion){0});
        for (int hole = 0; hole < area.hole_count; hole++) {
            gather(all, (Still){STILL_AREA_HOLE, depth, i}, area.holes[hole], (Motion){0});
        }
    }
}

static StillSheet prepare_sheet(const Drag *drag, int index, const bool *sound, Arena *keep,
                                Arena *scratch)
{
    const Sheet *sheet = &drag->task->sheets[index];
    Gathering all = {.arena = keep};
    gather(&all, (Still){STILL_OUTLINE, 0, 0}, sheet->outline, (Motion){0});
    for (int i = 0; i < sheet->hole_count; i++) {
        gather(&all, (Still){STILL_HOLE, 0, i}, sheet->holes[i], (Motion){0});
    }
    for (int depth = 0; depth < LAYOUT_DEPTHS; depth++) {
        gather_areas(&all, sheet->forbidden[depth], depth);
    }
    for (int i = 0; i < drag->count; i++) {
        const Placement *placement = &drag->placements[i];
        if (sound[i] && placement->sheet == index) {
            gather(&all, (Still){STILL_PIECE, 0, i},
                   drag->task->pieces[placement->piece].outline[0], placement->motion);
        }
    }
    double widest_mm = sheet->gap_mm;
    for (int i = 0; i < drag->task->piece_count; i++) {
        widest_mm = fmax(widest_mm, drag->task->pieces[i].gap_mm);
    }
    const int64_t gap = judge_gap(widest_mm);
    return (StillSheet){.index = index,
                        .stills = all.stills,
                        .rings = all.rings,
                        .count = all.count,
                        .gap = gap,
                        .grid =
                            edge_grid_make(all.rings, all.count, gap > 0 ? gap : 0, keep, scratch)};
}

Drag *drag_prepare(const LayoutTask *task, const Placement *placements, int count, Arena *keep,
                   Arena *scratch)
{
    Drag *drag = ARENA_NEW(keep, Drag);
    bool *surplus = ARENA_ARRAY(keep, bool, count + 1);
    *drag = (Drag){task, placements, count, surplus, NULL};
    const ArenaMark mark = arena_mark(scratch);
    bool *sound = ARENA_ARRAY(scratch, bool, count + 1);
    int *copies = ARENA_ARRAY(scratch, int, task->piece_count + 1);
    for (int i = 0; i < count; i++) {
        sound[i] = judge_in_range(task, &placements[i]);
        if (placements[i].piece >= 0 && placements[i].piece < task->piece_count) {
            surplus[i] = copies[placements[i].piece] >= task->pieces[placements[i].piece].demand;
            copies[placements[i].piece] += sound[i];
        }
    }
    StillSheet *sheets = ARENA_ARRAY(keep, StillSheet, task->sheet_count + 1);
    for (int i = 0; i < task->sheet_count; i++) {
        sheets[i] = prepare_sheet(drag, i, sound, keep, scratch);
    }
    drag->sheets = sheets;
    arena_rewind(scratch, mark);
    return drag;
}

// ---- One question

typedef struct Question {
    const Drag *drag;
    const StillSheet *sheet;
    int index;
    LatticeRing rings[LAYOUT_DEPTHS]; // the moved outlines
    uint8_t *meeting;                 // of each still ring: a LatticeMeeting
    bool *near;                       // of each: nearer than the gap
    Arena *scratch;
    LayoutFault *faults;
    int room;
    int found;
} Question;

static void report(Question *question, LayoutFaultKind kind, int other, int depth)
{
    if (question->found < question->room) {
        question->faults[question->found] = (LayoutFault){kind, question->index, other, depth};
    }
    question->found++;
}

static bool boxes_apart(const GridEdge *edge, LatticePoint min, LatticePoint max)
{
    return (edge->from_x < min.x && edge->to_x < min.x) ||
           (edge->from_x > max.x && edge->to_x > max.x) ||
           (edge->from_y < min.y && edge->to_y < min.y) ||
           (edge->from_y > max.y && edge->to_y > max.y);
}

typedef struct MovedEdge {
    LatticePoint from;
    LatticePoint to;
    LatticePoint min; // its box, and the gap around it
    LatticePoint max;
    int depth;
} MovedEdge;

static void compare(Question *question, const MovedEdge *moved, const GridEdge *edge)
{
    if (boxes_apart(edge, moved->min, moved->max)) {
        return;
    }
    const Still *still = &question->sheet->stills[edge->owner];
    uint8_t *meeting = &question->meeting[edge->owner];
    const bool own = still->kind == STILL_PIECE && still->index == question->index;
    if (still->depth != moved->depth || own || *meeting == LATTICE_CROSSING) {
        return;
    }
    const LatticePoint from = {edge->from_x, edge->from_y};
    const LatticePoint to = {edge->to_x, edge->to_y};
    const LatticeMeeting found = lattice_edges_meet(moved->from, moved->to, from, to);
    *meeting = found > *meeting ? (uint8_t)found : *meeting;
    bool *near = &question->near[edge->owner];
    if (question->sheet->gap > 0 && still->kind == STILL_PIECE && !*near) {
        const Placement *placements = question->drag->placements;
        const int64_t gap =
            judge_pair_gap(question->drag->task, question->sheet->index,
                           placements[question->index].piece, placements[still->index].piece);
        *near = gap > 0 && lattice_edges_nearer(moved->from, moved->to, from, to, gap);
    }
}

// An edge that stands in several cells is compared several times; that changes nothing.
static void compare_edge(Question *question, const MovedEdge *moved)
{
    const EdgeGrid *grid = &question->sheet->grid;
    const GridSpan rows = edge_grid_rows(grid, moved->from, moved->to, 0);
    for (int row = rows.first; row <= rows.last; row++) {
        const GridSpan columns = edge_grid_columns(grid, moved->from, moved->to, row, 0);
        if (columns.last < columns.first) {
            continue;
        }
        const int *begin = grid->begin + (ptrdiff_t)row * grid->columns;
        for (int i = begin[columns.first]; i < begin[columns.last + 1]; i++) {
            compare(question, moved, &grid->edges[i]);
        }
    }
}

static void compare_outline(Question *question, int depth)
{
    const LatticeRing ring = question->rings[depth];
    const int64_t gap = depth == 0 && question->sheet->gap > 0 ? question->sheet->gap : 0;
    for (int i = 0; i < ring.count; i++) {
        MovedEdge moved = {.from = ring.points[i],
                           .to = ring.points[i + 1 < ring.count ? i + 1 : 0],
                           .depth = depth};
        moved.min.x = (moved.from.x < moved.to.x ? moved.from.x : moved.to.x) - gap;
        moved.min.y = (moved.from.y < moved.to.y ? moved.from.y : moved.to.y) - gap;
        moved.max.x = (moved.from.x > moved.to.x ? moved.from.x : moved.to.x) + gap;
        moved.max.y = (moved.from.y > moved.to.y ? moved.from.y : moved.to.y) + gap;
        compare_edge(question, &moved);
    }
}

// Whether the moved outline and a still ring share any inside. Where no edges meet, one
// lies wholly in the other or they are apart, and one point of each tells; where edges only
// touch, the lattice itself is asked.
static bool insides_meet(const Question *question, LatticeRing moved, int still)
{
    const LatticeRing ring = question->sheet->rings[still];
    if (moved.count < 3 || ring.count < 3 || moved.min.x >= ring.max.x ||
        ring.min.x >= moved.max.x || moved.min.y >= ring.max.y || ring.min.y >= moved.max.y) {
        return false;
    }
    if (question->meeting[still] == LATTICE_APART) {
        return lattice_where(ring, moved.points[0]) > 0 || lattice_where(moved, ring.points[0]) > 0;
    }
    return question->meeting[still] == LATTICE_CROSSING ||
           lattice_interiors_meet(moved, ring, question->scratch);
}

static bool within(const Question *question, LatticeRing moved, int still)
{
    const LatticeRing ring = question->sheet->rings[still];
    if (question->meeting[still] == LATTICE_CROSSING) {
        return false;
    }
    if (question->meeting[still] == LATTICE_TOUCHING || ring.count < 3) {
        return lattice_within(moved, ring, question->scratch);
    }
    return moved.min.x >= ring.min.x && moved.min.y >= ring.min.y && moved.max.x <= ring.max.x &&
           moved.max.y <= ring.max.y && lattice_where(ring, moved.points[0]) > 0;
}

// The holes of an area stand behind it, up to the next ring of another kind.
static bool in_a_hole(const Question *question, LatticeRing moved, int area)
{
    const StillSheet *sheet = question->sheet;
    for (int i = area + 1; i < sheet->count && sheet->stills[i].kind == STILL_AREA_HOLE; i++) {
        if (sheet->rings[i].count >= 3 && within(question, moved, i)) {
            return true;
        }
    }
    return false;
}

static bool on_sheet(const Question *question)
{
    const StillSheet *sheet = question->sheet;
    bool on = within(question, question->rings[0], 0);
    for (int i = 1; on && i < sheet->count && sheet->stills[i].kind == STILL_HOLE; i++) {
        on = !insides_meet(question, question->rings[0], i);
    }
    return on;
}

static void judge_stills(Question *question)
{
    const StillSheet *sheet = question->sheet;
    if (!on_sheet(question)) {
        report(question, LAYOUT_OFF_SHEET, -1, 0);
    }
    for (int i = 1; i < sheet->count; i++) {
        const Still still = sheet->stills[i];
        const LatticeRing moved = question->rings[still.depth];
        if (still.kind == STILL_AREA && insides_meet(question, moved, i) &&
            !in_a_hole(question, moved, i)) {
            report(question, LAYOUT_ON_FORBIDDEN, still.index, still.depth);
        }
        if (still.kind != STILL_PIECE || still.index == question->index) {
            continue;
        }
        if (insides_meet(question, moved, i)) {
            report(question, LAYOUT_OVERLAP, still.index, 0);
        } else if (question->near[i] && sheet->rings[i].count >= 3) {
            report(question, LAYOUT_GAP, still.index, 0);
        }
    }
}

static void ask(Question *question, const Piece *piece, Motion motion)
{
    if (!judge_turn_allowed(piece, motion.turn_rad)) {
        report(question, LAYOUT_TURN, -1, 0);
    }
    for (int depth = 0; depth < piece->depth_count; depth++) {
        if (judge_near_enough(piece->outline[depth])) {
            question->rings[depth] = lattice_ring(piece->outline[depth], motion, question->scratch);
        }
    }
    if (question->rings[0].count < 3) { // smaller than the lattice can tell
        report(question, LAYOUT_COUNT, -1, 0);
        return;
    }
    question->meeting = ARENA_ARRAY(question->scratch, uint8_t, question->sheet->count);
    question->near = ARENA_ARRAY(question->scratch, bool, question->sheet->count);
    for (int depth = 0; depth < piece->depth_count; depth++) {
        compare_outline(question, depth);
    }
    judge_stills(question);
}

int drag_check(const Drag *drag, int index, int sheet, Motion motion, Arena *scratch,
               LayoutFault *faults, int room)
{
    Question question = {
        .drag = drag, .index = index, .scratch = scratch, .faults = faults, .room = room};
    Placement moved = drag->placements[index];
    moved.sheet = sheet;
    moved.motion = motion;
    const bool sound = judge_in_range(drag->task, &moved);
    if (!sound || drag->surplus[index]) {
        report(&question, LAYOUT_COUNT, -1, 0);
    }
    if (sound) {
        const ArenaMark mark = arena_mark(scratch);
        question.sheet = &drag->sheets[sheet];
        ask(&question, &drag->task->pieces[moved.piece], motion);
        arena_rewind(scratch, mark);
    }
    return question.found;
}
