#include "layout/drag_parts.h"
#include "layout/judge.h"

#include <stdlib.h>

// All here in lattice units: shifts of the moved piece from where it was asked for.

enum { STRETCHES_MAX = 1500, TRIES_MAX = 2000, ROUND_SIDES = 16 };
static const double sixteenth_turn_rad = 0.39269908169872414;
// A corner may stand so far beyond the line through the other's edge and still be said to lie
// behind it: the rounding of both.
static const double slack_units = 1;
// Rounding moves a shift by at most half a unit each way: so far off it is clear of the line.
static const double clear_units = 0.75;

// Shifts at which something touches something, and the way off it.
typedef struct Stretch {
    Point from;
    Point to;
    Point away; // length 1
} Stretch;

// A shift to be tried, and how to keep clear of what it touches.
typedef struct Trial {
    Point shift;
    Point away;
    double distance2;
} Trial;

typedef struct Snapping {
    double reach;
    Stretch *stretches;
    int count;
} Snapping;

// A corner with its neighbours on the ring.
typedef struct Corner {
    Point at;
    Point before;
    Point after;
} Corner;

static Point point_of(LatticePoint point)
{
    return (Point){(double)point.x, (double)point.y};
}

static Corner corner_of(LatticeRing ring, int index)
{
    return (Corner){.at = point_of(ring.points[index]),
                    .before = point_of(ring.points[index > 0 ? index - 1 : ring.count - 1]),
                    .after = point_of(ring.points[index + 1 < ring.count ? index + 1 : 0])};
}

// Whether a corner of the matter on this side of its ring juts out: +1 the left of its edges.
static bool juts_out(Corner corner, double side)
{
    return side * point_cross(point_minus(corner.at, corner.before),
                              point_minus(corner.after, corner.at)) >
           0;
}

// Whether both neighbours lie on the far side of a line through the corner.
static bool lies_beyond(Corner corner, Point away)
{
    return point_dot(point_minus(corner.before, corner.at), away) >= -slack_units &&
           point_dot(point_minus(corner.after, corner.at), away) >= -slack_units;
}

static void add(Snapping *snapping, Point from, Point to, Point away)
{
    const Point nearest = point_on_segment((Point){0, 0}, from, to);
    if (snapping->count < STRETCHES_MAX && point_length(nearest) <= snapping->reach) {
        snapping->stretches[snapping->count++] = (Stretch){from, to, away};
    }
}

// The +1 side of a counter-clockwise ring is its inside.
static double inside_of(LatticeRing ring)
{
    double twice_area = 0;
    const Point first = point_of(ring.points[0]);
    for (int i = 1; i + 1 < ring.count; i++) {
        twice_area += point_cross(point_minus(point_of(ring.points[i]), first),
                                  point_minus(point_of(ring.points[i + 1]), first));
    }
    return twice_area > 0 ? 1 : -1;
}

// A ring with matter on the given side of its edges.
typedef struct Rim {
    LatticeRing ring;
    double side;
} Rim;

// Two rings that may touch.
typedef struct Meeting {
    Rim moved;
    Rim still;
    double gap;
} Meeting;

// One ring's corners on an edge of the other. `sign`: +1 when the edge lies still, -1 when it is
// the one that moves.
static void corners_on_edge(Snapping *snapping, double gap, const Rim *rim, int edge,
                            const Rim *other, double sign)
{
    const Corner start = corner_of(rim->ring, edge);
    const Point along = point_unit(point_minus(start.after, start.at));
    const Point outward = point_times(point_right(along), rim->side);
    const Point aside = point_times(outward, gap);
    const double room = snapping->reach + gap;
    for (int i = 0; i < other->ring.count; i++) {
        const Corner corner = corner_of(other->ring, i);
        const double off = point_dot(point_minus(corner.at, start.at), outward);
        if (fabs(off) <= room && juts_out(corner, other->side) && lies_beyond(corner, outward)) {
            const Point from = point_plus(point_minus(start.at, corner.at), aside);
            const Point to = point_plus(point_minus(start.after, corner.at), aside);
            add(snapping, point_times(from, sign), point_times(to, sign),
                point_times(outward, sign));
        }
    }
}

// A corner at the gap from a corner: round, so drawn by straight stretches outside the circle.
static void corners_at_gap(Snapping *snapping, const Meeting *meeting, Corner still)
{
    if (!juts_out(still, meeting->still.side)) {
        return;
    }
    const double half = meeting->gap * tan(sixteenth_turn_rad / 2);
    for (int i = 0; i < meeting->moved.ring.count; i++) {
        const Corner moved = corner_of(meeting->moved.ring, i);
        const Point together = point_minus(still.at, moved.at);
        if (point_length(together) > snapping->reach + 2 * meeting->gap ||
            !juts_out(moved, meeting->moved.side)) {
            continue;
        }
        for (int side = 0; side < ROUND_SIDES; side++) {
            const double way_rad = side * sixteenth_turn_rad;
            const Point away = {cos(way_rad), sin(way_rad)};
            const Point middle = point_plus(together, point_times(away, meeting->gap));
            const Point aside = point_times(point_right(away), half);
            if (lies_beyond(moved, away) && lies_beyond(still, point_times(away, -1))) {
                add(snapping, point_plus(middle, aside), point_minus(middle, aside), away);
            }
        }
    }
}

static bool edge_is_near(const Meeting *meeting, LatticePoint a, LatticePoint b, double room)
{
    const LatticeRing moved = meeting->moved.ring;
    return (double)(a.x > b.x ? a.x : b.x) >= (double)moved.min.x - room &&
           (double)(a.x < b.x ? a.x : b.x) <= (double)moved.max.x + room &&
           (double)(a.y > b.y ? a.y : b.y) >= (double)moved.min.y - room &&
           (double)(a.y < b.y ? a.y : b.y) <= (double)moved.max.y + room;
}

static void find_stretches(Snapping *snapping, const Meeting *meeting)
{
    const LatticeRing still = meeting->still.ring;
    const double room = snapping->reach + meeting->gap;
    if (meeting->moved.ring.count < 3 || still.count < 3 ||
        !edge_is_near(meeting, still.min, still.max, room)) {
        return;
    }
    for (int i = 0; i < still.count; i++) {
        const LatticePoint next = still.points[i + 1 < still.count ? i + 1 : 0];
        if (!edge_is_near(meeting, still.points[i], next, room)) {
            continue;
        }
        corners_on_edge(snapping, meeting->gap, &meeting->still, i, &meeting->moved, 1);
        if (meeting->gap > 0) {
            corners_at_gap(snapping, meeting, corner_of(still, i));
        }
    }
    for (int i = 0; i < meeting->moved.ring.count; i++) {
        corners_on_edge(snapping, meeting->gap, &meeting->moved, i, &meeting->still, -1);
    }
}

static void find_all_stretches(Snapping *snapping, const Drag *drag, int index, int sheet,
                               const LatticeRing *rings)
{
    const StillSheet *stills = &drag->sheets[sheet];
    for (int i = 0; i < stills->count; i++) {
        const Still still = stills->stills[i];
        const LatticeRing moved = rings[still.depth];
        if ((still.kind == STILL_PIECE && still.index == index) || moved.count < 3 ||
            stills->rings[i].count < 3) {
            continue;
        }
        const bool around = still.kind == STILL_OUTLINE || still.kind == STILL_AREA_HOLE;
        const int64_t gap = still.kind == STILL_PIECE
                                ? judge_pair_gap(drag->task, sheet, drag->placements[index].piece,
                                                 drag->placements[still.index].piece)
                                : 0;
        const Meeting meeting = {
            .moved = {moved, inside_of(moved)},
            .still = {stills->rings[i], inside_of(stills->rings[i]) * (around ? -1 : 1)},
            .gap = gap > 0 ? (double)gap : 0};
        find_stretches(snapping, &meeting);
    }
}

// ---- Places to try

typedef struct Trials {
    Trial *items;
    int count;
    int room;
    double reach2;
    Arena *arena;
} Trials;

static void add_trial(Trials *trials, Point shift, Point away)
{
    const double distance2 = point_dot(shift, shift);
    if (distance2 <= trials->reach2) {
        trials->items = arena_room(trials->arena, trials->items, trials->count, &trials->room,
                                   sizeof *trials->items);
        trials->items[trials->count++] = (Trial){shift, away, distance2};
    }
}

// Where two stretches cross something is touched on both, and the way off both lies between theirs.
static void add_crossing(Trials *trials, const Stretch *a, const Stretch *b)
{
    const Point along = point_minus(a->to, a->from);
    const Point across = point_minus(b->to, b->from);
    const double turn = point_cross(along, across);
    const double opening = 1 + point_dot(a->away, b->away);
    if (turn == 0 || opening < 0.02) {
        return;
    }
    const Point between = point_minus(b->from, a->from);
    const double share = point_cross(between, across) / turn;
    const double other = point_cross(between, along) / turn;
    if (share >= 0 && share <= 1 && other >= 0 && other <= 1) {
        add_trial(trials, point_between(a->from, a->to, share),
                  point_times(point_plus(a->away, b->away), 1 / opening));
    }
}

static int nearest_first(const void *left, const void *right)
{
    const Trial *a = left;
    const Trial *b = right;
    if (a->distance2 != b->distance2) {
        return a->distance2 < b->distance2 ? -1 : 1;
    }
    if (a->shift.x != b->shift.x) {
        return a->shift.x < b->shift.x ? -1 : 1;
    }
    return (a->shift.y > b->shift.y) - (a->shift.y < b->shift.y);
}

static Trials make_trials(const Snapping *snapping, Arena *scratch)
{
    Trials trials = {.reach2 = snapping->reach * snapping->reach, .arena = scratch};
    for (int i = 0; i < snapping->count; i++) {
        const Stretch *stretch = &snapping->stretches[i];
        add_trial(&trials, point_on_segment((Point){0, 0}, stretch->from, stretch->to),
                  stretch->away);
        for (int k = 0; k < i; k++) {
            add_crossing(&trials, stretch, &snapping->stretches[k]);
        }
    }
    if (trials.count > 0) {
        qsort(trials.items, (size_t)trials.count, sizeof *trials.items, nearest_first);
    }
    return trials;
}

// On the line, then clear of it by the rounding, then by twice that.
static bool may_lie(const Drag *drag, int index, int sheet, Motion motion, const Trial *trial,
                    Arena *scratch, Motion *snapped)
{
    for (int step = 0; step < 3; step++) {
        const Point shift = point_plus(trial->shift, point_times(trial->away, step * clear_units));
        const Motion there = {motion.x_mm + round(shift.x) / LATTICE_PER_MM,
                              motion.y_mm + round(shift.y) / LATTICE_PER_MM, motion.turn_rad};
        LayoutFault fault;
        if (drag_check(drag, index, sheet, there, scratch, &fault, 1) == 0) {
            *snapped = there;
            return true;
        }
    }
    return false;
}

bool drag_snap(const Drag *drag, int index, int sheet, Motion motion, double reach_mm,
               Arena *scratch, Motion *snapped)
{
    Placement moved = drag->placements[index];
    moved.sheet = sheet;
    moved.motion = motion;
    const Piece *piece = &drag->task->pieces[moved.piece];
    if (!judge_in_range(drag->task, &moved) || drag->surplus[index] ||
        !judge_turn_allowed(piece, motion.turn_rad)) {
        return false;
    }
    const ArenaMark mark = arena_mark(scratch);
    LatticeRing rings[LAYOUT_DEPTHS] = {{0}};
    for (int depth = 0; depth < piece->depth_count; depth++) {
        if (judge_near_enough(piece->outline[depth])) {
            rings[depth] = lattice_ring(piece->outline[depth], motion, scratch);
        }
    }
    Snapping snapping = {.reach = reach_mm * LATTICE_PER_MM,
                         .stretches = ARENA_ARRAY(scratch, Stretch, STRETCHES_MAX)};
    find_all_stretches(&snapping, drag, index, sheet, rings);
    const Trials trials = make_trials(&snapping, scratch);
    bool found = false;
    for (int i = 0; i < trials.count && i < TRIES_MAX && !found; i++) {
        found = may_lie(drag, index, sheet, motion, &trials.items[i], scratch, snapped);
    }
    arena_rewind(scratch, mark);
    return found;
}
