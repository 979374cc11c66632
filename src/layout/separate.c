#include "layout/separate.h"

#include "layout/severity.h"

#include <float.h>
#include <math.h>
#include <stddef.h>
#include <string.h>

enum {
    ANYWHERE = 24, // random places over the whole strip, for one move
    NEARBY = 12,   // random places near the present one
    KEPT = 3,      // the best of them are refined
    PATIENCE = 60, // sweeps without less overlap
    STRIKES = 2,   // such rows of sweeps
    REPORT_NANOS = 20000000,
};

// Circles deeper than this in each other meet for sure, whatever the lattice rounds.
static const float sure_depth = 4;
static const double weight_least_growth = 1.2;
static const double weight_greatest_growth = 2.0;
static const double weight_decay = 0.95;
static const double reach_share = 0.01;
// A row of sweeps counts as progress when it leaves this share of the overlap.
static const double progress_share = 0.98;

bool strip_work(Strip *strip, double nanoseconds)
{
    StripWork *work = &strip->work;
    work->done += nanoseconds;
    if (work->done - work->reported >= REPORT_NANOS) {
        work->reported = work->done;
        work->stopped |= !progress_report(work->progress, "shortening the strip",
                                          fmin(1, work->done / work->limit));
    }
    return !work->stopped && work->done < work->limit;
}

const Turned *strip_turned(const Strip *strip, int copy, int turned)
{
    return &strip->pieces[strip->piece_of[copy]].turned[turned];
}

bool strip_range(const Strip *strip, int copy, int turned, Extent *range)
{
    const Extent bare = strip_turned(strip, copy, turned)->bare;
    *range = (Extent){-bare.left, -bare.low, strip->length - bare.right, strip->width - bare.top};
    return range->left <= range->right && range->low <= range->top;
}

static Extent box_at(const Turned *turned, Spot spot)
{
    const Extent box = turned->box;
    return (Extent){box.left + spot.x, box.low + spot.y, box.right + spot.x, box.top + spot.y};
}

void strip_put(Strip *strip, int copy, Spot spot)
{
    strip->spots[copy] = spot;
    strip->boxes[copy] = box_at(strip_turned(strip, copy, spot.turned), spot);
}

double strip_extent(const Strip *strip)
{
    double extent = 0;
    for (int i = 0; i < strip->count; i++) {
        const Spot spot = strip->spots[i];
        extent = fmax(extent, spot.x + strip_turned(strip, i, spot.turned)->bare.right);
    }
    return extent;
}

static bool extents_meet(Extent a, Extent b)
{
    return a.left < b.right && b.left < a.right && a.low < b.top && b.low < a.top;
}

static bool meets(Strip *strip, int copy, Spot spot, int other)
{
    const Turned *a = strip_turned(strip, copy, spot.turned);
    const Spot at = strip->spots[other];
    const Turned *b = strip_turned(strip, other, at.turned);
    // Counted here, since a pair of long outlines takes longest of all.
    strip_work(strip, 60 + 3.0 * (a->count + b->count) + 0.4 * a->count * b->count);
    return turned_meet(a, b, at.x - spot.x, at.y - spot.y, strip->scratch);
}

bool strip_free(Strip *strip, int copy, Spot spot)
{
    const Extent box = box_at(strip_turned(strip, copy, spot.turned), spot);
    strip->work.done += 10 + 1.5 * strip->count;
    for (int i = 0; i < strip->count; i++) {
        if (i != copy && extents_meet(box, strip->boxes[i]) && meets(strip, copy, spot, i)) {
            return false;
        }
    }
    return true;
}

// How badly a pair overlaps; 0 when it does not.
static float pair_severity(Strip *strip, int copy, Spot spot, int other)
{
    const StripPiece *a = &strip->pieces[strip->piece_of[copy]];
    const StripPiece *b = &strip->pieces[strip->piece_of[other]];
    const Spot at = strip->spots[other];
    const float reach = (float)(reach_share * fmax(a->diameter, b->diameter));
    const Severity severity =
        turned_severity(&a->turned[spot.turned].circles, &b->turned[at.turned].circles,
                        (float)(at.x - spot.x), (float)(at.y - spot.y), reach);
    strip->work.done += 100;
    if (severity.depth <= sure_depth && !meets(strip, copy, spot, other)) {
        return 0;
    }
    return sqrtf(severity.sum) * a->hull_root * b->hull_root;
}

// What the greatest circles alone tell of a pair: never more than its severity.
static float least_severity(const Strip *strip, int copy, Spot spot, int other)
{
    const StripPiece *a = &strip->pieces[strip->piece_of[copy]];
    const StripPiece *b = &strip->pieces[strip->piece_of[other]];
    const Spot at = strip->spots[other];
    const Circles *mine = &a->turned[spot.turned].circles;
    const Circles *theirs = &b->turned[at.turned].circles;
    const float x = theirs->x[0] - mine->x[0] + (float)(at.x - spot.x);
    const float y = theirs->y[0] - mine->y[0] + (float)(at.y - spot.y);
    const float both = mine->radius[0] + theirs->radius[0];
    if (x * x + y * y >= both * both) {
        return 0;
    }
    const float depth = both - sqrtf(x * x + y * y);
    const float small = fminf(mine->radius[0], theirs->radius[0]);
    return depth > sure_depth ? sqrtf(2 * depth * small) * a->hull_root * b->hull_root : 0;
}

// Most places are bad, and show it by their greatest circles.
static bool clearly_past(const Strip *strip, int copy, Spot spot, double bound)
{
    const Extent box = box_at(strip_turned(strip, copy, spot.turned), spot);
    const float *weights = &strip->weights[(ptrdiff_t)copy * strip->count];
    double cost = 0;
    for (int i = 0; i < strip->count && cost < bound; i++) {
        if (i != copy && extents_meet(box, strip->boxes[i])) {
            cost += 0.999 * (double)(weights[i] * least_severity(strip, copy, spot, i));
        }
    }
    return cost >= bound;
}

// Weighted overlap of a copy at a spot; `bound` or more once it is past that, or once the
// user wants no more.
static double cost_at(Strip *strip, int copy, Spot spot, double bound)
{
    const Extent box = box_at(strip_turned(strip, copy, spot.turned), spot);
    const float *weights = &strip->weights[(ptrdiff_t)copy * strip->count];
    double cost = 0;
    strip->work.done += 30 + 2.0 * strip->count;
    if (strip->work.stopped || clearly_past(strip, copy, spot, bound)) {
        return bound;
    }
    strip->work.done += 10 + 1.5 * strip->count;
    for (int i = 0; i < strip->count && cost < bound; i++) {
        if (i != copy && extents_meet(box, strip->boxes[i])) {
            cost += (double)(weights[i] * pair_severity(strip, copy, spot, i));
        }
    }
    return cost;
}

// The severities of a copy with all others, both ways.
static void note_severities(Strip *strip, int copy)
{
    for (int i = 0; i < strip->count; i++) {
        float severity = 0;
        if (i != copy && extents_meet(strip->boxes[copy], strip->boxes[i])) {
            severity = pair_severity(strip, copy, strip->spots[copy], i);
        }
        strip->severities[copy * strip->count + i] = severity;
        strip->severities[i * strip->count + copy] = severity;
    }
}

static bool overlaps(const Strip *strip, int copy)
{
    for (int i = 0; i < strip->count; i++) {
        if (strip->severities[copy * strip->count + i] > 0) {
            return true;
        }
    }
    return false;
}

static double overlap_in_all(const Strip *strip)
{
    double sum = 0;
    for (int i = 0; i < strip->count * strip->count; i++) {
        sum += (double)strip->severities[i];
    }
    return sum;
}

static Spot clamped(Spot spot, Extent range)
{
    spot.x = fmin(fmax(spot.x, range.left), range.right);
    spot.y = fmin(fmax(spot.y, range.low), range.top);
    return spot;
}

typedef struct Candidate {
    Spot spot;
    double cost;
} Candidate;

// The best few, the best first.
typedef struct Candidates {
    Candidate items[KEPT];
} Candidates;

static void consider(Strip *strip, int copy, Spot spot, Candidates *best)
{
    const double cost = cost_at(strip, copy, spot, best->items[KEPT - 1].cost);
    int at = KEPT;
    while (at > 0 && cost < best->items[at - 1].cost) {
        if (at < KEPT) {
            best->items[at] = best->items[at - 1];
        }
        at--;
    }
    if (at < KEPT) {
        best->items[at] = (Candidate){spot, cost};
    }
}

static double whole_between(Random *random, double from, double to)
{
    return floor(random_between(random, from, to + 1));
}

static void sample_anywhere(Strip *strip, int copy, Candidates *best)
{
    const int turned =
        random_below(&strip->random, strip->pieces[strip->piece_of[copy]].turned_count);
    Extent range;
    if (strip_range(strip, copy, turned, &range)) {
        const double x = whole_between(&strip->random, range.left, range.right);
        const double y = whole_between(&strip->random, range.low, range.top);
        consider(strip, copy, (Spot){turned, x, y}, best);
    }
}

static void sample_nearby(Strip *strip, int copy, Candidates *best)
{
    const StripPiece *piece = &strip->pieces[strip->piece_of[copy]];
    const Spot now = strip->spots[copy];
    Spot spot = now;
    if (random_share(&strip->random) < 0.3) {
        spot.turned = random_below(&strip->random, piece->turned_count);
    }
    Extent range;
    if (!strip_range(strip, copy, spot.turned, &range)) {
        return;
    }
    // Around the middle of the box, wherever the piece's own origin is.
    const Extent old = strip_turned(strip, copy, now.turned)->bare;
    const Extent new = strip_turned(strip, copy, spot.turned)->bare;
    const double reach = floor(0.25 * piece->diameter);
    spot.x += floor((old.left + old.right - new.left - new.right) / 2) +
              whole_between(&strip->random, -reach, reach);
    spot.y += floor((old.low + old.top - new.low - new.top) / 2) +
              whole_between(&strip->random, -reach, reach);
    consider(strip, copy, clamped(spot, range), best);
}

// Coordinate descent with a step that grows on success and shrinks on failure.
static Candidate refined(Strip *strip, int copy, Candidate from, double step, double least)
{
    static const double ways[][2] = {{1, 0}, {0, 1}, {0.7, 0.7}, {0.7, -0.7}};
    Extent range;
    if (!strip_range(strip, copy, from.spot.turned, &range)) {
        return from;
    }
    while (step >= least && from.cost > 0) {
        const double *way = ways[random_below(&strip->random, 4)];
        bool better = false;
        for (int sign = -1; sign <= 1; sign += 2) {
            Spot to = from.spot;
            to.x += round(sign * way[0] * step);
            to.y += round(sign * way[1] * step);
            to = clamped(to, range);
            const double cost = cost_at(strip, copy, to, from.cost);
            if (cost < from.cost) {
                from = (Candidate){to, cost};
                better = true;
                break;
            }
        }
        step *= better ? 1.1 : 0.6;
    }
    return from;
}

// Moves a copy to the place with the least weighted overlap that is found.
static void move_copy(Strip *strip, int copy)
{
    const double diameter = strip->pieces[strip->piece_of[copy]].diameter;
    const Spot now = strip->spots[copy];
    Candidates best;
    for (int i = 0; i < KEPT; i++) {
        best.items[i] = (Candidate){now, DBL_MAX};
    }
    Extent range;
    if (strip_range(strip, copy, now.turned, &range)) {
        consider(strip, copy, clamped(now, range), &best);
    }
    for (int i = 0; i < NEARBY && best.items[0].cost > 0; i++) {
        sample_nearby(strip, copy, &best);
    }
    for (int i = 0; i < ANYWHERE && best.items[0].cost > 0; i++) {
        sample_anywhere(strip, copy, &best);
    }
    Candidate least = best.items[0];
    for (int i = 0; i < KEPT && least.cost > 0 && best.items[i].cost < DBL_MAX; i++) {
        const Candidate found =
            refined(strip, copy, best.items[i], 0.1 * diameter, fmax(1, 0.005 * diameter));
        least = i == 0 || found.cost < least.cost ? found : least;
    }
    least = refined(strip, copy, least, fmax(1, 0.005 * diameter), fmax(1, 0.0005 * diameter));
    strip_put(strip, copy, least.spot);
    note_severities(strip, copy);
}

// Every copy that overlaps another, in random order.
static bool sweep(Strip *strip)
{
    const ArenaMark mark = arena_mark(strip->scratch);
    int *order = ARENA_ARRAY(strip->scratch, int, strip->count);
    int count = 0;
    for (int i = 0; i < strip->count; i++) {
        if (overlaps(strip, i)) {
            order[count++] = i;
        }
    }
    bool more = strip_work(strip, 1.0 * strip->count * strip->count);
    for (int left = count; left > 0 && more; left--) {
        const int drawn = random_below(&strip->random, left);
        const int copy = order[drawn];
        order[drawn] = order[left - 1];
        if (overlaps(strip, copy)) {
            move_copy(strip, copy);
        }
        more = strip_work(strip, strip->count);
    }
    arena_rewind(strip->scratch, mark);
    return more;
}

static void update_weights(Strip *strip)
{
    const int all = strip->count * strip->count;
    float greatest = 0;
    for (int i = 0; i < all; i++) {
        greatest = strip->severities[i] > greatest ? strip->severities[i] : greatest;
    }
    for (int i = 0; i < all; i++) {
        const double share = greatest > 0 ? (double)(strip->severities[i] / greatest) : 0;
        const double growth =
            weight_least_growth + (weight_greatest_growth - weight_least_growth) * share;
        const double factor = share > 0 ? growth : weight_decay;
        strip->weights[i] = (float)fmin(1e6, fmax(1, (double)strip->weights[i] * factor));
    }
}

static void begin(Strip *strip)
{
    for (int i = 0; i < strip->count * strip->count; i++) {
        strip->weights[i] = 1;
    }
    for (int i = 0; i < strip->count; i++) {
        note_severities(strip, i);
    }
}

bool separate(Strip *strip, int patience)
{
    const ArenaMark mark = arena_mark(strip->scratch);
    Spot *best = ARENA_ARRAY(strip->scratch, Spot, strip->count);
    const size_t bytes = (size_t)strip->count * sizeof *best;
    memcpy(best, strip->spots, bytes);
    begin(strip);
    double least = overlap_in_all(strip);
    bool more = true;
    for (int strikes = 0; strikes < STRIKES && least > 0 && more;) {
        const double before = least;
        for (int idle = 0; idle < patience && least > 0 && more; idle++) {
            more = sweep(strip);
            const double now = overlap_in_all(strip);
            if (now < least) {
                idle = now < progress_share * least ? -1 : idle;
                least = now;
                memcpy(best, strip->spots, bytes);
            }
            update_weights(strip);
        }
        strikes = least < progress_share * before ? 0 : strikes + 1;
        if (least > 0 && strikes < STRIKES) {
            for (int i = 0; i < strip->count; i++) {
                strip_put(strip, i, best[i]);
            }
            for (int i = 0; i < strip->count; i++) {
                note_severities(strip, i);
            }
        }
    }
    arena_rewind(strip->scratch, mark);
    return least <= 0;
}
