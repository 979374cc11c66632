#include "layout/shorten.h"

#include "layout/strip_start.h"
#include "plane/lattice.h"

#include <math.h>
#include <string.h>

// The strip is shortened by these shares: bold while that works, then careful.
static const double first_step = 0.02;
static const double careful_step = 0.0025;
// In this last share of the work only small steps from the best layout are taken.
static const double last_share = 0.15;
static const double last_step = 0.0005;

enum {
    // Sweeps without progress: a bold step that fails should fail soon.
    BOLD_PATIENCE = 20,
    PATIENCE = 120,
    FAILURES_MAX = 8,
};

// Layouts that would not come apart at the length that is tried, the least overlap first.
typedef struct Failures {
    Spot *spots[FAILURES_MAX];
    double overlap[FAILURES_MAX];
    int count;
} Failures;

static void note_failure(Failures *failures, const Strip *strip, double overlap)
{
    if (failures->count == FAILURES_MAX && overlap >= failures->overlap[FAILURES_MAX - 1]) {
        return;
    }
    int at = failures->count < FAILURES_MAX ? failures->count++ : FAILURES_MAX - 1;
    Spot *spots = failures->spots[at];
    while (at > 0 && failures->overlap[at - 1] > overlap) {
        failures->spots[at] = failures->spots[at - 1];
        failures->overlap[at] = failures->overlap[at - 1];
        at--;
    }
    memcpy(spots, strip->spots, (size_t)strip->count * sizeof *spots);
    failures->spots[at] = spots;
    failures->overlap[at] = overlap;
}

Placement *shortening_placements(const Shortening *run, Arena *keep)
{
    const Strip *strip = &run->strip;
    Placement *placements = ARENA_ARRAY(keep, Placement, strip->count + 1);
    for (int i = 0; i < strip->count; i++) {
        const Spot spot = strip->spots[i];
        const Turned *turned = strip_turned(strip, i, spot.turned);
        placements[i] =
            (Placement){.piece = strip->piece_of[i],
                        .motion = {spot.x / LATTICE_PER_MM + turned->shift_x_mm,
                                   spot.y / LATTICE_PER_MM + turned->shift_y_mm, turned->turn_rad}};
    }
    return placements;
}

bool shortening_keep(Shortening *run)
{
    Arena *scratch = run->strip.scratch;
    const ArenaMark mark = arena_mark(scratch);
    const bool accepted = layout_check(&run->long_task, shortening_placements(run, scratch),
                                       run->strip.count, scratch, NULL, 0) == 0;
    arena_rewind(scratch, mark);
    run->strip.work.done += 2000.0 * run->strip.count;
    const double length = strip_extent(&run->strip);
    if (accepted && (run->best_length == 0 || length < run->best_length)) {
        memcpy(run->best, run->strip.spots, (size_t)run->strip.count * sizeof *run->best);
        run->best_length = length;
    }
    return accepted;
}

// Moves a copy to a spot, or as near as the strip allows.
static void put_inside(Strip *strip, int copy, Spot spot)
{
    double most_x;
    double most_y;
    for (int k = 0; !strip_range(strip, copy, spot.turned, &most_x, &most_y); k++) {
        spot.turned = k; // some turn is short enough for the least length
    }
    strip->spots[copy] =
        (Spot){spot.turned, fmin(fmax(spot.x, 0), most_x), fmin(fmax(spot.y, 0), most_y)};
}

static void put_all_inside(Strip *strip, const Spot *spots)
{
    for (int i = 0; i < strip->count; i++) {
        put_inside(strip, i, spots[i]);
    }
}

// Two pieces change places, to get out of a dead end.
static void swap_two(Strip *strip)
{
    const int one = random_below(&strip->random, strip->count);
    const int other = random_below(&strip->random, strip->count);
    const Spot a = strip->spots[one];
    const Spot b = strip->spots[other];
    const Turned *at_a = strip_turned(strip, one, a.turned);
    const Turned *at_b = strip_turned(strip, other, b.turned);
    const double x = floor((at_b->width - at_a->width) / 2);
    const double y = floor((at_b->height - at_a->height) / 2);
    put_inside(strip, one, (Spot){a.turned, b.x + x, b.y + y});
    put_inside(strip, other, (Spot){b.turned, a.x - x, a.y - y});
}

// Takes the pieces apart and slides them together. True when the best layout got shorter.
static bool try_length(Shortening *run, int patience, double *overlap)
{
    const double before = run->best_length;
    *overlap = separate(&run->strip, patience);
    if (*overlap > 0) {
        return false;
    }
    (void)shortening_keep(run);
    strip_slide(&run->strip);
    (void)shortening_keep(run);
    return run->best_length < before;
}

void shorten(Shortening *run)
{
    Strip *strip = &run->strip;
    double step = first_step;
    Failures failures = {.count = 0};
    for (int i = 0; i < FAILURES_MAX; i++) {
        failures.spots[i] = ARENA_ARRAY(strip->scratch, Spot, strip->count + 1);
    }
    while (strip_work(strip, 1000) && run->best_length > run->least_length) {
        const bool last = strip->work.done > (1 - last_share) * strip->work.limit;
        const double share = last ? last_step : step;
        strip->length = fmax(run->least_length, ceil(run->best_length * (1 - share)) - 1);
        put_all_inside(strip, run->best);
        if (!last && failures.count > 0) {
            const double drawn = random_share(&strip->random);
            put_all_inside(strip, failures.spots[(int)(drawn * drawn * failures.count)]);
            swap_two(strip);
        }
        double overlap = 0;
        if (try_length(run, step > careful_step ? BOLD_PATIENCE : PATIENCE, &overlap)) {
            failures.count = 0;
        } else if (overlap > 0 && !last && step <= careful_step) {
            note_failure(&failures, strip, overlap);
        }
        step = overlap > 0 ? fmax(careful_step, step / 2) : step;
    }
}
