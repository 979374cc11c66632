#include "layout/part_sum.h"

static int lowest(const double *x, const double *y, int count, double sign)
{
    int best = 0;
    for (int i = 1; i < count; i++) {
        const double higher = sign * (y[i] - y[best]);
        best = higher < 0 || (higher == 0 && sign * (x[i] - x[best]) < 0) ? i : best;
    }
    return best;
}

static Point edge(const ConvexPart *part, int index, double sign)
{
    const int from = index % part->count;
    const int to = (index + 1) % part->count;
    return (Point){sign * (part->x[to] - part->x[from]), sign * (part->y[to] - part->y[from])};
}

int part_sum_corners(const ConvexPart *first, const ConvexPart *second, Point *corners)
{
    const int a = lowest(first->x, first->y, first->count, 1);
    const int b = lowest(second->x, second->y, second->count, -1);
    Point at = {first->x[a] - second->x[b], first->y[a] - second->y[b]};
    int count = 0;
    for (int i = 0, j = 0; i < first->count || j < second->count;) {
        const Point mine = edge(first, a + i, 1);
        const Point theirs = edge(second, b + j, -1);
        double turn = point_cross(mine, theirs);
        turn = i == first->count ? -1 : j == second->count ? 1 : turn;
        corners[count++] = at;
        if (turn >= 0) {
            at.x += mine.x;
            at.y += mine.y;
            i++;
        }
        if (turn <= 0) {
            at.x += theirs.x;
            at.y += theirs.y;
            j++;
        }
    }
    return count;
}

Sum part_sum_of(const Point *corners, int count, Arena *keep)
{
    Side *sides = ARENA_ARRAY(keep, Side, count);
    for (int i = 0; i < count; i++) {
        const Point from = corners[i];
        const Point to = corners[(i + 1) % count];
        const double along_x = from.y - to.y;
        const double along_y = to.x - from.x;
        sides[i] = (Side){along_x, along_y, along_x * from.x + along_y * from.y};
    }
    return (Sum){sides, count};
}
