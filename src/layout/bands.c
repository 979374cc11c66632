#include "layout/bands.h"

#include "layout/floor_div.h"

#include <assert.h>
#include <limits.h>
#include <stdlib.h>
#include <string.h>

// Farther left or right than anything; sums of three of them still fit.
enum { FAR_AWAY = 700000000 };
// Of a crossing computed in doubles, in lattice units.
static const double rounding = 1e-6;

typedef struct BandRange {
    int first;
    int last;
} BandRange;

static int ceil_div(int64_t value, int by)
{
    return -floor_div_wide(-value, by);
}

// The bands that meet the open interval of y, as far as they are wanted.
static BandRange bands_of(const Outlining *outlining, int64_t low, int64_t high)
{
    BandRange range = {floor_div_wide(low, outlining->grid.height),
                       ceil_div(high, outlining->grid.height) - 1};
    range.first = range.first > outlining->first ? range.first : outlining->first;
    range.last = range.last < outlining->last ? range.last : outlining->last;
    return range;
}

static void add_stretch(Outlining *outlining, int band, int64_t left, int64_t right)
{
    outlining->stretches = arena_room(outlining->scratch, outlining->stretches, outlining->count,
                                      &outlining->capacity, sizeof(Stretch));
    outlining->stretches[outlining->count++] = (Stretch){band, (int32_t)left, (int32_t)right};
}

static void add_crossing(Outlining *outlining, int band, double x)
{
    outlining->crossings =
        arena_room(outlining->scratch, outlining->crossings, outlining->crossing_count,
                   &outlining->crossing_capacity, sizeof(Stretch));
    outlining->crossings[outlining->crossing_count++] = (Stretch){band, (int32_t)round(x), 0};
}

// An edge from below to above, counted from the grid's corner.
typedef struct Edge {
    LatticePoint a;
    LatticePoint b;
    double slope; // of x over y
} Edge;

static Edge edge_of(const Outlining *outlining, LatticePoint from, LatticePoint to)
{
    if (from.y > to.y) {
        const LatticePoint swap = from;
        from = to;
        to = swap;
    }
    const LatticePoint corner = outlining->grid.corner;
    Edge edge = {.a = {from.x - corner.x, from.y - corner.y},
                 .b = {to.x - corner.x, to.y - corner.y}};
    if (edge.b.y > edge.a.y) {
        edge.slope = (double)(edge.b.x - edge.a.x) / (double)(edge.b.y - edge.a.y);
    }
    return edge;
}

static double x_at(const Edge *edge, double y)
{
    return (double)edge->a.x + edge->slope * (y - (double)edge->a.y);
}

// What the edge itself has on a band: exact at its ends and where it is upright.
static void add_edge_stretch(Outlining *outlining, const Edge *edge, int band)
{
    const int64_t low = (int64_t)band * outlining->grid.height;
    const int64_t high = low + outlining->grid.height;
    int64_t left = edge->a.x < edge->b.x ? edge->a.x : edge->b.x;
    int64_t right = edge->a.x < edge->b.x ? edge->b.x : edge->a.x;
    const bool clipped = edge->a.y < low || edge->b.y > high;
    if (clipped && edge->a.x != edge->b.x) {
        const double from = edge->a.y >= low ? (double)edge->a.x : x_at(edge, (double)low);
        const double to = edge->b.y <= high ? (double)edge->b.x : x_at(edge, (double)high);
        const int64_t least = (int64_t)floor(fmin(from, to) - rounding);
        const int64_t most = (int64_t)ceil(fmax(from, to) + rounding);
        left = least > left ? least : left;
        right = most < right ? most : right;
    }
    add_stretch(outlining, band, left, right);
}

// The half width of a disc on the band from `low` to `high` above its middle.
static double disc_half(double low, double high, double reach)
{
    const double far = low > 0 ? low : high < 0 ? -high : 0;
    return far < reach ? sqrt(reach * reach - far * far) : 0;
}

static void widen(double *least, double *most, double from, double to)
{
    *least = fmin(*least, from);
    *most = fmax(*most, to);
}

// All that is near an edge: discs at its ends and a strip between them. Convex, so on
// each band one stretch.
static void add_near_edge(Outlining *outlining, const Edge *edge, int reach)
{
    const double length = hypot((double)(edge->b.x - edge->a.x), (double)(edge->b.y - edge->a.y));
    const double aside_x = (double)(edge->b.y - edge->a.y) / length * reach;
    const double aside_y = (double)(edge->a.x - edge->b.x) / length * reach;
    const int height = outlining->grid.height;
    const BandRange range = bands_of(outlining, edge->a.y - reach, edge->b.y + reach);
    for (int band = range.first; band <= range.last; band++) {
        const double low = (double)band * height;
        const double high = low + height;
        double least = HUGE_VAL;
        double most = -HUGE_VAL;
        for (int end = 0; end < 2; end++) {
            const LatticePoint middle = end ? edge->b : edge->a;
            const double half = disc_half(low - (double)middle.y, high - (double)middle.y, reach);
            if (half > 0) {
                const double doubt = half < reach ? rounding : 0;
                widen(&least, &most, (double)middle.x - half - doubt,
                      (double)middle.x + half + doubt);
            }
        }
        // The strip's long sides; a flat one ends with the discs.
        for (int side = -1; side <= 1 && edge->b.y > edge->a.y; side += 2) {
            const double from = fmax(low - side * aside_y, (double)edge->a.y);
            const double to = fmin(high - side * aside_y, (double)edge->b.y);
            if (from <= to) {
                const double start = x_at(edge, from) + side * aside_x;
                const double end = x_at(edge, to) + side * aside_x;
                const double doubt = edge->a.x != edge->b.x ? rounding : 0;
                widen(&least, &most, fmin(start, end) - doubt, fmax(start, end) + doubt);
            }
        }
        if (least <= most) {
            add_stretch(outlining, band, (int64_t)floor(least), (int64_t)ceil(most));
        }
    }
}

static void add_crossings(Outlining *outlining, const Edge *edge)
{
    // Doubled, since a band's middle may lie between two units.
    const int64_t height = outlining->grid.height;
    const int first = ceil_div(2 * edge->a.y - height, 2 * outlining->grid.height);
    int band = first > outlining->first ? first : outlining->first;
    for (; band <= outlining->last && (2 * band + 1) * height < 2 * edge->b.y; band++) {
        add_crossing(outlining, band, x_at(edge, (band + 0.5) * (double)height));
    }
}

static void add_edge(Outlining *outlining, const Edge *edge, int reach)
{
    if (reach > 0) {
        add_near_edge(outlining, edge, reach);
    } else {
        // An edge along a band's border is held by its neighbours and by the inside.
        const BandRange range = bands_of(outlining, edge->a.y, edge->b.y);
        for (int band = range.first; band <= range.last; band++) {
            add_edge_stretch(outlining, edge, band);
        }
    }
    add_crossings(outlining, edge);
}

void outlining_add(Outlining *outlining, LatticeRing ring, int reach)
{
    for (int i = 0; i < ring.count; i++) {
        const LatticePoint to = ring.points[i + 1 == ring.count ? 0 : i + 1];
        const Edge edge = edge_of(outlining, ring.points[i], to);
        add_edge(outlining, &edge, reach);
    }
}

static int by_left(const void *a, const void *b)
{
    const Stretch *one = a;
    const Stretch *other = b;
    return (one->left > other->left) - (one->left < other->left);
}

// Few by insertion.
static void sort_band(Stretch *items, int count)
{
    enum { FEW = 40 };
    if (count > FEW) {
        qsort(items, (size_t)count, sizeof *items, by_left);
        return;
    }
    for (int i = 1; i < count; i++) {
        const Stretch item = items[i];
        int at = i;
        while (at > 0 && items[at - 1].left > item.left) {
            items[at] = items[at - 1];
            at--;
        }
        items[at] = item;
    }
}

// By band, then by the left end: sorted into bands by counting, then each band.
static Stretch *sorted(const Stretch *items, int count, Arena *scratch)
{
    Stretch *result = ARENA_ARRAY(scratch, Stretch, count + 1);
    if (count == 0) {
        return result;
    }
    int least = INT_MAX;
    int most = INT_MIN;
    for (int i = 0; i < count; i++) {
        least = items[i].band < least ? items[i].band : least;
        most = items[i].band > most ? items[i].band : most;
    }
    const int bands = most - least + 1;
    int *end = ARENA_ARRAY(scratch, int, bands + 1);
    for (int i = 0; i < count; i++) {
        end[items[i].band - least + 1]++;
    }
    for (int i = 0; i < bands; i++) {
        end[i + 1] += end[i];
    }
    int *begin = ARENA_ARRAY(scratch, int, bands + 1);
    memcpy(begin, end, (size_t)bands * sizeof *begin);
    for (int i = 0; i < count; i++) {
        const int band = items[i].band - least;
        result[end[band]++] = items[i];
    }
    for (int i = 0; i < bands; i++) {
        sort_band(result + begin[i], end[i] - begin[i]);
    }
    return result;
}

void outlining_fill(Outlining *outlining)
{
    const Stretch *at = sorted(outlining->crossings, outlining->crossing_count, outlining->scratch);
    for (int i = 0; i + 1 < outlining->crossing_count; i += 2) {
        assert(at[i].band == at[i + 1].band); // a closed ring crosses a line evenly
        add_stretch(outlining, at[i].band, at[i].left, at[i + 1].left);
    }
    outlining->crossing_count = 0;
}

void outlining_fill_outside(Outlining *outlining)
{
    const Stretch *at = sorted(outlining->crossings, outlining->crossing_count, outlining->scratch);
    int next = 0;
    for (int band = outlining->first; band <= outlining->last; band++) {
        int32_t from = -FAR_AWAY;
        while (next < outlining->crossing_count && at[next].band == band) {
            add_stretch(outlining, band, from, at[next].left);
            from = at[next + 1].left;
            next += 2;
        }
        add_stretch(outlining, band, from, FAR_AWAY);
    }
    outlining->crossing_count = 0;
}

// Overlapping and touching stretches of a band become one, and those no farther apart than
// the gap. Returns how many are left.
static int join(Stretch *items, int count, int32_t gap)
{
    int joined = 0;
    for (int i = 0; i < count; i++) {
        Stretch *before = joined > 0 ? &items[joined - 1] : NULL;
        if (before && before->band == items[i].band && items[i].left - before->right <= gap) {
            before->right = items[i].right > before->right ? items[i].right : before->right;
        } else {
            items[joined++] = items[i];
        }
    }
    return joined;
}

// For each stretch the part that it belongs to: that of a stretch on the band below
// which it shares a place with and which no other has continued, else a new one.
static int chain(const Stretch *items, int count, int *part_of)
{
    int parts = 0;
    int below = 0; // first stretch of the band below
    int here = 0;  // first stretch of this band
    int next = 0;  // of the band below, not yet continued
    for (int i = 0; i < count; i++) {
        if (i == 0 || items[i].band != items[i - 1].band) {
            const bool adjoins = i > 0 && items[i].band == items[i - 1].band + 1;
            below = adjoins ? here : i;
            here = i;
            next = below;
        }
        while (next < here && items[next].right < items[i].left) {
            next++;
        }
        const bool shares = next < here && items[next].left <= items[i].right;
        part_of[i] = shares ? part_of[next++] : parts++;
    }
    return parts;
}

Parts outlining_parts(Outlining *outlining, Arena *keep)
{
    return outlining_few_parts(outlining, INT_MAX, keep);
}

Parts outlining_few_parts(Outlining *outlining, int most, Arena *keep)
{
    Stretch *items = sorted(outlining->stretches, outlining->count, outlining->scratch);
    int count = join(items, outlining->count, 0);
    int *part_of = ARENA_ARRAY(outlining->scratch, int, count + 1);
    Parts parts = {.count = chain(items, count, part_of)};
    for (int32_t gap = 1; parts.count > most && gap < FAR_AWAY; gap *= 2) {
        count = join(items, count, gap);
        parts.count = chain(items, count, part_of);
    }
    parts.items = ARENA_ARRAY(keep, Part, parts.count + 1);
    for (int i = 0; i < count; i++) {
        parts.items[part_of[i]].count++;
    }
    for (int i = 0; i < parts.count; i++) {
        Part *part = &parts.items[i];
        part->left = ARENA_ARRAY(keep, int32_t, part->count);
        part->right = ARENA_ARRAY(keep, int32_t, part->count);
        part->count = 0;
    }
    for (int i = 0; i < count; i++) {
        Part *part = &parts.items[part_of[i]];
        const bool first = part->count == 0;
        part->first = first ? items[i].band : part->first;
        part->least = first || items[i].left < part->least ? items[i].left : part->least;
        part->most = first || items[i].right > part->most ? items[i].right : part->most;
        part->left[part->count] = items[i].left;
        part->right[part->count] = items[i].right;
        part->count++;
    }
    return parts;
}

// What two parts have in common: the ends of both on so many bands.
typedef struct Ends {
    const int32_t *left;
    const int32_t *right;
    const int32_t *moved_left;
    const int32_t *moved_right;
    int count;
} Ends;

static inline __attribute__((always_inline)) Span span_of(Ends ends)
{
    const int32_t *restrict left = ends.left;
    const int32_t *restrict right = ends.right;
    const int32_t *restrict moved_left = ends.moved_left;
    const int32_t *restrict moved_right = ends.moved_right;
    int32_t low = INT32_MAX;
    int32_t high = INT32_MIN;
    for (int i = 0; i < ends.count; i++) {
        const int32_t least = left[i] - moved_right[i];
        const int32_t most = right[i] - moved_left[i];
        low = least < low ? least : low;
        high = most > high ? most : high;
    }
    return (Span){low, high};
}

#if defined(__x86_64__)
// The same in wider vectors, where the machine has them: whole numbers, so the same answer.
__attribute__((target("avx2"))) static Span span_of_wide(Ends ends)
{
    return span_of(ends);
}
#endif

Span parts_overlap(const Part *still, const Part *moved, int bands)
{
    const int from_still = still->first;
    const int from_moved = moved->first + bands;
    const int from = from_still > from_moved ? from_still : from_moved;
    const int to_still = from_still + still->count;
    const int to_moved = from_moved + moved->count;
    const int count = (to_still < to_moved ? to_still : to_moved) - from;
    if (count <= 0) {
        return (Span){0, 0};
    }
    const Ends ends = {.left = still->left + (from - from_still),
                       .right = still->right + (from - from_still),
                       .moved_left = moved->left + (from - from_moved),
                       .moved_right = moved->right + (from - from_moved),
                       .count = count};
#if defined(__x86_64__)
    if (__builtin_cpu_supports("avx2")) {
        return span_of_wide(ends);
    }
#endif
    return span_of(ends);
}
