#include "layout/strip.h"

#include "layout/shorten.h"
#include "layout/strip_start.h"
#include "layout/task.h"
#include "plane/lattice.h"

#include <float.h>
#include <math.h>

static const double nanoseconds_in_unit = 6.5e8;
static const size_t pair_bytes = (size_t)2 << 30;
// Across the strip; finer grids cost more than they find.
static const double steps_across = 200;
// Grid points of all pairs together; each takes 12 bytes and some nanoseconds to make.
static const double points_in_all = 1.2e7;
// Points of all turned outlines together; beyond them they are simplified.
enum { OUTLINE_POINTS = 4000, OUTLINE_POINTS_LEAST = 16 };

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

// The greatest whole number of which both are multiples.
static double common_step(double a, double b)
{
    while (b > 0) {
        const double rest = fmod(a, b);
        a = b;
        b = rest;
    }
    return a;
}

static double part_step(const ConvexPart *part, double step)
{
    for (int i = 0; i < part->count; i++) {
        step = common_step(step, fabs(part->x[i]));
        step = common_step(step, fabs(part->y[i]));
    }
    return step;
}

// The greatest step whose multiples are all corners and the width.
static double corner_step(const Strip *strip, int piece_count)
{
    double step = strip->width;
    for (int i = 0; i < piece_count; i++) {
        for (int k = 0; k < strip->pieces[i].turned_count; k++) {
            const ConvexParts *parts = &strip->pieces[i].turned[k].body.parts;
            for (int part = 0; part < parts->count; part++) {
                step = part_step(&parts->items[part], step);
            }
        }
    }
    return step;
}

// The finest grid on which the maps of all pairs find room: each is about twice as long and
// wide as a piece.
static double affordable_step(const Strip *strip, int piece_count)
{
    double reach = 0;
    for (int i = 0; i < piece_count; i++) {
        for (int k = 0; k < strip->pieces[i].turned_count; k++) {
            const Turned *one = &strip->pieces[i].turned[k];
            reach += sqrt(one->width * one->height);
        }
    }
    return fmax(1, 2 * reach / sqrt(points_in_all));
}

// A grid that holds all corners when they lie on a coarse one, so that fits that touch are found
// on it; else about as fine as is worth its cost.
static double grid_step(const Strip *strip, int piece_count)
{
    const double wanted = fmax(affordable_step(strip, piece_count), strip->width / steps_across);
    const double corners = corner_step(strip, piece_count);
    int parts = (int)ceil(corners / wanted);
    while (parts > 1 && fmod(corners, parts) != 0) {
        parts++;
    }
    const double step = corners / (parts > 1 ? parts : 1);
    return step > wanted / 2 ? step : ceil(wanted);
}

static int points_allowed(const LayoutTask *task)
{
    int turns = 0;
    for (int i = 0; i < task->piece_count; i++) {
        turns += strip_turns_tried(&task->pieces[i]);
    }
    const int each = OUTLINE_POINTS / (turns > 0 ? turns : 1);
    return each < OUTLINE_POINTS_LEAST ? OUTLINE_POINTS_LEAST
           : each > PARTS_POINTS_MAX   ? PARTS_POINTS_MAX
                                       : each;
}

// Room for all copies. The least length follows from area and from the longest piece.
static bool make_pieces(Shortening *run, Arena *arena, Problems *problems)
{
    Strip *strip = &run->strip;
    const LayoutTask *task = run->task;
    StripPiece *pieces = ARENA_ARRAY(arena, StripPiece, task->piece_count + 1);
    int *piece_of = ARENA_ARRAY(arena, int, LAYOUT_COPIES_MAX + 1);
    const int points = points_allowed(task);
    double area = 0;
    for (int i = 0; i < task->piece_count; i++) {
        const Box box = ring_box(task->pieces[i].outline[0]);
        const StripMaking making = {task_widest_gap_mm(task), strip->width, points,
                                    strip->turned_count};
        const double size = point_distance(box.min, box.max) * LATTICE_PER_MM;
        if (size > STRIP_UNITS_MAX / 2 ||
            !strip_piece_make(&task->pieces[i], making, arena, &pieces[i])) {
            return refuse(
                problems, arena_text(problems->keep, "pieces[%d]", i),
                arena_text(problems->keep, "%.1f x %.1f mm, in no allowed turn within the width",
                           box.max.x - box.min.x, box.max.y - box.min.y),
                arena_text(problems->keep, "a width of %.2f mm", strip->width / LATTICE_PER_MM),
                "a wider strip, or more turns");
        }
        double shortest = DBL_MAX;
        for (int k = 0; k < pieces[i].turned_count; k++) {
            shortest = fmin(shortest, pieces[i].turned[k].width);
        }
        strip->turned_count += pieces[i].turned_count;
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
    strip->step = grid_step(strip, task->piece_count);
    return true;
}

static void hand_out(Shortening *run, Arena *keep, Layout *layout)
{
    const LayoutTask *task = run->task;
    for (int i = 0; i < run->strip.count; i++) {
        run->strip.spots[i] = run->best[i];
    }
    *layout = (Layout){.placements = shortening_placements(run, keep),
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
    const size_t turned = (size_t)strip->turned_count;
    strip->pairs = ARENA_ARRAY(arena, Pair *, turned * turned + 1);
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
    if (!shortening_keep(run)) {
        // Only the rounding of points between two lattice units can lead here.
        strip_row(strip);
        lengthen(run, box, scratch);
        if (!shortening_keep(run)) {
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
    Arena *pairs = arena_create("pairs of a strip", pair_bytes);
    if (!pairs) {
        return problems_say(problems, PROBLEM_SYSTEM, "layout", "no memory left");
    }
    Shortening *run = ARENA_NEW(scratch, Shortening);
    run->task = task;
    run->strip.width = round(box.max.y * LATTICE_PER_MM);
    run->strip.keep = pairs;
    run->strip.scratch = scratch;
    run->strip.row_gap = 2 * (task_widest_gap_mm(task) + 1) * LATTICE_PER_MM;
    run->strip.random = random_begin(options.seed, 0, 0);
    run->strip.work.progress = progress;
    run->strip.work.limit = nanoseconds_in_unit * (options.work > 0 ? options.work : 1.0);
    const bool done =
        make_pieces(run, scratch, problems) && run_all(run, box, keep, layout, problems);
    arena_destroy(pairs);
    arena_rewind(scratch, mark);
    return done;
}
