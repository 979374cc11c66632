#include "support/slow_judge.h"

#include <stdlib.h>

__extension__ typedef __int128 Wide;

enum { RINGS_MAX = 40 };

typedef struct Spot {
    int64_t x;
    int64_t y;
} Spot;

typedef struct Chain {
    Spot *spots;
    int count;
} Chain;

// Bottom over top is not reduced; bottom > 0.
typedef struct Fraction {
    Wide top;
    Wide bottom;
} Fraction;

// ---- fractions ----

static Fraction fraction(Wide top, Wide bottom)
{
    return bottom < 0 ? (Fraction){-top, -bottom} : (Fraction){top, bottom};
}

static Wide whole_part(Fraction f)
{
    const Wide quotient = f.top / f.bottom;
    return f.top % f.bottom < 0 ? quotient - 1 : quotient;
}

static bool is_small(Wide number)
{
    const Wide most = (Wide)1 << 62;
    return number < most && number > -most;
}

// Whole parts first; where they are alike, the rests turned over, the other way round
// (Euclid). So no product is larger than its factors.
static int compare(Fraction a, Fraction b)
{
    int sign = 1;
    for (;;) {
        if (is_small(a.top) && is_small(a.bottom) && is_small(b.top) && is_small(b.bottom)) {
            const Wide left = a.top * b.bottom;
            const Wide right = b.top * a.bottom;
            return sign * ((left > right) - (left < right));
        }
        const Wide whole_a = whole_part(a);
        const Wide whole_b = whole_part(b);
        if (whole_a != whole_b) {
            return whole_a > whole_b ? sign : -sign;
        }
        const Wide rest_a = a.top - whole_a * a.bottom;
        const Wide rest_b = b.top - whole_b * b.bottom;
        if (rest_a == 0 || rest_b == 0) {
            return sign * ((rest_a > 0) - (rest_b > 0));
        }
        a = (Fraction){a.bottom, rest_a};
        b = (Fraction){b.bottom, rest_b};
        sign = -sign;
    }
}

static int by_size(const void *a, const void *b)
{
    return compare(*(const Fraction *)a, *(const Fraction *)b);
}

// Tops and bottoms added up: somewhere between the two (the mediant).
static Fraction between(Fraction a, Fraction b)
{
    return (Fraction){a.top + b.top, a.bottom + b.bottom};
}

// ---- chains ----

static Spot chain_spot(const Chain *chain, int index)
{
    return chain->spots[index % chain->count];
}

static Chain chain_of(Ring ring, Motion motion, Arena *keep, bool *out_of_reach)
{
    const MotionMatrix matrix = motion_matrix(motion);
    Chain chain = {ARENA_ARRAY(keep, Spot, ring.count + 1), ring.count};
    for (int i = 0; i < ring.count; i++) {
        const Point p = motion_apply(matrix, ring.points[i]);
        const double x = round(p.x * 100);
        const double y = round(p.y * 100);
        if (!(fabs(x) <= (double)SLOW_JUDGE_MAX && fabs(y) <= (double)SLOW_JUDGE_MAX)) {
            *out_of_reach = true;
            return (Chain){0};
        }
        chain.spots[i] = (Spot){(int64_t)x, (int64_t)y};
    }
    return chain;
}

static int64_t cross(Spot from, Spot a, Spot b)
{
    return (a.x - from.x) * (b.y - from.y) - (a.y - from.y) * (b.x - from.x);
}

// The height at which two edges cross, by Cramer's rule; false when they are parallel or
// do not reach each other.
static bool crossing_height(Spot a, Spot b, Spot c, Spot d, Fraction *height)
{
    const int64_t below = (b.x - a.x) * (d.y - c.y) - (b.y - a.y) * (d.x - c.x);
    if (below == 0) {
        return false;
    }
    const int64_t along = (c.x - a.x) * (d.y - c.y) - (c.y - a.y) * (d.x - c.x);
    const int64_t across = (c.x - a.x) * (b.y - a.y) - (c.y - a.y) * (b.x - a.x);
    const Fraction zero = {0, 1};
    const Fraction one = {1, 1};
    const Fraction of_ab = fraction(along, below);
    const Fraction of_cd = fraction(across, below);
    if (compare(of_ab, zero) < 0 || compare(of_ab, one) > 0 || compare(of_cd, zero) < 0 ||
        compare(of_cd, one) > 0) {
        return false;
    }
    *height = fraction((Wide)a.y * below + (Wide)along * (b.y - a.y), below);
    return true;
}

// ---- areas ----

/// Whether a place is asked for, from what it is in: bit i for chain i.
typedef bool Wanted(uint64_t in);

typedef struct Cut {
    Fraction x;
    int chain;
} Cut;

static int by_place(const void *a, const void *b)
{
    return compare(((const Cut *)a)->x, ((const Cut *)b)->x);
}

static int all_edges(const Chain *chains, int count)
{
    int edges = 0;
    for (int i = 0; i < count; i++) {
        edges += chains[i].count;
    }
    return edges;
}

typedef struct Edge {
    Spot from;
    Spot to;
    int chain;
} Edge;

static int list_edges(const Chain *chains, int count, Edge *edges)
{
    int listed = 0;
    for (int i = 0; i < count; i++) {
        for (int k = 0; k < chains[i].count; k++) {
            edges[listed++] = (Edge){chains[i].spots[k], chain_spot(&chains[i], k + 1), i};
        }
    }
    return listed;
}

static int list_heights(const Edge *edges, int count, Fraction *heights)
{
    int listed = 0;
    for (int i = 0; i < count; i++) {
        heights[listed++] = (Fraction){edges[i].from.y, 1};
        for (int k = i + 1; k < count; k++) {
            listed += crossing_height(edges[i].from, edges[i].to, edges[k].from, edges[k].to,
                                      &heights[listed]);
        }
    }
    qsort(heights, (size_t)listed, sizeof *heights, by_size);
    return listed;
}

// Looks along one level at which no edge begins, ends or meets another.
static bool wanted_along(const Edge *edges, int edge_count, Fraction level, Wanted *wanted,
                         Cut *cuts)
{
    int count = 0;
    for (int i = 0; i < edge_count; i++) {
        const Spot a = edges[i].from;
        const Spot b = edges[i].to;
        const bool a_above = a.y * level.bottom > level.top;
        const bool b_above = b.y * level.bottom > level.top;
        if (a_above == b_above) {
            continue;
        }
        const Wide rise = b.y - a.y;
        const Wide up = level.top - a.y * level.bottom;
        cuts[count++] = (Cut){
            fraction(a.x * level.bottom * rise + up * (b.x - a.x), level.bottom * rise),
            edges[i].chain,
        };
    }
    qsort(cuts, (size_t)count, sizeof *cuts, by_place);
    uint64_t in = 0;
    for (int i = 0; i + 1 < count; i++) {
        in ^= 1ULL << cuts[i].chain;
        if (wanted(in) && compare(cuts[i].x, cuts[i + 1].x) < 0) {
            return true;
        }
    }
    return false;
}

// Whether any area is wanted; lines and points are none. By the even-odd rule.
static bool any_area(const Chain *chains, int count, Wanted *wanted, Arena *scratch)
{
    const ArenaMark mark = arena_mark(scratch);
    Edge *edges = ARENA_ARRAY(scratch, Edge, all_edges(chains, count));
    const int edge_count = list_edges(chains, count, edges);
    Fraction *heights = ARENA_ARRAY(scratch, Fraction, edge_count * (edge_count + 3) / 2);
    Cut *cuts = ARENA_ARRAY(scratch, Cut, edge_count);
    const int height_count = list_heights(edges, edge_count, heights);
    bool found = false;
    for (int i = 0; i + 1 < height_count && !found; i++) {
        found = compare(heights[i], heights[i + 1]) < 0 &&
                wanted_along(edges, edge_count, between(heights[i], heights[i + 1]), wanted, cuts);
    }
    arena_rewind(scratch, mark);
    return found;
}

// Chain 0 is the piece, chain 1 the outline or the outer ring; holes follow.
static bool in_both(uint64_t in)
{
    return (in & 3) == 3;
}

static bool in_area(uint64_t in)
{
    return in == 3;
}

static bool off_sheet(uint64_t in)
{
    return (in & 1) && in != 3;
}

// ---- distances ----

// Whether a spot is nearer to an edge than the gap: to the place on the edge that is
// nearest, a share of the way along.
static bool spot_nearer(Spot p, Spot a, Spot b, int64_t gap)
{
    const int64_t along_x = b.x - a.x;
    const int64_t along_y = b.y - a.y;
    const int64_t whole = along_x * along_x + along_y * along_y;
    int64_t share = (p.x - a.x) * along_x + (p.y - a.y) * along_y;
    share = share < 0 ? 0 : share > whole ? whole : share;
    if (whole == 0) {
        return (Wide)(p.x - a.x) * (p.x - a.x) + (Wide)(p.y - a.y) * (p.y - a.y) < (Wide)gap * gap;
    }
    const Wide off_x = (Wide)(p.x - a.x) * whole - (Wide)share * along_x;
    const Wide off_y = (Wide)(p.y - a.y) * whole - (Wide)share * along_y;
    return off_x * off_x + off_y * off_y < ((Wide)gap * whole) * ((Wide)gap * whole);
}

static bool edges_nearer(Edge a, Edge b, int64_t gap)
{
    Fraction height;
    return crossing_height(a.from, a.to, b.from, b.to, &height) ||
           spot_nearer(a.from, b.from, b.to, gap) || spot_nearer(a.to, b.from, b.to, gap) ||
           spot_nearer(b.from, a.from, a.to, gap) || spot_nearer(b.to, a.from, a.to, gap);
}

static bool chains_nearer(const Chain *a, const Chain *b, int64_t gap)
{
    for (int i = 0; gap > 0 && i < a->count; i++) {
        const Edge edge = {a->spots[i], chain_spot(a, i + 1), 0};
        for (int k = 0; k < b->count; k++) {
            if (edges_nearer(edge, (Edge){b->spots[k], chain_spot(b, k + 1), 0}, gap)) {
                return true;
            }
        }
    }
    return false;
}

// ---- whether a chain is simple ----

static bool on_edge(Spot p, Spot a, Spot b)
{
    return cross(a, b, p) == 0 && (p.x - a.x) * (p.x - b.x) <= 0 && (p.y - a.y) * (p.y - b.y) <= 0;
}

static bool edges_touch(Spot a, Spot b, Spot c, Spot d)
{
    Fraction height;
    return crossing_height(a, b, c, d, &height) || on_edge(a, c, d) || on_edge(b, c, d) ||
           on_edge(c, a, b) || on_edge(d, a, b);
}

// The chain without spots that repeat the one before.
static Chain without_repeats(const Chain *chain, Arena *keep)
{
    Chain result = {ARENA_ARRAY(keep, Spot, chain->count + 1), 0};
    for (int i = 0; i < chain->count; i++) {
        const Spot next = chain_spot(chain, i + 1);
        if (next.x != chain->spots[i].x || next.y != chain->spots[i].y) {
            result.spots[result.count++] = chain->spots[i];
        }
    }
    return result;
}

static bool is_simple(const Chain *rounded, Arena *scratch)
{
    const Chain chain = without_repeats(rounded, scratch);
    for (int i = 0; i < chain.count; i++) {
        const Spot a = chain.spots[i];
        const Spot b = chain_spot(&chain, i + 1);
        if (on_edge(chain_spot(&chain, i + 2), a, b) || on_edge(a, b, chain_spot(&chain, i + 2))) {
            return false;
        }
        const int end = i == 0 ? chain.count - 1 : chain.count;
        for (int k = i + 2; k < end; k++) {
            if (edges_touch(a, b, chain.spots[k], chain_spot(&chain, k + 1))) {
                return false;
            }
        }
    }
    return chain.count >= 3;
}

// ---- the verdict ----

typedef struct Slow {
    const LayoutTask *task;
    const Placement *placements;
    int count;
    Chain (*chains)[LAYOUT_DEPTHS];
    bool *sound;
    SlowVerdict verdict;
    int capacity;
    Arena *keep;
} Slow;

static void fault(Slow *slow, LayoutFaultKind kind, int placement, int other, int depth)
{
    SlowVerdict *verdict = &slow->verdict;
    verdict->faults = arena_room(slow->keep, verdict->faults, verdict->count, &slow->capacity,
                                 sizeof *verdict->faults);
    verdict->faults[verdict->count++] = (LayoutFault){kind, placement, other, depth};
}

static Chain noted_chain(Slow *slow, Ring ring, Motion motion)
{
    const Chain chain = chain_of(ring, motion, slow->keep, &slow->verdict.out_of_reach);
    slow->verdict.simple &= is_simple(&chain, slow->keep);
    return chain;
}

static void judge_numbers(Slow *slow)
{
    for (int i = 0; i < slow->count; i++) {
        const Placement *placement = &slow->placements[i];
        slow->sound[i] = placement->piece >= 0 && placement->piece < slow->task->piece_count &&
                         placement->sheet >= 0 && placement->sheet < slow->task->sheet_count;
        int alike = 0;
        for (int k = 0; k <= i; k++) {
            alike += slow->placements[k].piece == placement->piece;
        }
        if (!slow->sound[i] || alike > slow->task->pieces[placement->piece].demand) {
            fault(slow, LAYOUT_COUNT, i, -1, 0);
        }
    }
}

// Turns the placement back, whole periods at a time, and compares.
static bool turn_allowed(const Piece *piece, double turn_rad)
{
    const double whole_rad = 6.283185307179586;
    for (int lap = -80; lap <= 80; lap++) {
        for (int i = 0; i < piece->turn_count; i++) {
            const double turned = turn_rad + lap * whole_rad / (piece->turn_symmetry == 2 ? 2 : 1);
            if (turned >= piece->turns[i].from_rad - 1e-9 &&
                turned <= piece->turns[i].to_rad + 1e-9) {
                return true;
            }
        }
    }
    return piece->turn_symmetry == 0;
}

static void judge_alone(Slow *slow, int index)
{
    const Placement *placement = &slow->placements[index];
    const Piece *piece = &slow->task->pieces[placement->piece];
    if (!turn_allowed(piece, placement->motion.turn_rad)) {
        fault(slow, LAYOUT_TURN, index, -1, 0);
    }
    for (int depth = 0; depth < piece->depth_count; depth++) {
        slow->chains[index][depth] = noted_chain(slow, piece->outline[depth], placement->motion);
    }
    const Chain *whole = &slow->chains[index][0];
    if (without_repeats(whole, slow->keep).count < 3) {
        slow->sound[index] = false;
        fault(slow, LAYOUT_COUNT, index, -1, 0);
    }
}

static void judge_place(Slow *slow, int index)
{
    const Sheet *sheet = &slow->task->sheets[slow->placements[index].sheet];
    Chain chains[RINGS_MAX] = {slow->chains[index][0],
                               noted_chain(slow, sheet->outline, (Motion){0})};
    for (int i = 0; i < sheet->hole_count && i + 2 < RINGS_MAX; i++) {
        chains[i + 2] = noted_chain(slow, sheet->holes[i], (Motion){0});
    }
    if (any_area(chains, 2 + sheet->hole_count, off_sheet, slow->keep)) {
        fault(slow, LAYOUT_OFF_SHEET, index, -1, 0);
    }
    for (int depth = 0; depth < slow->task->pieces[slow->placements[index].piece].depth_count;
         depth++) {
        for (int i = 0; i < sheet->forbidden[depth].count; i++) {
            const Polygon area = sheet->forbidden[depth].items[i];
            chains[0] = slow->chains[index][depth];
            chains[1] = noted_chain(slow, area.outer, (Motion){0});
            for (int k = 0; k < area.hole_count && k + 2 < RINGS_MAX; k++) {
                chains[k + 2] = noted_chain(slow, area.holes[k], (Motion){0});
            }
            if (any_area(chains, 2 + area.hole_count, in_area, slow->keep)) {
                fault(slow, LAYOUT_ON_FORBIDDEN, index, i, depth);
            }
        }
    }
}

static void judge_pair(Slow *slow, int i, int k)
{
    const Placement *a = &slow->placements[i];
    const Placement *b = &slow->placements[k];
    const Chain chains[2] = {slow->chains[i][0], slow->chains[k][0]};
    const Piece *pieces = slow->task->pieces;
    double gap_mm = slow->task->sheets[a->sheet].gap_mm;
    gap_mm = gap_mm < pieces[a->piece].gap_mm ? pieces[a->piece].gap_mm : gap_mm;
    gap_mm = gap_mm < pieces[b->piece].gap_mm ? pieces[b->piece].gap_mm : gap_mm;
    // Up to the next 0.01 mm, but not for a millionth of it: a rounding of the decimal.
    int64_t gap = (int64_t)(gap_mm * 100);
    gap += gap_mm * 100 - (double)gap > 1e-6;
    if (any_area(chains, 2, in_both, slow->keep)) {
        fault(slow, LAYOUT_OVERLAP, i, k, 0);
    } else if (chains_nearer(&chains[0], &chains[1], gap)) {
        fault(slow, LAYOUT_GAP, i, k, 0);
    }
}

static int by_fault(const void *a, const void *b)
{
    const LayoutFault *first = a;
    const LayoutFault *second = b;
    const int of_first[] = {(int)first->kind, first->placement, first->other, first->depth};
    const int of_second[] = {(int)second->kind, second->placement, second->other, second->depth};
    for (int i = 0; i < 4; i++) {
        if (of_first[i] != of_second[i]) {
            return of_first[i] < of_second[i] ? -1 : 1;
        }
    }
    return 0;
}

void slow_judge_sort(LayoutFault *faults, int count)
{
    if (count > 0) {
        qsort(faults, (size_t)count, sizeof *faults, by_fault);
    }
}

// Hole is chain 0 here: some of it is off the outer ring, or in another hole.
static bool off_outer(uint64_t in)
{
    return (in & 1) && (in & 6) != 2;
}

static int64_t lesser(int64_t a, int64_t b)
{
    return a < b ? a : b;
}

// Of two edges on one line; compared along the axis on which the first is not a point.
static bool share_a_stretch(Spot a, Spot b, Spot c, Spot d)
{
    const bool upright = a.x == b.x;
    const int64_t from = upright ? lesser(a.y, b.y) : lesser(a.x, b.x);
    const int64_t to = upright ? -lesser(-a.y, -b.y) : -lesser(-a.x, -b.x);
    const int64_t other_from = upright ? lesser(c.y, d.y) : lesser(c.x, d.x);
    const int64_t other_to = upright ? -lesser(-c.y, -d.y) : -lesser(-c.x, -d.x);
    return -lesser(-from, -other_from) < lesser(to, other_to);
}

static bool edges_run_along(const Chain *a, const Chain *b)
{
    for (int i = 0; i < a->count; i++) {
        const Spot from = a->spots[i];
        const Spot to = chain_spot(a, i + 1);
        for (int k = 0; k < b->count; k++) {
            const Spot other = b->spots[k];
            const Spot next = chain_spot(b, k + 1);
            // On one line, and the inner two of the four ends are different places.
            if (cross(from, to, other) == 0 && cross(from, to, next) == 0 &&
                share_a_stretch(from, to, other, next)) {
                return true;
            }
        }
    }
    return false;
}

bool slow_judge_polygon(Polygon area, Arena *keep)
{
    bool far = false;
    const Chain outer = chain_of(area.outer, (Motion){0}, keep, &far);
    bool sound = !far && is_simple(&outer, keep);
    for (int i = 0; sound && i < area.hole_count; i++) {
        const Chain hole = chain_of(area.holes[i], (Motion){0}, keep, &far);
        sound = !far && is_simple(&hole, keep) && !edges_run_along(&hole, &outer) &&
                !any_area((Chain[]){hole, outer}, 2, off_outer, keep);
        for (int k = 0; sound && k < i; k++) {
            const Chain before = chain_of(area.holes[k], (Motion){0}, keep, &far);
            sound = !edges_run_along(&hole, &before) &&
                    !any_area((Chain[]){hole, before}, 2, in_both, keep);
        }
    }
    return sound;
}

SlowVerdict slow_judge(const LayoutTask *task, const Placement *placements, int count, Arena *keep)
{
    Slow slow = {.task = task,
                 .placements = placements,
                 .count = count,
                 .chains = arena_alloc(keep, (size_t)count + 1, sizeof *slow.chains),
                 .sound = ARENA_ARRAY(keep, bool, count + 1),
                 .verdict = {.simple = true},
                 .keep = keep};
    judge_numbers(&slow);
    for (int i = 0; i < count; i++) {
        if (slow.sound[i]) {
            judge_alone(&slow, i);
        }
    }
    for (int i = 0; i < count && !slow.verdict.out_of_reach; i++) {
        if (slow.sound[i]) {
            judge_place(&slow, i);
        }
        for (int k = i + 1; slow.sound[i] && k < count; k++) {
            if (slow.sound[k] && placements[i].sheet == placements[k].sheet) {
                judge_pair(&slow, i, k);
            }
        }
    }
    slow_judge_sort(slow.verdict.faults, slow.verdict.count);
    return slow.verdict;
}
