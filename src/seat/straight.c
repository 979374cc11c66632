// The fewest straight cuts round an outline.
#include "seat/cover.h"

#include "plane/polygon.h"

#include <assert.h>
#include <float.h>

enum { CUTS_MIN = 3 };

// The cuts left, as a closed list. Cut i runs from `start[i]` along `along[i]` to the
// start of the next.
typedef struct Cuts {
    Point *start;
    Point *along; // unit vectors
    double *more; // area that taking the cut away would add, DBL_MAX if impossible
    int *previous;
    int *next;
    int count;
    int any; // one that is left
} Cuts;

// How the neighbours of a cut, run on, would meet.
typedef struct Meeting {
    Point place;
    double more_mm2;
} Meeting;

static Meeting meeting_beyond(const Cuts *cuts, int cut)
{
    const Point before = cuts->along[cuts->previous[cut]];
    const Point behind = cuts->along[cuts->next[cut]];
    const double sine_before = point_cross(before, cuts->along[cut]);
    const double sine_behind = point_cross(cuts->along[cut], behind);
    const double sine_both = point_cross(before, behind);
    if (!(sine_both > 1e-12)) {
        // Nearly one line: the cut between them is nothing but rounding. Else they run
        // apart, since the two turns add up to half a turn or more.
        const bool one_line = point_dot(before, behind) > 0;
        return (Meeting){cuts->start[cut], one_line ? 0 : DBL_MAX};
    }
    const double length_mm = point_distance(cuts->start[cut], cuts->start[cuts->next[cut]]);
    const double on_mm = length_mm * sine_behind / sine_both; // rule of sines
    return (Meeting){point_plus(cuts->start[cut], point_times(before, on_mm)),
                     0.5 * length_mm * on_mm * sine_before};
}

static Cuts cuts_of_hull(Ring hull, Arena *scratch)
{
    Cuts cuts = {.start = ARENA_ARRAY(scratch, Point, hull.count),
                 .along = ARENA_ARRAY(scratch, Point, hull.count),
                 .more = ARENA_ARRAY(scratch, double, hull.count),
                 .previous = ARENA_ARRAY(scratch, int, hull.count),
                 .next = ARENA_ARRAY(scratch, int, hull.count),
                 .count = hull.count};
    for (int i = 0; i < hull.count; i++) {
        cuts.start[i] = hull.points[i];
        cuts.along[i] = point_unit(point_minus(ring_point(hull, i + 1), hull.points[i]));
        cuts.previous[i] = (i + hull.count - 1) % hull.count;
        cuts.next[i] = (i + 1) % hull.count;
    }
    for (int i = 0; i < hull.count; i++) {
        cuts.more[i] = meeting_beyond(&cuts, i).more_mm2;
    }
    return cuts;
}

static int cheapest(const Cuts *cuts)
{
    int best = cuts->any;
    int cut = cuts->any;
    for (int i = 0; i < cuts->count; i++) {
        best = cuts->more[cut] < cuts->more[best] ? cut : best;
        cut = cuts->next[cut];
    }
    return best;
}

static void take_away(Cuts *cuts, int cut)
{
    const int before = cuts->previous[cut];
    const int behind = cuts->next[cut];
    cuts->start[behind] = meeting_beyond(cuts, cut).place;
    cuts->next[before] = behind;
    cuts->previous[behind] = before;
    cuts->any = before;
    cuts->count--;
    cuts->more[before] = meeting_beyond(cuts, before).more_mm2;
    cuts->more[behind] = meeting_beyond(cuts, behind).more_mm2;
}

// How far out a line in this direction must lie to have the whole ring on its left.
static double reach_mm(Ring ring, Point along)
{
    double reach = -DBL_MAX;
    for (int i = 0; i < ring.count; i++) {
        reach = fmax(reach, point_dot(ring.points[i], point_right(along)));
    }
    // Far below what any tool can cut, far above the rounding of the corners.
    return reach + 1e-9;
}

// Where two lines meet, each given by its direction and its reach to the right.
static Point lines_meet(Point along, double reach, Point other, double other_reach)
{
    const double sine = point_cross(along, other);
    return point_times(point_minus(point_times(along, other_reach), point_times(other, reach)),
                       1 / sine);
}

// The polygon of the lines that are left, each laid against the ring afresh, so that
// rounding has not let it slip inside.
static Ring laid_against(const Cuts *cuts, Ring ring, Arena *keep)
{
    Point *points = ARENA_ARRAY(keep, Point, cuts->count);
    int cut = cuts->any;
    double reach = reach_mm(ring, cuts->along[cut]);
    for (int i = 0; i < cuts->count; i++) {
        const int next = cuts->next[cut];
        const double next_reach = reach_mm(ring, cuts->along[next]);
        points[i] = lines_meet(cuts->along[cut], reach, cuts->along[next], next_reach);
        cut = next;
        reach = next_reach;
    }
    return (Ring){points, cuts->count};
}

Ring cover_straight_cuts(Ring ring, double waste, Arena *keep, Arena *scratch)
{
    assert(waste >= 0);
    const ArenaMark mark = arena_mark(scratch);
    const Ring hull = ring_convex_hull(ring.points, ring.count, scratch);
    if (hull.count < CUTS_MIN) {
        arena_rewind(scratch, mark);
        return ring_moved(ring, (Motion){0}, keep);
    }
    Cuts cuts = cuts_of_hull(hull, scratch);
    double left_mm2 = waste * ring_area_mm2(hull);
    while (cuts.count > CUTS_MIN) {
        const int cut = cheapest(&cuts);
        if (cuts.more[cut] > left_mm2) {
            break;
        }
        left_mm2 -= cuts.more[cut];
        take_away(&cuts, cut);
    }
    const Ring result = laid_against(&cuts, ring, keep);
    arena_rewind(scratch, mark);
    return result;
}
