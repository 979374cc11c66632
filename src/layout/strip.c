#include "layout/strip.h"

#include "base/workers.h"
#include "layout/result.h"
#include "layout/shorten.h"
#include "layout/strip_pieces.h"
#include "layout/strip_start.h"
#include "layout/task.h"
#include "plane/lattice.h"

#include <math.h>
#include <string.h>

static const double nanoseconds_in_unit = 7.8e8;
// With so many units and more there are two streams, each with half the work.
static const double units_for_streams = 4;
static const size_t pair_bytes = (size_t)2 << 30;
static const size_t scratch_bytes = (size_t)512 << 20;
// How often, over the whole work, the streams go on from the best layout of both.
enum { STREAMS_MAX = 2, ROUNDS = 20 };

typedef struct StripRun {
    const LayoutTask *task;
    const LayoutOptions *options;
    Box box;
    StripPieces pieces;
    SharedProgress *progress;
    Shortening streams[STREAMS_MAX];
    int stream_count;
    double share; // of the work that the round at hand may have spent in all
} StripRun;

static bool is_strip(Ring outline, Box *box)
{
    *box = ring_box(outline);
    if (outline.count != 4 || box->min.x != 0 || box->min.y != 0) {
        return false;
    }
    for (int i = 0; i < 4; i++) {
        const Point p = outline.points[i];
        const Point next = ring_point(outline, i + 1);
        if ((p.x != box->min.x && p.x != box->max.x) || (p.y != box->min.y && p.y != box->max.y) ||
            (p.x != next.x) == (p.y != next.y)) {
            return false;
        }
    }
    return true;
}

static bool refuse(Problems *problems, const char *where, const char *found, const char *allowed,
                   const char *remedy)
{
    return problems_add(problems, (Problem){PROBLEM_BAD_INPUT, where, found, allowed, remedy});
}

static bool check_strip(const LayoutTask *task, Box *box, Problems *problems)
{
    Arena *keep = problems->keep;
    if (task->sheet_count != 1) {
        return refuse(problems, "sheets", arena_text(keep, "%d sheets", task->sheet_count),
                      "one strip", NULL);
    }
    const Sheet *sheet = &task->sheets[0];
    const double longest_mm = STRIP_UNITS_MAX / LATTICE_PER_MM;
    if (!is_strip(sheet->outline, box) || box->max.x > longest_mm || box->max.y > longest_mm) {
        return refuse(problems, "sheets[0].outline", "an outline that is no strip",
                      arena_text(keep, "a rectangle of 4 points with a corner at 0, 0, up to %g mm",
                                 longest_mm),
                      NULL);
    }
    return true;
}

// The strip must be long enough for the first layout; at the end the sheet's own length
// counts. A flaw that reaches beyond it is no matter there.
static void lengthen(Shortening *stream, Box box)
{
    Point *points = ARENA_ARRAY(stream->strip.scratch, Point, 4);
    const double length_mm = fmax(box.max.x, stream->strip.length / LATTICE_PER_MM + 1);
    points[1].x = points[2].x = length_mm;
    points[2].y = points[3].y = box.max.y;
    stream->long_sheet = stream->task->sheets[0];
    stream->long_sheet.outline = (Ring){points, 4};
    stream->long_sheet.hole_count = 0;
    for (int depth = 0; depth < LAYOUT_DEPTHS; depth++) {
        stream->long_sheet.forbidden[depth].count = 0;
    }
    stream->long_task = *stream->task;
    stream->long_task.sheets = &stream->long_sheet;
}

static bool is_locked(const LayoutTask *task, const Placement *placed)
{
    for (int i = 0; i < task->locked_count; i++) {
        const Placement *locked = &task->locked[i];
        if (locked->piece == placed->piece && locked->motion.x_mm == placed->motion.x_mm &&
            locked->motion.y_mm == placed->motion.y_mm &&
            locked->motion.turn_rad == placed->motion.turn_rad) {
            return true;
        }
    }
    return false;
}

// The placements to begin with, when they are whole and accepted. Of what is locked, whether it
// is named there or not, the task's own placements count.
static bool start_given(StripRun *run, Shortening *stream)
{
    const LayoutOptions *options = run->options;
    Strip *strip = &stream->strip;
    const ArenaMark mark = arena_mark(strip->scratch);
    Placement *start = ARENA_ARRAY(strip->scratch, Placement, strip->movable + 1);
    int count = 0;
    for (int i = 0; i < options->start_count && count <= strip->movable; i++) {
        if (!is_locked(run->task, &options->start[i])) {
            start[count++] = options->start[i];
        }
    }
    const bool taken = options->start && count == strip->movable && strip_take(strip, start);
    arena_rewind(strip->scratch, mark);
    if (taken) {
        lengthen(stream, run->box);
    }
    return taken && shortening_keep(stream);
}

static void begin_stream(void *context, int index)
{
    StripRun *run = context;
    Shortening *stream = &run->streams[index];
    Strip *strip = &stream->strip;
    stream->strip.work.stopped = !progress_report(strip->work.progress, "shortening the strip", 0);
    if (strip->work.stopped || start_given(run, stream)) {
        return;
    }
    strip_start(strip);
    lengthen(stream, run->box);
    if (!shortening_keep(stream)) {
        // Only the rounding of points between two lattice units can lead here.
        strip_row(strip);
        lengthen(stream, run->box);
        (void)shortening_keep(stream);
    } else if (strip->movable < strip->count) {
        // What lies still is seldom a multiple of the grid's step away.
        strip_slide(strip);
        (void)shortening_keep(stream);
    }
}

static void continue_stream(void *context, int index)
{
    StripRun *run = context;
    shorten(&run->streams[index], run->share);
}

// One that has no layout, since it was stopped before, is none.
static Shortening *best_stream(StripRun *run)
{
    Shortening *best = &run->streams[0];
    for (int i = 1; i < run->stream_count; i++) {
        Shortening *other = &run->streams[i];
        const bool better = best->best_length == 0 || other->best_length < best->best_length;
        best = other->best_length > 0 && better ? other : best;
    }
    return best;
}

static bool stopped(const StripRun *run)
{
    bool any = false;
    for (int i = 0; i < run->stream_count; i++) {
        any |= run->streams[i].strip.work.stopped;
    }
    return any;
}

// Both streams, and now and then on from the best layout of both. What one does until then
// depends on nothing but itself, so the result is the same on any number of threads.
static void run_streams(StripRun *run)
{
    const int threads = run->options->threads;
    for (int round = 1; round <= ROUNDS && !stopped(run); round++) {
        run->share = (double)round / ROUNDS;
        workers_run(run->stream_count, threads, continue_stream, run);
        Shortening *best = best_stream(run);
        for (int i = 0; i < run->stream_count; i++) {
            shortening_adopt(&run->streams[i], best);
        }
    }
}

// Judged once more, on the strip as long as it is.
static void hand_out(const StripRun *run, const Shortening *best, Arena *keep, Arena *scratch,
                     Layout *layout)
{
    const ArenaMark mark = arena_mark(scratch);
    const Placement *placements = shortening_placements(best, best->best, scratch);
    (void)result_make(run->task, placements, best->strip.laid, keep, scratch, layout);
    arena_rewind(scratch, mark);
    layout->length_mm = best->best_length / LATTICE_PER_MM;
    for (int i = 0; i < run->stream_count; i++) {
        layout->work += run->streams[i].strip.work.done / nanoseconds_in_unit;
    }
}

static bool refuse_length(const StripRun *run, double length, Problems *problems)
{
    const bool flawed = run->pieces.still.flaw_count > 0;
    return refuse(problems, "sheets[0].outline",
                  arena_text(problems->keep, "a strip of %.1f mm%s; the pieces took %.1f mm",
                             run->box.max.x, flawed ? " with flaws" : "", length / LATTICE_PER_MM),
                  "a strip long enough for all pieces",
                  flawed ? "a longer strip, fewer flaws, or more work"
                         : "a longer strip, or more work");
}

// So far beyond the strip's end, no work brings the pieces back; and what is kept of each
// place would find no room.
static bool is_hopeless(const StripRun *run, const Strip *strip)
{
    return strip->length > 2 * run->box.max.x * LATTICE_PER_MM + 1000 * LATTICE_PER_MM;
}

// From the first layout to the last.
static bool run_all(StripRun *run, Arena *keep, Arena *scratch, Layout *layout, Problems *problems)
{
    workers_run(run->stream_count, run->options->threads, begin_stream, run);
    const Shortening *first = best_stream(run);
    if (first->best_length == 0 && stopped(run)) {
        return problems_say(problems, PROBLEM_CANCELLED, "layout",
                            "stopped before the first piece was laid");
    }
    if (is_hopeless(run, &first->strip)) {
        return refuse_length(run, first->strip.length, problems);
    }
    if (first->best_length == 0 && first->strip.laid > 0) {
        return refuse(problems, "pieces", "outlines that the judge refuses even side by side",
                      "outlines whose points lie on the lattice of 0.01 mm", NULL);
    }
    run_streams(run);
    const Shortening *best = best_stream(run);
    if (best->best_length > round(run->box.max.x * LATTICE_PER_MM)) {
        return refuse_length(run, best->best_length, problems);
    }
    hand_out(run, best, keep, scratch, layout);
    return true;
}

// Memory of its own for each stream. False when the system has none left.
static bool make_stream(StripRun *run, int index)
{
    Shortening *stream = &run->streams[index];
    Strip *strip = &stream->strip;
    const StripPieces *pieces = &run->pieces;
    const double units = run->options->work > 0 ? run->options->work : 1.0;
    *stream = (Shortening){.task = run->task, .options = run->options};
    stream->least_length = pieces->least_length;
    stream->touching_step = pieces->holds_corners ? pieces->step : 0;
    stream->sheet_length = round(run->box.max.x * LATTICE_PER_MM);
    stream->progress = run->progress;
    *strip = (Strip){.pieces = pieces->pieces,
                     .piece_of = pieces->piece_of,
                     .movable = pieces->movable,
                     .laid = pieces->laid,
                     .count = pieces->laid,
                     .all = pieces->all,
                     .turned_count = pieces->turned_count,
                     .steps = pieces->steps,
                     .width = pieces->width,
                     .step = pieces->step,
                     .row_gap = 2 * (task_widest_gap_mm(run->task) + 1) * LATTICE_PER_MM,
                     .random = random_begin(run->options->seed, (uint64_t)index, 0),
                     .keep = arena_create("pairs of a strip", pair_bytes),
                     .scratch = arena_create("strip", scratch_bytes)};
    if (!strip->keep || !strip->scratch) {
        return false;
    }
    strip->work.progress = shared_progress_of(run->progress, index);
    strip->work.limit = nanoseconds_in_unit * units / run->stream_count;
    const size_t copies = (size_t)strip->movable * (size_t)strip->all;
    const size_t still = (size_t)(strip->all - strip->movable);
    const size_t turned = (size_t)strip->turned_count;
    strip->spots = ARENA_ARRAY(strip->scratch, Spot, strip->all + 1);
    strip->pairs = ARENA_ARRAY(strip->scratch, Pair *, (turned + still) * turned + 1);
    strip->severities = ARENA_ARRAY(strip->scratch, float, copies + 1);
    strip->weights = ARENA_ARRAY(strip->scratch, float, copies + 1);
    strip->pairs_listed = ARENA_ARRAY(strip->scratch, CopyPair, copies + 1);
    strip->listed = ARENA_ARRAY(strip->scratch, uint8_t, copies + 1);
    for (size_t i = 0; i < still; i++) {
        const StripFixed *one = &pieces->still.items[i];
        strip->spots[(size_t)strip->movable + i] = (Spot){0, one->x, one->y};
    }
    shortening_begin(stream);
    return true;
}

static bool make_streams(StripRun *run)
{
    for (int i = 0; i < run->stream_count; i++) {
        if (!make_stream(run, i)) {
            return false;
        }
    }
    return true;
}

static void end_streams(StripRun *run)
{
    for (int i = 0; i < run->stream_count; i++) {
        arena_destroy(run->streams[i].strip.keep);
        arena_destroy(run->streams[i].strip.scratch);
    }
}

bool strip_run(const LayoutTask *task, LayoutOptions options, const Progress *progress, Arena *keep,
               Arena *scratch, Layout *layout, Problems *problems)
{
    const ArenaMark mark = arena_mark(scratch);
    StripRun *run = ARENA_NEW(scratch, StripRun);
    run->task = task;
    run->options = &options;
    if (!check_strip(task, &run->box, problems) ||
        !strip_pieces_make(task, round(run->box.max.y * LATTICE_PER_MM), scratch, &run->pieces,
                           problems)) {
        arena_rewind(scratch, mark);
        return false;
    }
    run->stream_count = options.work >= units_for_streams ? STREAMS_MAX : 1;
    run->progress = shared_progress_begin(progress, run->stream_count, scratch);
    const bool done = make_streams(run)
                          ? run_all(run, keep, scratch, layout, problems)
                          : problems_say(problems, PROBLEM_SYSTEM, "layout", "no memory left");
    end_streams(run);
    shared_progress_end(run->progress);
    arena_rewind(scratch, mark);
    return done;
}
