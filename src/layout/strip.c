#include "layout/strip.h"

#include "layout/strip_start.h"
#include "layout/task.h"
#include "plane/lattice.h"

#include <float.h>
#include <string.h>

static const double nanoseconds_in_unit = 8e8;
// The strip is shortened by these shares: bold while that works, then careful.
static const double first_step = 0.02;
static const double least_step = 0.0025;
// Sweeps without progress: a bold step that fails should fail soon.
enum { BOLD_PATIENCE = 20, PATIENCE = 120 };

typedef struct Shortening {
    const LayoutTask *task;
    Sheet long_sheet; // the strip, as long as any layout on the way needs
    LayoutTask long_task;
    Strip strip;
    Spot *best;
    double best_length;  // in units; 0: none yet
    double least_length; // below which there is no layout
} Shortening;

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
    bool clear = sheet->hole_count == 0;
    for (int depth = 0; depth < LAYOUT_DEPTHS; depth++) {
        clear &= sheet->forbidden[depth].count == 0;
    }
    if (!clear) {
        return refuse(problems, "sheets[0]", "a strip with holes or forbidden areas",
                      "a strip without any", "cut the bad length out and lay on what is left");
    }
    if (task->locked_count > 0) {
        return refuse(problems, "locked", arena_text(keep, "%d locked pieces", task->locked_count),
                      "none on a strip", "unlock them");
    }
    return true;
}

// Room for all copies. The least length follows from area and from the longest piece.
static bool make_pieces(Shortening *run, Arena *arena, Problems *problems)
{
    Strip *strip = &run->strip;
    const LayoutTask *task = run->task;
    StripPiece *pieces = ARENA_ARRAY(arena, StripPiece, task->piece_count + 1);
    int *piece_of = ARENA_ARRAY(arena, int, LAYOUT_COPIES_MAX + 1);
    double area = 0;
    for (int i = 0; i < task->piece_count; i++) {
        const Box box = ring_box(task->pieces[i].outline[0]);
        const double size = point_distance(box.min, box.max) * LATTICE_PER_MM;
        if (size > STRIP_UNITS_MAX / 2 ||
            !strip_piece_make(&task->pieces[i], task_widest_gap_mm(task), strip->width, arena,
                              &pieces[i])) {
            return refuse(
                problems, arena_text(problems->keep, "pieces[%d]", i),
                arena_text(problems->keep, "%.1f x %.1f mm, in no allowed turn within the width",
                           box.max.x - box.min.x, box.max.y - box.min.y),
                arena_text(problems->keep, "a width of %.2f mm", strip->width / LATTICE_PER_MM),
                "a wider strip, or more turns");
        }
        double shortest = DBL_MAX;
        for (int k = 0; k < pieces[i].turned_count; k++) {
            const Extent bare = pieces[i].turned[k].bare;
            shortest = fmin(shortest, bare.right - bare.left);
        }
        run->least_length = fmax(run->least_length, shortest);
        for (int k = 0; k < task->pieces[i].demand; k++) {
            piece_of[strip->count++] = i;
            area += pieces[i].area;
        }
    }
    // Rounding to the lattice may take a little off each piece.
    run->least_length = fmax(run->least_length, floor(0.9999 * area / strip->width));
    strip->pieces = pieces;
    strip->piece_of = piece_of;
    return true;
}

static Placement *placements_of(const Shortening *run, Arena *keep)
{
    const Strip *strip = &run->strip;
    Placement *placements = ARENA_ARRAY(keep, Placement, strip->count + 1);
    for (int i = 0; i < strip->count; i++) {
        const Spot spot = strip->spots[i];
        const Turned *turned = strip_turned(strip, i, spot.turned);
        placements[i] =
            (Placement){.piece = strip->piece_of[i],
                        .motion = {spot.x / LATTICE_PER_MM + turned->shift_mm,
                                   spot.y / LATTICE_PER_MM + turned->shift_mm, turned->turn_rad}};
    }
    return placements;
}

// Only the judge decides. True when the layout as it lies is accepted, and kept.
static bool keep_if_accepted(Shortening *run)
{
    Arena *scratch = run->strip.scratch;
    const ArenaMark mark = arena_mark(scratch);
    const bool accepted = layout_check(&run->long_task, placements_of(run, scratch),
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

// The best layout again, its pieces moved inside a shorter strip.
static void squeeze(Shortening *run, double length)
{
    Strip *strip = &run->strip;
    strip->length = length;
    for (int i = 0; i < strip->count; i++) {
        Spot spot = run->best[i];
        Extent range;
        for (int k = 0; !strip_range(strip, i, spot.turned, &range); k++) {
            spot.turned = k; // some turn is short enough for the least length
        }
        spot.x = fmin(fmax(spot.x, range.left), range.right);
        spot.y = fmin(fmax(spot.y, range.low), range.top);
        strip_put(strip, i, spot);
    }
}

// Two pieces of different kinds change places, to get out of a dead end.
static void swap_two(Strip *strip)
{
    const int one = random_below(&strip->random, strip->count);
    const int other = random_below(&strip->random, strip->count);
    const Spot a = strip->spots[one];
    const Spot b = strip->spots[other];
    const Extent box_a = strip->boxes[one];
    const Extent box_b = strip->boxes[other];
    const double x = floor((box_b.left + box_b.right - box_a.left - box_a.right) / 2);
    const double y = floor((box_b.low + box_b.top - box_a.low - box_a.top) / 2);
    const Spot to_b = {a.turned, a.x + x, a.y + y};
    const Spot to_a = {b.turned, b.x - x, b.y - y};
    Extent range_a;
    Extent range_b;
    if (!strip_range(strip, one, a.turned, &range_a) ||
        !strip_range(strip, other, b.turned, &range_b)) {
        return;
    }
    strip_put(strip, one,
              (Spot){to_b.turned, fmin(fmax(to_b.x, range_a.left), range_a.right),
                     fmin(fmax(to_b.y, range_a.low), range_a.top)});
    strip_put(strip, other,
              (Spot){to_a.turned, fmin(fmax(to_a.x, range_b.left), range_b.right),
                     fmin(fmax(to_a.y, range_b.low), range_b.top)});
}

static void shorten(Shortening *run)
{
    Strip *strip = &run->strip;
    double step = first_step;
    bool stuck = false;
    while (strip_work(strip, 1000) && run->best_length > run->least_length) {
        const double length = fmax(run->least_length, ceil(run->best_length * (1 - step)) - 1);
        squeeze(run, length);
        if (stuck) {
            swap_two(strip);
        }
        const bool apart = separate(strip, step > least_step ? BOLD_PATIENCE : PATIENCE);
        if (apart) {
            keep_if_accepted(run);
            strip_slide(strip);
        }
        stuck = !(apart && keep_if_accepted(run)) && step <= least_step;
        step = apart ? step : fmax(least_step, step / 2);
    }
}

static void hand_out(Shortening *run, Arena *keep, Layout *layout)
{
    const LayoutTask *task = run->task;
    for (int i = 0; i < run->strip.count; i++) {
        strip_put(&run->strip, i, run->best[i]);
    }
    *layout = (Layout){.placements = placements_of(run, keep),
                       .count = run->strip.count,
                       .missing = ARENA_ARRAY(keep, int, task->piece_count + 1),
                       .length_mm = run->best_length / LATTICE_PER_MM};
    for (int i = 0; i < task->piece_count; i++) {
        layout->value += task->pieces[i].value * task->pieces[i].demand;
    }
}

// The strip must be long enough for the first layout; at the end the sheet's own length
// counts.
static void lengthen(Shortening *run, Box box, Arena *arena)
{
    Point *points = ARENA_ARRAY(arena, Point, 4);
    const double length_mm = fmax(box.max.x, run->strip.length / LATTICE_PER_MM + 1);
    points[1].x = points[2].x = length_mm;
    points[2].y = points[3].y = box.max.y;
    run->long_sheet = run->task->sheets[0];
    run->long_sheet.outline = (Ring){points, 4};
    run->long_task = *run->task;
    run->long_task.sheets = &run->long_sheet;
}

static void make_room(Strip *strip, Arena *arena)
{
    const size_t pairs = (size_t)strip->count * (size_t)strip->count;
    strip->spots = ARENA_ARRAY(arena, Spot, strip->count + 1);
    strip->boxes = ARENA_ARRAY(arena, Extent, strip->count + 1);
    strip->severities = ARENA_ARRAY(arena, float, pairs + 1);
    strip->weights = ARENA_ARRAY(arena, float, pairs + 1);
}

static bool run_all(Shortening *run, Box box, Arena *keep, Layout *layout, Problems *problems)
{
    Strip *strip = &run->strip;
    Arena *scratch = strip->scratch;
    make_room(strip, scratch);
    run->best = ARENA_ARRAY(scratch, Spot, strip->count + 1);
    if (!progress_report(strip->work.progress, "shortening the strip", 0)) {
        return problems_say(problems, PROBLEM_CANCELLED, "layout",
                            "stopped before the first piece was laid");
    }
    strip_start(strip);
    lengthen(run, box, scratch);
    if (!keep_if_accepted(run)) {
        // Only the rounding of points between two lattice units can lead here.
        strip_row(strip);
        lengthen(run, box, scratch);
        if (!keep_if_accepted(run)) {
            return refuse(problems, "pieces", "outlines that the judge refuses even side by side",
                          "outlines whose points lie on the lattice of 0.01 mm", NULL);
        }
    }
    shorten(run);
    if (run->best_length > round(box.max.x * LATTICE_PER_MM)) {
        return refuse(problems, "sheets[0].outline",
                      arena_text(problems->keep, "a strip of %.1f mm; the pieces took %.1f mm",
                                 box.max.x, run->best_length / LATTICE_PER_MM),
                      "a strip long enough for all pieces", "a longer strip, or more work");
    }
    hand_out(run, keep, layout);
    return true;
}

bool strip_run(const LayoutTask *task, LayoutOptions options, const Progress *progress, Arena *keep,
               Arena *scratch, Layout *layout, Problems *problems)
{
    Box box = {{0, 0}, {0, 0}};
    if (!check_strip(task, &box, problems)) {
        return false;
    }
    const ArenaMark mark = arena_mark(scratch);
    Shortening *run = ARENA_NEW(scratch, Shortening);
    run->task = task;
    run->strip.width = round(box.max.y * LATTICE_PER_MM);
    run->strip.scratch = scratch;
    run->strip.random = random_begin(options.seed, 0, 0);
    run->strip.work.progress = progress;
    run->strip.work.limit = nanoseconds_in_unit * (options.work > 0 ? options.work : 1.0);
    const bool done =
        make_pieces(run, scratch, problems) && run_all(run, box, keep, layout, problems);
    arena_rewind(scratch, mark);
    return done;
}
