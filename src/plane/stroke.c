#include "plane/stroke.h"

#include <stdbool.h>
#include <string.h>

typedef struct Stretch {
    int from;
    int to;
} Stretch;

static double distance_to(Point p, Point a, Point b)
{
    return point_distance(p, point_on_segment(p, a, b));
}

// Marks the points that are kept between two that are.
static void mark_kept(const Point *points, Stretch whole, double within_mm, bool *kept,
                      Arena *scratch)
{
    const ArenaMark mark = arena_mark(scratch);
    Stretch *open = ARENA_ARRAY(scratch, Stretch, whole.to - whole.from + 1);
    int open_count = 0;
    open[open_count++] = whole;
    while (open_count > 0) {
        const Stretch at = open[--open_count];
        int furthest = -1;
        double most_mm = within_mm;
        for (int i = at.from + 1; i < at.to; i++) {
            const double away_mm = distance_to(points[i], points[at.from], points[at.to]);
            if (away_mm > most_mm) {
                most_mm = away_mm;
                furthest = i;
            }
        }
        if (furthest >= 0) {
            kept[furthest] = true;
            open[open_count++] = (Stretch){at.from, furthest};
            open[open_count++] = (Stretch){furthest, at.to};
        }
    }
    arena_rewind(scratch, mark);
}

int stroke_simplify(const Point *points, int count, double within_mm, Point *out, Arena *scratch)
{
    const ArenaMark mark = arena_mark(scratch);
    bool *kept = ARENA_ARRAY(scratch, bool, count);
    kept[0] = true;
    kept[count - 1] = true;
    mark_kept(points, (Stretch){0, count - 1}, within_mm, kept, scratch);
    int made = 0;
    for (int i = 0; i < count; i++) {
        if (kept[i]) {
            out[made++] = points[i];
        }
    }
    arena_rewind(scratch, mark);
    return made;
}

// Where two segments cross, ends among them.
static bool crosses(Point a, Point b, Point c, Point d, Point *place)
{
    const Point ab = point_minus(b, a);
    const Point cd = point_minus(d, c);
    const double turn = point_cross(ab, cd);
    if (turn == 0) {
        return false;
    }
    const Point ac = point_minus(c, a);
    const double along_ab = point_cross(ac, cd) / turn;
    const double along_cd = point_cross(ac, ab) / turn;
    *place = point_between(a, b, along_ab);
    return along_ab >= 0 && along_ab <= 1 && along_cd >= 0 && along_cd <= 1;
}

// A line without its tails: from `place` on segment `from` to the same place on segment `to`.
typedef struct Loop {
    int from;
    int to;
    Point place;
    bool found;
} Loop;

static Loop find_loop(const Point *points, int count, Arena *scratch)
{
    static const double tail_share = 0.2;
    double *way_mm = ARENA_ARRAY(scratch, double, count);
    for (int i = 1; i < count; i++) {
        way_mm[i] = way_mm[i - 1] + point_distance(points[i - 1], points[i]);
    }
    const double all_mm = way_mm[count - 1];
    const double tail_mm = tail_share * all_mm;
    Loop best = {.found = false};
    double least_mm = 2 * tail_mm;
    for (int i = 0; i + 3 < count && way_mm[i] <= tail_mm; i++) {
        for (int j = count - 2; j > i + 1 && way_mm[j + 1] >= all_mm - tail_mm; j--) {
            const double tails_mm = way_mm[i] + all_mm - way_mm[j + 1];
            Point place;
            if (tails_mm < least_mm &&
                crosses(points[i], points[i + 1], points[j], points[j + 1], &place)) {
                least_mm = tails_mm;
                best = (Loop){i, j, place, true};
            }
        }
    }
    return best;
}

Ring stroke_close(const Point *points, int count, double within_mm, Arena *keep, Arena *scratch)
{
    const ArenaMark mark = arena_mark(scratch);
    const Loop loop = find_loop(points, count, scratch);
    Point *round = ARENA_ARRAY(scratch, Point, count + 2);
    int length = 0;
    if (loop.found) {
        round[length++] = loop.place;
        for (int i = loop.from + 1; i <= loop.to; i++) {
            round[length++] = points[i];
        }
    } else {
        memcpy(round, points, (size_t)count * sizeof *round);
        length = count;
    }
    // Halved at the point furthest from the first, so that each half has two ends to stay.
    int furthest = 0;
    for (int i = 1; i < length; i++) {
        if (point_distance(round[0], round[i]) > point_distance(round[0], round[furthest])) {
            furthest = i;
        }
    }
    bool *kept = ARENA_ARRAY(scratch, bool, length + 1);
    round[length] = round[0];
    kept[0] = true;
    kept[furthest] = true;
    mark_kept(round, (Stretch){0, furthest}, within_mm, kept, scratch);
    mark_kept(round, (Stretch){furthest, length}, within_mm, kept, scratch);
    Point *made = ARENA_ARRAY(keep, Point, length);
    int made_count = 0;
    for (int i = 0; i < length; i++) {
        if (kept[i] && (made_count == 0 || point_distance(made[made_count - 1], round[i]) > 0)) {
            made[made_count++] = round[i];
        }
    }
    arena_rewind(scratch, mark);
    return (Ring){made, made_count};
}
