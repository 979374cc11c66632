#include "layout/strip_pieces.h"

#include "layout/task.h"
#include "plane/lattice.h"

#include <math.h>

// Across the strip; finer grids cost more than they find.
static const double steps_across = 200;
// Grid points of all pairs together; each takes 12 bytes and some nanoseconds to make.
static const double points_in_all = 1.2e7;
// Points of all turned outlines together; beyond them they are simplified.
enum { OUTLINE_POINTS = 4000, OUTLINE_POINTS_LEAST = 16 };

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
static double corner_step(const StripPieces *made, int piece_count)
{
    double step = made->width;
    for (int i = 0; i < piece_count; i++) {
        for (int k = 0; k < made->pieces[i].turned_count; k++) {
            const ConvexParts *parts = &made->pieces[i].turned[k].body.parts;
            for (int part = 0; part < parts->count; part++) {
                step = part_step(&parts->items[part], step);
            }
        }
    }
    return step;
}

// The finest grid on which the maps of all pairs find room: each is about twice as long and
// wide as a piece.
static double affordable_step(const StripPieces *made, int piece_count)
{
    double reach = 0;
    for (int i = 0; i < piece_count; i++) {
        for (int k = 0; k < made->pieces[i].turned_count; k++) {
            const Turned *one = &made->pieces[i].turned[k];
            reach += sqrt(one->width * one->height);
        }
    }
    return fmax(1, 2 * reach / sqrt(points_in_all));
}

// A grid that holds all corners when they lie on a coarse one, so that fits that touch are found
// on it; else about as fine as is worth its cost.
static double grid_step(const StripPieces *made, int piece_count)
{
    const double wanted = fmax(affordable_step(made, piece_count), made->width / steps_across);
    const double corners = corner_step(made, piece_count);
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

static bool refuse_piece(const LayoutTask *task, int piece, double width, Problems *problems)
{
    const Box box = ring_box(task->pieces[piece].outline[0]);
    return problems_add(
        problems,
        (Problem){PROBLEM_BAD_INPUT, arena_text(problems->keep, "pieces[%d]", piece),
                  arena_text(problems->keep, "%.1f x %.1f mm, in no allowed turn within the width",
                             box.max.x - box.min.x, box.max.y - box.min.y),
                  arena_text(problems->keep, "a width of %.2f mm", width / LATTICE_PER_MM),
                  "a wider strip, or more turns"});
}

static double shortest_of(const StripPiece *piece)
{
    double shortest = HUGE_VAL;
    for (int i = 0; i < piece->turned_count; i++) {
        shortest = fmin(shortest, piece->turned[i].width);
    }
    return shortest;
}

bool strip_pieces_make(const LayoutTask *task, double width, Arena *keep, StripPieces *made,
                       Problems *problems)
{
    StripPiece *pieces = ARENA_ARRAY(keep, StripPiece, task->piece_count + 1);
    int *piece_of = ARENA_ARRAY(keep, int, LAYOUT_COPIES_MAX + 1);
    *made = (StripPieces){.pieces = pieces, .piece_of = piece_of, .width = width};
    const int points = points_allowed(task);
    double area = 0;
    for (int i = 0; i < task->piece_count; i++) {
        const Box box = ring_box(task->pieces[i].outline[0]);
        const double size = point_distance(box.min, box.max) * LATTICE_PER_MM;
        const StripMaking making = {task_widest_gap_mm(task), width, points, made->turned_count};
        if (size > STRIP_UNITS_MAX / 2 ||
            !strip_piece_make(&task->pieces[i], making, keep, &pieces[i])) {
            return refuse_piece(task, i, width, problems);
        }
        made->turned_count += pieces[i].turned_count;
        made->least_length = fmax(made->least_length, shortest_of(&pieces[i]));
        for (int k = 0; k < task->pieces[i].demand; k++) {
            piece_of[made->count++] = i;
            area += pieces[i].area;
        }
    }
    // Rounding to the lattice may take a little off each piece.
    made->least_length = fmax(made->least_length, floor(0.9999 * area / width));
    made->step = grid_step(made, task->piece_count);
    return true;
}
