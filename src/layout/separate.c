#include "layout/separate.h"

#include "layout/seek.h"

#include <float.h>
#include <math.h>
#include <stddef.h>
#include <string.h>

enum {
    STRIKES = 2, // rows of sweeps without less overlap
    REPORT_NANOS = 20000000,
};

static const float weight_least_growth = 1.2F;
static const float weight_greatest_growth = 2.0F;
static const float weight_decay = 0.95F;
static const float weight_most = 1e6F;
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

void strip_set_length(Strip *strip, double length)
{
    strip->length = length;
    strip->count = strip->laid;
    while (strip->count < strip->all && strip->spots[strip->count].x < length) {
        strip->count++;
    }
}

const Turned *strip_turned(const Strip *strip, int copy, int turned)
{
    return &strip->pieces[strip->piece_of[copy]].turned[turned];
}

const Pair *strip_pair(Strip *strip, const Turned *fixed, const Turned *moved)
{
    const Body *body = fixed->flaw ? &moved->bare[fixed->depth] : &moved->body;
    if (body->parts.count == 0) {
        return &pair_apart; // the piece has nothing so deep
    }
    Pair **pair = &strip->pairs[(ptrdiff_t)fixed->number * strip->turned_count + moved->number];
    if (!*pair) {
        *pair = pair_make(&fixed->body, body, strip->step, strip->keep, strip->scratch);
        strip->work.done += 20.0 * (*pair)->columns * (*pair)->rows +
                            1000.0 * fixed->body.parts.count * body->parts.count;
    }
    return *pair;
}

float strip_severity(Strip *strip, int copy, Spot spot, int other)
{
    const Spot at = strip->spots[other];
    const Turned *mine = strip_turned(strip, copy, spot.turned);
    const Turned *theirs = strip_turned(strip, other, at.turned);
    return pair_severity(strip_pair(strip, theirs, mine), spot.x - at.x, spot.y - at.y);
}

bool strip_range(const Strip *strip, int copy, int turned, double *most_x, double *most_y)
{
    const Turned *one = strip_turned(strip, copy, turned);
    *most_x = strip->length - one->width;
    *most_y = strip->width - one->height;
    return *most_x >= 0 && *most_y >= 0;
}

double strip_extent(const Strip *strip)
{
    double extent = 0;
    for (int i = 0; i < strip->laid; i++) {
        const Spot spot = strip->spots[i];
        extent = fmax(extent, spot.x + strip_turned(strip, i, spot.turned)->width);
    }
    return extent;
}

bool strip_free(Strip *strip, int copy, Spot spot)
{
    strip->work.done += 10 + 6.0 * strip->count;
    for (int i = 0; i < strip->count; i++) {
        if (i != copy && strip_severity(strip, copy, spot, i) > 0) {
            return false;
        }
    }
    return true;
}

// A pair is listed from when it overlaps until it has not for so long that its weight is 1 again;
// all others need not be looked at after a sweep.
static void list_pair(Strip *strip, int one, int other)
{
    const int low = one < other ? one : other;
    const int high = one < other ? other : one;
    uint8_t *listed = &strip->listed[(ptrdiff_t)low * strip->count + high];
    if (!*listed) {
        *listed = 1;
        strip->pairs_listed[strip->listed_count++] = (CopyPair){low, high};
    }
}

static void note_severity(Strip *strip, int copy, int other, float severity)
{
    strip->severities[copy * strip->count + other] = severity;
    if (other < strip->movable) {
        strip->severities[other * strip->count + copy] = severity;
    }
    if (severity > 0) {
        list_pair(strip, copy, other);
    }
}

// The severities of a copy with all others, both ways where both move.
static void note_severities(Strip *strip, int copy)
{
    strip->work.done += 6.0 * strip->count;
    for (int i = 0; i < strip->count; i++) {
        if (i != copy) {
            note_severity(strip, copy, i, strip_severity(strip, copy, strip->spots[copy], i));
        }
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

static float listed_severity(const Strip *strip, int index)
{
    const CopyPair pair = strip->pairs_listed[index];
    return strip->severities[pair.one * strip->count + pair.other];
}

static double overlap_in_all(const Strip *strip)
{
    double sum = 0;
    for (int i = 0; i < strip->listed_count; i++) {
        sum += (double)listed_severity(strip, i);
    }
    return sum;
}

// Moves a copy to the place with the least weighted overlap that is found.
static void move_copy(Strip *strip, int copy)
{
    const Spot from = strip->spots[copy];
    const Spot to = seek_spot(strip, copy);
    if (to.turned != from.turned || to.x != from.x || to.y != from.y) {
        strip->spots[copy] = to;
        note_severities(strip, copy);
    }
}

// The copies that overlap another; returns how many.
static int list_overlapping(const Strip *strip, int *copies)
{
    uint8_t *met = ARENA_ARRAY(strip->scratch, uint8_t, strip->count);
    for (int i = 0; i < strip->listed_count; i++) {
        if (listed_severity(strip, i) > 0) {
            met[strip->pairs_listed[i].one] = 1;
            met[strip->pairs_listed[i].other] = 1;
        }
    }
    int count = 0;
    for (int i = 0; i < strip->movable; i++) {
        if (met[i]) {
            copies[count++] = i;
        }
    }
    return count;
}

// Every copy that overlaps another, in random order.
static bool sweep(Strip *strip)
{
    const ArenaMark mark = arena_mark(strip->scratch);
    int *order = ARENA_ARRAY(strip->scratch, int, strip->movable);
    const int count = list_overlapping(strip, order);
    bool more = strip_work(strip, 2.0 * strip->movable + 5.0 * strip->listed_count);
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

static void set_weight(Strip *strip, CopyPair pair, float weight)
{
    strip->weights[pair.one * strip->count + pair.other] = weight;
    if (pair.other < strip->movable) {
        strip->weights[pair.other * strip->count + pair.one] = weight;
    }
}

static float clamped(float value, float least, float most)
{
    const float raised = value > least ? value : least;
    return raised < most ? raised : most;
}

static void update_weights(Strip *strip)
{
    float greatest = FLT_MIN;
    for (int i = 0; i < strip->listed_count; i++) {
        const float one = listed_severity(strip, i);
        greatest = one > greatest ? one : greatest;
    }
    int kept = 0;
    for (int i = 0; i < strip->listed_count; i++) {
        const CopyPair pair = strip->pairs_listed[i];
        const int at = pair.one * strip->count + pair.other;
        const float share = strip->severities[at] / greatest;
        const float growth =
            weight_least_growth + (weight_greatest_growth - weight_least_growth) * share;
        const float weight = strip->weights[at] * (share > 0 ? growth : weight_decay);
        set_weight(strip, pair, clamped(weight, 1, weight_most));
        if (share > 0 || weight > 1) {
            strip->pairs_listed[kept++] = pair;
        } else {
            strip->listed[at] = 0;
        }
    }
    strip->listed_count = kept;
}

static void begin(Strip *strip)
{
    strip->listed_count = 0;
    for (int i = 0; i < strip->movable * strip->count; i++) {
        strip->weights[i] = 1;
        strip->listed[i] = 0;
        strip->severities[i] = 0;
    }
    for (int i = 0; i < strip->movable; i++) {
        note_severities(strip, i);
    }
}

static void take_up(Strip *strip, const Spot *spots)
{
    memcpy(strip->spots, spots, (size_t)strip->movable * sizeof *spots);
    for (int i = 0; i < strip->movable; i++) {
        note_severities(strip, i);
    }
}

double separate(Strip *strip, int patience)
{
    const ArenaMark mark = arena_mark(strip->scratch);
    Spot *best = ARENA_ARRAY(strip->scratch, Spot, strip->movable);
    const size_t bytes = (size_t)strip->movable * sizeof *best;
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
        if (least > 0) {
            take_up(strip, best);
        }
    }
    arena_rewind(strip->scratch, mark);
    return least;
}
