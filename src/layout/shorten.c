#include "layout/shorten.h"

#include "layout/strip_start.h"
#include "plane/lattice.h"

#include <math.h>
#include <string.h>

// The strip is shortened by these shares: bold while that works, then careful.
static const double first_step = 0.02;
static const double careful_step = 0.0025;
// In this last share of the work only small steps from the best layout are taken, and fine turns.
static const double last_share = 0.15;
static const double last_step = 0.0005;

enum {
    // Sweeps without progress: a bold step that fails should fail soon.
    BOLD_PATIENCE = 20,
    PATIENCE = 120,
};

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
    memcpy(spots, strip->spots, (size_t)strip->movable * sizeof *spots);
    failures->spots[at] = spots;
    failures->overlap[at] = overlap;
}

void shortening_begin(Shortening *stream)
{
    const Strip *strip = &stream->strip;
    stream->step = first_step;
    stream->best = ARENA_ARRAY(strip->scratch, Spot, strip->movable + 1);
    for (int i = 0; i < FAILURES_MAX; i++) {
        stream->failures.spots[i] = ARENA_ARRAY(strip->scratch, Spot, strip->movable + 1);
    }
}

Placement *shortening_placements(const Shortening *stream, const Spot *spots, Arena *keep)
{
    const Strip *strip = &stream->strip;
    const LayoutTask *task = stream->task;
    Placement *placements = ARENA_ARRAY(keep, Placement, strip->laid + 1);
    int count = 0;
    for (int i = 0; i < task->locked_count; i++) {
        placements[count] = task->locked[i];
        placements[count++].locked = true;
    }
    for (int i = 0; i < strip->movable; i++) {
        const Turned *turned = strip_turned(strip, i, spots[i].turned);
        placements[count++] = (Placement){
            .piece = strip->piece_of[i],
            .motion = {spots[i].x / LATTICE_PER_MM + turned->shift_x_mm,
                       spots[i].y / LATTICE_PER_MM + turned->shift_y_mm, turned->turn_rad}};
    }
    return placements;
}

// Tells whoever watches. Another stream may have been shorter already; then nothing is said
// when both are compared, since each stream tells its own.
static void tell(const Shortening *stream, Placement *placements)
{
    const LayoutOptions *options = stream->options;
    if (!options->improved) {
        return;
    }
    const Layout layout = {.placements = placements,
                           .count = stream->strip.laid,
                           .length_mm = stream->best_length / LATTICE_PER_MM};
    shared_progress_lock(stream->progress);
    options->improved(options->improved_context, &layout);
    shared_progress_unlock(stream->progress);
}

bool shortening_keep(Shortening *stream)
{
    Strip *strip = &stream->strip;
    const ArenaMark mark = arena_mark(strip->scratch);
    Placement *placements = shortening_placements(stream, strip->spots, strip->scratch);
    const double length = strip_extent(strip);
    const LayoutTask *task = length > stream->sheet_length ? &stream->long_task : stream->task;
    const bool accepted = layout_check(task, placements, strip->laid, strip->scratch, NULL, 0) == 0;
    strip->work.done += 2000.0 * strip->laid + 30.0 * strip->laid * (strip->all - strip->laid);
    if (accepted && (stream->best_length == 0 || length < stream->best_length)) {
        memcpy(stream->best, strip->spots, (size_t)strip->movable * sizeof *stream->best);
        stream->best_length = length;
        tell(stream, placements);
    }
    arena_rewind(strip->scratch, mark);
    return accepted;
}

void shortening_adopt(Shortening *stream, const Shortening *other)
{
    if (other->best_length < stream->best_length) {
        memcpy(stream->best, other->best, (size_t)stream->strip.movable * sizeof *stream->best);
        stream->best_length = other->best_length;
        stream->failures.count = 0;
    }
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
    for (int i = 0; i < strip->movable; i++) {
        put_inside(strip, i, spots[i]);
    }
}

// Two pieces change places, to get out of a dead end.
static void swap_two(Strip *strip)
{
    const int one = random_below(&strip->random, strip->movable);
    int other = random_below(&strip->random, strip->movable);
    for (int i = 0; i < strip->movable && strip->piece_of[other] == strip->piece_of[one]; i++) {
        other = (other + 1) % strip->movable;
    }
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
static bool try_length(Shortening *stream, int patience, double *overlap)
{
    const double before = stream->best_length;
    *overlap = separate(&stream->strip, patience);
    if (*overlap > 0) {
        return false;
    }
    (void)shortening_keep(stream);
    strip_slide(&stream->strip);
    (void)shortening_keep(stream);
    return stream->best_length < before;
}

// The layout that the next try begins with: the best one, or a failure with two pieces
// exchanged.
static void take_up(Shortening *stream, bool last)
{
    Strip *strip = &stream->strip;
    const Failures *failures = &stream->failures;
    if (last || failures->count == 0) {
        put_all_inside(strip, stream->best);
        return;
    }
    const double drawn = random_share(&strip->random);
    put_all_inside(strip, failures->spots[(int)(drawn * drawn * failures->count)]);
    swap_two(strip);
}

double shortening_next_length(const Shortening *stream, double share)
{
    const double best = stream->best_length;
    const double next = fmax(stream->least_length, ceil(best * (1 - share)) - 1);
    const double grid = stream->touching_step;
    return grid > best * share ? fmax(next, grid * (ceil(best / grid) - 1)) : next;
}

void shorten(Shortening *stream, double share)
{
    Strip *strip = &stream->strip;
    const double end = share * strip->work.limit;
    while (strip_work(strip, 1000) && strip->work.done < end &&
           stream->best_length > stream->least_length) {
        const bool last = strip->work.done > (1 - last_share) * strip->work.limit;
        strip->fine = last || strip->steps.few;
        strip_set_length(strip, shortening_next_length(stream, last ? last_step : stream->step));
        take_up(stream, last);
        const bool bold = stream->step > careful_step;
        double overlap = 0;
        if (try_length(stream, bold ? BOLD_PATIENCE : PATIENCE, &overlap)) {
            stream->failures.count = 0;
        } else if (overlap > 0 && !last && !bold) {
            note_failure(&stream->failures, strip, overlap);
        }
        stream->step = overlap > 0 ? fmax(careful_step, stream->step / 2) : stream->step;
    }
}
