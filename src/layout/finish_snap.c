// Straight edges against straight edges, and in line with them.
#include "layout/finish_parts.h"

#include "plane/lattice.h"

// So many places of a piece, the best first, are looked at closely.
enum { SNAPS = 128 };

// Edges at a greater angle would not lie on each other over their whole length: 1 in 10,000.
static const double parallel = 1e-4;

typedef struct Snap {
    Motion motion;
    double value;
} Snap;

// One piece that looks for edges, with the places found so far.
typedef struct Snapping {
    Finish *finish;
    int index;
    double below;
    Snap items[SNAPS];
    int count;
} Snapping;

static void offer(Snapping *snapping, Motion motion)
{
    Finish *finish = snapping->finish;
    Placement placement = finish->placements[snapping->index];
    placement.motion = motion;
    finish_change(finish, snapping->index, placement);
    const double value = finish_own_value(finish);
    finish_forget(finish);
    const bool full = snapping->count == SNAPS;
    if (value >= snapping->below || (full && value >= snapping->items[SNAPS - 1].value)) {
        return;
    }
    int at = full ? SNAPS - 1 : snapping->count++;
    for (; at > 0 && snapping->items[at - 1].value > value; at--) {
        snapping->items[at] = snapping->items[at - 1];
    }
    snapping->items[at] = (Snap){motion, value};
}

static Motion shifted(Motion motion, Point by)
{
    return (Motion){motion.x_mm + by.x, motion.y_mm + by.y, motion.turn_rad};
}

// Edges that run against each other: the gap apart, beginning together, ending together, or as
// far along as now.
static void face(Snapping *snapping, Motion motion, StraightEdge own, StraightEdge other,
                 double gap_mm)
{
    const Point along = point_unit(point_minus(other.to, other.from));
    // Both ends are rounded to the lattice; two units keep them apart.
    const Point out = point_times(point_right(along), gap_mm + 2.0 / LATTICE_PER_MM);
    const Point begin = point_minus(point_plus(other.to, out), own.from);
    offer(snapping, shifted(motion, begin));
    const Point end = point_minus(point_plus(other.from, out), own.to);
    offer(snapping, shifted(motion, end));
    const Point across = point_times(point_right(along), point_dot(begin, point_right(along)));
    offer(snapping, shifted(motion, across));
}

// Edges that run alike: on one line, as far along as now.
static void follow(Snapping *snapping, Motion motion, StraightEdge own, StraightEdge other)
{
    const Point right = point_right(point_unit(point_minus(other.to, other.from)));
    const double off_mm = point_dot(point_minus(other.from, own.from), right);
    offer(snapping, shifted(motion, point_times(right, off_mm)));
}

// All places beside one neighbour, in one turn.
static void snap_to(Snapping *snapping, Motion motion, const Placement *neighbour)
{
    Finish *finish = snapping->finish;
    const Placement *placement = &finish->placements[snapping->index];
    const Piece *pieces = finish->task->pieces;
    const double gap_mm =
        fmax(finish->task->sheets[placement->sheet].gap_mm,
             fmax(pieces[placement->piece].gap_mm, pieces[neighbour->piece].gap_mm));
    const ArenaMark mark = arena_mark(finish->scratch);
    const StraightEdges own = cuts_moved(finish->edges[placement->piece], motion, finish->scratch);
    const StraightEdges others =
        cuts_moved(finish->edges[neighbour->piece], neighbour->motion, finish->scratch);
    for (int i = 0; i < own.count; i++) {
        const StraightEdge edge = own.items[i];
        const Point along = point_unit(point_minus(edge.to, edge.from));
        for (int k = 0; k < others.count && finish_goes_on(finish); k++) {
            const StraightEdge other = others.items[k];
            const Point there = point_unit(point_minus(other.to, other.from));
            if (fabs(point_cross(along, there)) > parallel) {
                continue;
            }
            if (point_dot(along, there) < 0) {
                face(snapping, motion, edge, other, gap_mm);
            } else {
                follow(snapping, motion, edge, other);
            }
        }
    }
    arena_rewind(finish->scratch, mark);
}

// Turned about its centre.
static Motion turned(const Finish *finish, const Placement *placement, double turn_rad)
{
    const Motion motion = {placement->motion.x_mm, placement->motion.y_mm, turn_rad};
    return shifted(motion, point_minus(finish_centre(finish, placement->piece, placement->motion),
                                       finish_centre(finish, placement->piece, motion)));
}

// The best place that the judge and the bounds allow. True when it was taken.
static bool take_best(Snapping *snapping)
{
    Finish *finish = snapping->finish;
    const Hand hand = hand_on(finish);
    bool taken = false;
    for (int i = 0; i < snapping->count && !taken && finish_goes_on(finish); i++) {
        Placement placement = finish->placements[snapping->index];
        placement.motion = snapping->items[i].motion;
        if (hand_lies(hand, snapping->index, placement.motion)) {
            finish_change(finish, snapping->index, placement);
            taken = finish_weigh(finish, snapping->below, &(double){0});
            if (!taken) {
                finish_forget(finish);
            }
        }
    }
    hand_off(hand);
    if (taken) {
        finish_take(finish);
    }
    return taken;
}

static bool snap_one(Finish *finish, int index)
{
    Snapping snapping = {.finish = finish, .index = index, .below = finish_aspired(finish)};
    const Placement *placement = &finish->placements[index];
    double off_rad = finish_most_off_rad(finish) * finish->count;
    for (int i = 0; i < finish->count; i++) {
        off_rad -= i == index ? 0 : finish->offs[i];
    }
    double turns_rad[FINISH_TURNS];
    const int turn_count = finish_turns(finish, index, off_rad, turns_rad);
    for (int i = 0; i < turn_count; i++) {
        const Motion motion = turned(finish, placement, turns_rad[i]);
        for (int k = 0; k < finish->count && finish_goes_on(finish); k++) {
            if (k != index && finish->placements[k].sheet == placement->sheet) {
                snap_to(&snapping, motion, &finish->placements[k]);
            }
        }
    }
    return take_best(&snapping);
}

bool finish_snap(Finish *finish)
{
    bool helped = false;
    for (int i = 0; i < finish->count && finish_goes_on(finish); i++) {
        helped |= !finish->placements[i].locked && snap_one(finish, i);
    }
    return helped;
}
