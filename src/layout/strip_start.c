#include "layout/strip_start.h"
#include "base/units.h"

#include "plane/lattice.h"

#include <math.h>
#include <stdint.h>

enum { SLIDE_ROUNDS = 3 };

// Halves the way until it is one unit. Whatever lies between is jumped over, since only
// the place reached must be free. True when it moved.
static bool slide(Strip *strip, int copy, double way_x, double way_y)
{
    const double room = way_x < 0 ? strip->spots[copy].x : strip->spots[copy].y;
    bool moved = false;
    double step = exp2(floor(log2(fmax(1, room))));
    while (step >= 1) {
        Spot to = strip->spots[copy];
        to.x += way_x * step;
        to.y += way_y * step;
        if (to.x >= 0 && to.y >= 0 && strip_free(strip, copy, to)) {
            strip->spots[copy] = to;
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
    int *order = ARENA_ARRAY(arena, int, strip->movable);
    for (int i = 0; i < strip->movable; i++) {
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
    return strip->spots[copy].x < strip->spots[other].x;
}

void strip_slide(Strip *strip)
{
    const ArenaMark mark = arena_mark(strip->scratch);
    const int *order = ordered(strip, farther_left, strip->scratch);
    bool more = true;
    for (int i = 0; i < strip->movable && more; i++) {
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
        best = piece->turned[i].width < piece->turned[best].width ? i : best;
    }
    return best;
}

// The places of a copy in one turn, of which the first free one is wanted.
typedef struct Free {
    uint8_t *blocked;    // [column * rows + row]
    double first_column; // of the grid
    int columns;
    int rows;
} Free;

// What lies already: the first `count` copies of an order, and whatever lies still.
typedef struct Lying {
    const int *order;
    int count;
    double end;       // of those copies
    double still_end; // beyond which nothing lies still
} Lying;

// Places that are looked at; of a longer strip only the last ones. 250 times as long as it is
// wide, on the usual grid.
static const double places_most = 1e7;

// Blocks the places where a copy would overlap one that lies.
static void block(const Strip *strip, const Free *places, const Pair *pair, Spot spot)
{
    const double column_of_spot = round(spot.x / strip->step) - places->first_column;
    if (column_of_spot + pair->left + pair->columns < 0) {
        return;
    }
    const int left = (int)column_of_spot + pair->left;
    const int low = (int)round(spot.y / strip->step) + pair->low;
    for (int row = 0; row < pair->rows; row++) {
        if (low + row < 0 || low + row >= places->rows) {
            continue;
        }
        for (int column = left < 0 ? -left : 0;
             column < pair->columns && left + column < places->columns; column++) {
            places->blocked[(left + column) * places->rows + low + row] |=
                pair->severity[row * pair->severity_stride + column] > 0;
        }
    }
}

// Whether what lies still can touch a piece at any of the places.
static bool in_reach(const Strip *strip, int still, const Turned *moved, const Free *places)
{
    const double x = strip->spots[still].x;
    const double from = places->first_column * strip->step;
    const double to = (places->first_column + places->columns) * strip->step + moved->width;
    return x < to + strip->row_gap &&
           x + strip_turned(strip, still, 0)->width > from - strip->row_gap;
}

static bool clear_of(Strip *strip, const Lying *lying, Spot spot, const Free *places)
{
    const int copy = lying->order[lying->count];
    for (int i = 0; i < lying->count; i++) {
        if (strip_severity(strip, copy, spot, lying->order[i]) > 0) {
            return false;
        }
    }
    const Turned *moved = strip_turned(strip, copy, spot.turned);
    for (int i = strip->movable; i < strip->all; i++) {
        if (in_reach(strip, i, moved, places) && strip_severity(strip, copy, spot, i) > 0) {
            return false;
        }
    }
    return true;
}

static void block_all(Strip *strip, const Lying *lying, const Turned *moved, const Free *places)
{
    for (int i = 0; i < lying->count; i++) {
        const Spot spot = strip->spots[lying->order[i]];
        const Turned *fixed = strip_turned(strip, lying->order[i], spot.turned);
        block(strip, places, strip_pair(strip, fixed, moved), spot);
    }
    for (int i = strip->movable; i < strip->all; i++) {
        if (in_reach(strip, i, moved, places)) {
            block(strip, places, strip_pair(strip, strip_turned(strip, i, 0), moved),
                  strip->spots[i]);
        }
    }
}

// The place farthest to the left in some columns of one turn, clear of all that lies.
static bool first_free_in(Strip *strip, const Lying *lying, int turned, double first_column,
                          double columns, Spot *found)
{
    const ArenaMark mark = arena_mark(strip->scratch);
    const Turned *moved = strip_turned(strip, lying->order[lying->count], turned);
    const double rows = floor((strip->width - moved->height) / strip->step) + 1;
    const Free places = {.blocked = ARENA_ARRAY(strip->scratch, uint8_t, columns * rows),
                         .first_column = first_column,
                         .columns = (int)columns,
                         .rows = (int)rows};
    block_all(strip, lying, moved, &places);
    strip_work(strip, 2.0 * places.columns * places.rows);
    bool any = false;
    for (int i = 0; i < places.columns * places.rows && !any; i++) {
        if (!places.blocked[i]) {
            const int column = i / places.rows;
            const int row = i % places.rows;
            *found =
                (Spot){turned, (places.first_column + column) * strip->step, row * strip->step};
            any = clear_of(strip, lying, *found, &places);
        }
    }
    arena_rewind(strip->scratch, mark);
    return any;
}

// As far as the copies lie; then on, some columns at a time, as far as anything lies still and a
// place could be better than one that ends at `least`.
static bool first_free(Strip *strip, const Lying *lying, int turned, double least, Spot *found)
{
    const Turned *moved = strip_turned(strip, lying->order[lying->count], turned);
    const double rows = floor((strip->width - moved->height) / strip->step) + 1;
    const double all = floor(lying->end / strip->step) + 2;
    const double columns = fmax(1, fmin(all, floor(places_most / rows)));
    bool any = first_free_in(strip, lying, turned, all - columns, columns, found);
    const double more = ceil(strip->width / strip->step);
    double column = all;
    while (!any && column * strip->step < lying->still_end &&
           column * strip->step + moved->width < least) {
        any = first_free_in(strip, lying, turned, column, more, found);
        column += more;
    }
    return any;
}

static void lay_one(Strip *strip, const Lying *lying, double end)
{
    const int copy = lying->order[lying->count];
    const StripPiece *piece = &strip->pieces[strip->piece_of[copy]];
    Spot best = {shortest_turn(strip, copy), end, 0};
    double least = HUGE_VAL;
    for (int turned = 0; turned < piece->turned_count; turned++) {
        Spot spot;
        if (!piece->turned[turned].fine && first_free(strip, lying, turned, least, &spot) &&
            spot.x + piece->turned[turned].width < least) {
            least = spot.x + piece->turned[turned].width;
            best = spot;
        }
    }
    strip->spots[copy] = best;
}

static double still_end(const Strip *strip)
{
    double end = 0;
    for (int i = strip->movable; i < strip->all; i++) {
        end = fmax(end, strip->spots[i].x + strip_turned(strip, i, 0)->width);
    }
    return end;
}

// A place to the right of all that lies still; 0 when nothing does.
static double beyond_still(const Strip *strip)
{
    return strip->movable < strip->all ? still_end(strip) + strip->row_gap : 0;
}

// Large pieces first, each where it ends farthest to the left among the grid's free places.
void strip_start(Strip *strip)
{
    const ArenaMark mark = arena_mark(strip->scratch);
    Lying lying = {.order = ordered(strip, larger, strip->scratch), .still_end = still_end(strip)};
    double end = beyond_still(strip);
    for (lying.count = 0; lying.count < strip->movable; lying.count++) {
        lay_one(strip, &lying, end);
        const int copy = lying.order[lying.count];
        const Spot spot = strip->spots[copy];
        const double to = spot.x + strip_turned(strip, copy, spot.turned)->width;
        lying.end = fmax(lying.end, to);
        end = fmax(end, to + strip->row_gap);
    }
    strip_set_length(strip, strip_extent(strip));
    arena_rewind(strip->scratch, mark);
}

void strip_row(Strip *strip)
{
    double end = beyond_still(strip);
    for (int i = 0; i < strip->movable; i++) {
        const int turned = shortest_turn(strip, i);
        strip->spots[i] = (Spot){turned, end, 0};
        end += strip_turned(strip, i, turned)->width + strip->row_gap;
    }
    strip_set_length(strip, strip_extent(strip));
}

// The turn nearest to one that is asked for, with the shift that belongs to that.
static AlikeTurn nearest_turn(const StripPiece *piece, double turn_rad)
{
    AlikeTurn best = {.turned = 0};
    double least_rad = HUGE_VAL;
    for (int i = 0; i < piece->turned_count + piece->alike_count; i++) {
        AlikeTurn one;
        if (i < piece->turned_count) {
            const Turned *turned = &piece->turned[i];
            one = (AlikeTurn){i, turned->turn_rad, turned->shift_x_mm, turned->shift_y_mm};
        } else {
            one = piece->alike[i - piece->turned_count];
        }
        const double apart_rad = fabs(remainder(one.turn_rad - turn_rad, WHOLE_TURN_RAD));
        if (apart_rad < least_rad) {
            least_rad = apart_rad;
            best = one;
        }
    }
    return best;
}

bool strip_take(Strip *strip, const Placement *placements)
{
    const ArenaMark mark = arena_mark(strip->scratch);
    bool *taken = ARENA_ARRAY(strip->scratch, bool, strip->movable + 1);
    bool all = true;
    for (int i = 0; i < strip->movable && all; i++) {
        const Placement *one = &placements[i];
        int copy = 0;
        while (copy < strip->movable && (taken[copy] || strip->piece_of[copy] != one->piece)) {
            copy++;
        }
        all = copy < strip->movable;
        if (all) {
            const StripPiece *piece = &strip->pieces[one->piece];
            const AlikeTurn at = nearest_turn(piece, one->motion.turn_rad);
            taken[copy] = true;
            strip->spots[copy] =
                (Spot){at.turned, round((one->motion.x_mm - at.shift_x_mm) * LATTICE_PER_MM),
                       round((one->motion.y_mm - at.shift_y_mm) * LATTICE_PER_MM)};
        }
    }
    arena_rewind(strip->scratch, mark);
    strip_set_length(strip, all ? strip_extent(strip) : 0);
    return all;
}
