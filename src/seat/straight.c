// The fewest straight cuts round an outline.
#include "seat/cover.h"

#include "plane/polygon.h"

#include <assert.h>
#include <float.h>

#include "seat/symmetry.h"

enum { CUTS_MIN = 3 };

static const double SQUARE_SINE = 0.035; // 2 degrees: a cut so near to square is meant square

// The cuts left, as a closed list. Cut i runs from `start[i]` along `along[i]` to the
// start of the next.
typedef struct Cuts {
    Point *start;
    Point *along; // unit vectors
    double *more; // area that taking the cut away would add, DBL_MAX if impossible
    int *previous;
    int *next;
    int count;
    int any;    // one that is left
    int paired; // how many there were of an outline that is its own mirror image, else 0;
                // cut i is then the image of cut paired - i, and cut 0, the front, and cut
                // paired / 2, the back, are square and stay
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
    if (sine_both < 1e-12) {
        // Nearly one line: the cut between them is nothing but rounding. Else they run
        // apart, since the two turns add up to half a turn or more.
        const bool one_line =
            fmax(fabs(sine_before), fabs(sine_behind)) < 1e-6 && point_dot(before, behind) > 0;
        return (Meeting){cuts->start[cut], one_line ? 0 : DBL_MAX};
    }
    const double length_mm = point_distance(cuts->start[cut], cuts->start[cuts->next[cut]]);
    const double on_mm = length_mm * sine_behind / sine_both; // rule of sines
    return (Meeting){point_plus(cuts->start[cut], point_times(before, on_mm)),
                     0.5 * length_mm * on_mm * sine_before};
}

static double cost_mm2(const Cuts *cuts, int cut)
{
    if (cuts->paired > 0 && (cut == 0 || cut == cuts->paired / 2)) {
        return DBL_MAX;
    }
    return meeting_beyond(cuts, cut).more_mm2;
}

static Cuts cuts_room(int count, Arena *scratch)
{
    Cuts cuts = {.start = ARENA_ARRAY(scratch, Point, count),
                 .along = ARENA_ARRAY(scratch, Point, count),
                 .more = ARENA_ARRAY(scratch, double, count),
                 .previous = ARENA_ARRAY(scratch, int, count),
                 .next = ARENA_ARRAY(scratch, int, count),
                 .count = count};
    for (int i = 0; i < count; i++) {
        cuts.previous[i] = (i + count - 1) % count;
        cuts.next[i] = (i + 1) % count;
    }
    return cuts;
}

static void weigh_all(Cuts *cuts)
{
    for (int i = 0; i < cuts->count; i++) {
        cuts->more[i] = cost_mm2(cuts, i);
    }
}

static Point hull_along(Ring hull, int i)
{
    return point_unit(point_minus(ring_point(hull, i + 1), ring_point(hull, i)));
}

static Cuts cuts_of_hull(Ring hull, Arena *scratch)
{
    Cuts cuts = cuts_room(hull.count, scratch);
    for (int i = 0; i < hull.count; i++) {
        cuts.start[i] = hull.points[i];
        cuts.along[i] = hull_along(hull, i);
    }
    weigh_all(&cuts);
    return cuts;
}

static Point mirrored(Point p)
{
    return (Point){-p.x, p.y};
}

// The cuts of the right half and their images, between a front and a back that may
// still be without length.
static Cuts paired_cuts_of_hull(Ring hull, Arena *scratch)
{
    int first = 0;
    while (!(hull_along(hull, first).y > 0 && hull_along(hull, first - 1).y <= 0)) {
        first++;
    }
    int right = 0;
    while (hull_along(hull, first + right).y > 0) {
        right++;
    }
    const int count = 2 * right + 2;
    Cuts cuts = cuts_room(count, scratch);
    cuts.paired = count;
    cuts.along[0] = (Point){1, 0};
    cuts.along[right + 1] = (Point){-1, 0};
    for (int i = 1; i <= right; i++) {
        const Point along = hull_along(hull, first + i - 1);
        cuts.along[i] = along;
        cuts.along[count - i] = (Point){along.x, -along.y};
    }
    for (int i = 1; i <= right + 1; i++) {
        Point start = ring_point(hull, first + i - 1);
        start.x = fmax(0, start.x);
        cuts.start[i] = start;
        cuts.start[(count - i + 1) % count] = mirrored(start);
    }
    weigh_all(&cuts);
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
    cuts->more[before] = cost_mm2(cuts, before);
    cuts->more[behind] = cost_mm2(cuts, behind);
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

// Where two lines meet, each given by its direction and its reach to the right. Goes
// along the first to the second, so that rounding moves the place along the lines and
// not off them, however flat they meet.
static Point lines_meet(Point along, double reach, Point other, double other_reach)
{
    const Point foot = point_times(point_right(along), reach);
    const double left_mm = other_reach - point_dot(foot, point_right(other));
    return point_plus(foot, point_times(along, left_mm / point_cross(along, other)));
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

static void take_away_cheapest(Cuts *cuts, double left_mm2)
{
    const int at_once = cuts->paired > 0 ? 2 : 1;
    while (cuts->count - at_once >= CUTS_MIN) {
        const int cut = cheapest(cuts);
        const double more_mm2 = cuts->more[cut] * at_once;
        if (more_mm2 > left_mm2) {
            return;
        }
        left_mm2 -= more_mm2;
        take_away(cuts, cut);
        if (at_once == 2) {
            take_away(cuts, cuts->paired - cut);
        }
    }
}

// Turns cuts that are nearly square quite square.
static void square_up(Cuts *cuts)
{
    int cut = cuts->any;
    for (int i = 0; i < cuts->count; i++) {
        Point *along = &cuts->along[cut];
        if (fabs(along->y) < SQUARE_SINE) {
            *along = (Point){copysign(1, along->x), 0};
        } else if (fabs(along->x) < SQUARE_SINE) {
            *along = (Point){0, copysign(1, along->y)};
        }
        cut = cuts->next[cut];
    }
}

// Squaring can lay two cuts side by side or take more than the waste allows.
static bool squared_serves(const Cuts *cuts, Ring ring, Ring plain, double most_mm2, Arena *scratch)
{
    int cut = cuts->any;
    for (int i = 0; i < cuts->count; i++) {
        const int next = cuts->next[cut];
        if (point_cross(cuts->along[cut], cuts->along[next]) < SQUARE_SINE / 2) {
            return false;
        }
        cut = next;
    }
    const double squared_mm2 = ring_area_mm2(laid_against(cuts, ring, scratch));
    return squared_mm2 <= fmax(most_mm2, ring_area_mm2(plain));
}

Ring cover_straight_cuts(Ring ring, double waste, Arena *keep, Arena *scratch)
{
    assert(waste >= 0);
    const ArenaMark mark = arena_mark(scratch);
    const Ring hull = ring_convex_hull(ring.points, ring.count, scratch);
    const double hull_mm2 = ring_area_mm2(hull);
    if (hull.count < CUTS_MIN || !(hull_mm2 > 0)) {
        arena_rewind(scratch, mark);
        return ring_moved(ring, (Motion){0}, keep);
    }
    Cuts cuts = ring_looks_mirrored(hull, ALIKE_MM) ? paired_cuts_of_hull(hull, scratch)
                                                    : cuts_of_hull(hull, scratch);
    take_away_cheapest(&cuts, waste * hull_mm2);
    const Ring plain = laid_against(&cuts, ring, scratch);
    square_up(&cuts);
    const double most_mm2 = (1 + waste) * hull_mm2;
    const Ring result = squared_serves(&cuts, ring, plain, most_mm2, scratch)
                            ? laid_against(&cuts, ring, keep)
                            : ring_moved(plain, (Motion){0}, keep);
    arena_rewind(scratch, mark);
    return result;
}
