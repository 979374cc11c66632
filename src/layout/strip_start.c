#include "layout/strip_start.h"

#include "plane/lattice.h"

#include <math.h>

enum { TRIES = 150, SLIDE_ROUNDS = 3 };

// Halves the way until it is one unit. Whatever lies between is jumped over, since only
// the place reached must be free. True when it moved.
static bool slide(Strip *strip, int copy, double way_x, double way_y)
{
    Extent range;
    if (!strip_range(strip, copy, strip->spots[copy].turned, &range)) {
        return false;
    }
    const double room =
        way_x < 0 ? strip->spots[copy].x - range.left : strip->spots[copy].y - range.low;
    bool moved = false;
    double step = exp2(floor(log2(fmax(1, room))));
    while (step >= 1) {
        Spot to = strip->spots[copy];
        to.x += way_x * step;
        to.y += way_y * step;
        if (to.x >= range.left && to.y >= range.low && strip_free(strip, copy, to)) {
            strip_put(strip, copy, to);
            moved = true;
        }
        step /= 2;
    }
    return moved;
}

static void settle(Strip *strip, int copy)
{
    bool moved = true;
    for (int i = 0; i < SLIDE_ROUNDS && moved; i++) {
        moved = slide(strip, copy, -1, 0);
        moved |= slide(strip, copy, 0, -1);
    }
}

// Copies in the order in which `before` ranks them: an insertion sort, stable.
typedef bool Before(const Strip *strip, int copy, int other);

static int *ordered(const Strip *strip, Before *before, Arena *arena)
{
    int *order = ARENA_ARRAY(arena, int, strip->count);
    for (int i = 0; i < strip->count; i++) {
        int at = i;
        while (at > 0 && before(strip, i, order[at - 1])) {
            order[at] = order[at - 1];
            at--;
        }
        order[at] = i;
    }
    return order;
}

static bool larger(const Strip *strip, int copy, int other)
{
    return strip->pieces[strip->piece_of[copy]].area > strip->pieces[strip->piece_of[other]].area;
}

static bool farther_left(const Strip *strip, int copy, int other)
{
    return strip->boxes[copy].left < strip->boxes[other].left;
}

void strip_slide(Strip *strip)
{
    const ArenaMark mark = arena_mark(strip->scratch);
    const int *order = ordered(strip, farther_left, strip->scratch);
    bool more = true;
    for (int i = 0; i < strip->count && more; i++) {
        settle(strip, order[i]);
        more = strip_work(strip, 0);
    }
    arena_rewind(strip->scratch, mark);
}

// The turn in which a copy is shortest.
static int shortest_turn(const Strip *strip, int copy)
{
    const StripPiece *piece = &strip->pieces[strip->piece_of[copy]];
    int best = 0;
    for (int i = 1; i < piece->turned_count; i++) {
        const Extent a = piece->turned[i].bare;
        const Extent b = piece->turned[best].bare;
        best = a.right - a.left < b.right - b.left ? i : best;
    }
    return best;
}

// Behind all that has its box to the left of `from`; on the floor.
static Spot at_the_end(const Strip *strip, int copy, double from)
{
    const int turned = shortest_turn(strip, copy);
    const Turned *one = strip_turned(strip, copy, turned);
    return (Spot){turned, fmax(from - one->box.left, -one->bare.left), -one->bare.low};
}

static double box_end(const Strip *strip, const int *order, int count)
{
    double end = 0;
    for (int i = 0; i < count; i++) {
        end = fmax(end, strip->boxes[order[i]].right);
    }
    return end;
}

static void lay_one(Strip *strip, const int *order, int number)
{
    const int copy = order[number];
    Spot best = at_the_end(strip, copy, box_end(strip, order, number));
    const Turned *one = strip_turned(strip, copy, best.turned);
    double best_end = best.x + one->bare.right;
    strip->length = best_end;
    for (int i = 0; i < TRIES && strip_work(strip, 20); i++) {
        const int turned =
            random_below(&strip->random, strip->pieces[strip->piece_of[copy]].turned_count);
        Extent range;
        if (!strip_range(strip, copy, turned, &range)) {
            continue;
        }
        const Spot spot = {turned,
                           floor(random_between(&strip->random, range.left, range.right + 1)),
                           floor(random_between(&strip->random, range.low, range.top + 1))};
        const double end = spot.x + strip_turned(strip, copy, turned)->bare.right;
        if (end < best_end && strip_free(strip, copy, spot)) {
            best = spot;
            best_end = end;
        }
    }
    strip_put(strip, copy, best);
    settle(strip, copy);
}

void strip_start(Strip *strip)
{
    const ArenaMark mark = arena_mark(strip->scratch);
    const int *order = ordered(strip, larger, strip->scratch);
    for (int i = 0; i < strip->count; i++) {
        // Not laid yet: a box that meets nothing.
        strip->boxes[i] = (Extent){HUGE_VAL, HUGE_VAL, -HUGE_VAL, -HUGE_VAL};
    }
    for (int i = 0; i < strip->count; i++) {
        lay_one(strip, order, i);
    }
    strip->length = strip_extent(strip);
    arena_rewind(strip->scratch, mark);
}

void strip_row(Strip *strip)
{
    double end = 0;
    for (int i = 0; i < strip->count; i++) {
        strip_put(strip, i, at_the_end(strip, i, end));
        end = strip->boxes[i].right + LATTICE_PER_MM;
    }
    strip->length = strip_extent(strip);
}
