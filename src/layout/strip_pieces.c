#include "layout/strip_pieces.h"

#include "layout/task.h"
#include "plane/lattice.h"

#include <math.h>

// Across the strip; finer grids cost more than they find.
static const double steps_across = 150;
// Places on the whole sheet, which are looked over again and again.
static const double places_in_all = 2.5e8;
// Grid points of all pairs together; each takes 9 bytes and some nanoseconds to make. So many
// are wanted, and so many at most with those around the edge, which very many pairs need most.
static const double points_wanted = 8e6;
static const double points_most = 8e7;
// Bytes of what all pairs know of the sums of their parts.
static const double sum_bytes_most = 1e9;
// Points of all turned outlines together; beyond them they are simplified.
enum { OUTLINE_POINTS = 4000, OUTLINE_POINTS_LEAST = 16, POINTS_OF_BOX = 4 };
// Turned outlines of all pieces together; beyond them fewer turns are tried. There may be
// as many pairs as their square.
enum { TURNED_IN_ALL = 1000 };

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

// Sums over all turned outlines, of which those over all pairs are made up.
typedef struct PairSums {
    double count;
    double width;
    double height;
    double area;    // of the boxes
    double largest; // width or height of any
    double parts;   // convex ones
    double corners; // of the parts
    double extent;  // width and height of the parts
} PairSums;

static Box part_box(const ConvexPart *part)
{
    Box box = {{HUGE_VAL, HUGE_VAL}, {-HUGE_VAL, -HUGE_VAL}};
    for (int i = 0; i < part->count; i++) {
        box.min.x = fmin(box.min.x, part->x[i]);
        box.min.y = fmin(box.min.y, part->y[i]);
        box.max.x = fmax(box.max.x, part->x[i]);
        box.max.y = fmax(box.max.y, part->y[i]);
    }
    return box;
}

static void add_body(PairSums *sums, const Body *body)
{
    Box all = {{HUGE_VAL, HUGE_VAL}, {-HUGE_VAL, -HUGE_VAL}};
    for (int i = 0; i < body->parts.count; i++) {
        const Box box = part_box(&body->parts.items[i]);
        all.min = (Point){fmin(all.min.x, box.min.x), fmin(all.min.y, box.min.y)};
        all.max = (Point){fmax(all.max.x, box.max.x), fmax(all.max.y, box.max.y)};
        sums->extent += box.max.x - box.min.x + box.max.y - box.min.y;
        sums->corners += body->parts.items[i].count;
    }
    const double width = all.max.x - all.min.x;
    const double height = all.max.y - all.min.y;
    sums->count++;
    sums->width += width;
    sums->height += height;
    sums->area += width * height;
    sums->largest = fmax(sums->largest, fmax(width, height));
    sums->parts += body->parts.count;
}

static PairSums pair_sums(const StripPieces *made, int piece_count)
{
    PairSums sums = {.count = 0};
    for (int i = 0; i < piece_count; i++) {
        for (int k = 0; k < made->pieces[i].turned_count; k++) {
            add_body(&sums, &made->pieces[i].turned[k].body);
        }
    }
    return sums;
}

// Grid points of all pairs: each pair's grid is as wide as both outlines together and, at
// either end of both, `spare` columns more; and as high alike.
static double pair_points(const PairSums *sums, double step, double spare)
{
    const double width = sums->width / step + spare * sums->count;
    const double height = sums->height / step + spare * sums->count;
    const double area = sums->area / (step * step) + spare * (sums->width + sums->height) / step +
                        spare * spare * sums->count;
    return 2 * (sums->count * area + width * height);
}

// Bytes of the sums of all pairs of parts (three numbers for each corner of both), and of the
// lists that name each in the cells along its edge.
static double pair_sum_bytes(const PairSums *sums, double step)
{
    const double pairs = sums->parts * sums->parts;
    const double sides = 2 * sums->parts * sums->corners;
    const double cells = 2 * (2 * sums->parts * sums->extent / step + 4 * pairs);
    return 16 * pairs + 24 * sides + 2 * cells;
}

// The finest grid from `least` on with which the maps of all pairs find room.
static double affordable_step(const StripPieces *made, int piece_count, double least)
{
    const double spare = 2.5; // pair_make() adds five in all
    const PairSums sums = pair_sums(made, piece_count);
    double step = fmax(1, least);
    while (step < sums.largest && (pair_points(&sums, step, 0) > points_wanted ||
                                   pair_points(&sums, step, spare) > points_most)) {
        step *= 1.02;
    }
    return step;
}

// A grid that holds all corners when they lie on a coarse one, so that fits that touch are found
// on it; else about as fine as is worth its cost.
static double grid_step(const StripPieces *made, int piece_count, double length)
{
    const double across = made->width / steps_across;
    const double along = sqrt(length * made->width / places_in_all);
    const double wanted = affordable_step(made, piece_count, fmax(across, along));
    const double corners = corner_step(made, piece_count);
    int parts = (int)ceil(corners / wanted / 1.4);
    while (parts > 1 && fmod(corners, parts) != 0) {
        parts++;
    }
    const double step = corners / (parts > 1 ? parts : 1);
    return step > wanted / 2 ? step : ceil(wanted);
}

static int turns_in_all(const LayoutTask *task, int most)
{
    int turns = 0;
    for (int i = 0; i < task->piece_count; i++) {
        turns += strip_turns_tried(&task->pieces[i], most);
    }
    return turns;
}

static int turns_allowed(const LayoutTask *task)
{
    int most = TURNED_MAX;
    while (most > 1 && turns_in_all(task, most) > TURNED_IN_ALL) {
        most--;
    }
    return most;
}

static int points_allowed(const LayoutTask *task, int turns_most)
{
    const int turns = turns_in_all(task, turns_most);
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

static bool refuse_length(double length, double least, Problems *problems)
{
    return problems_add(
        problems,
        (Problem){PROBLEM_BAD_INPUT, "sheets[0].outline",
                  arena_text(problems->keep, "a strip of %.1f mm; the pieces take %.1f mm or more",
                             length / LATTICE_PER_MM, least / LATTICE_PER_MM),
                  "a strip long enough for all pieces", "a longer strip"});
}

static double shortest_of(const StripPiece *piece)
{
    double shortest = HUGE_VAL;
    for (int i = 0; i < piece->turned_count; i++) {
        shortest = fmin(shortest, piece->turned[i].width);
    }
    return shortest;
}

// All pieces with outlines of so many points at most.
static bool make_pieces(const LayoutTask *task, StripMaking making, Arena *keep, StripPieces *made,
                        Problems *problems)
{
    StripPiece *pieces = ARENA_ARRAY(keep, StripPiece, task->piece_count + 1);
    int *piece_of = ARENA_ARRAY(keep, int, LAYOUT_COPIES_MAX + 1);
    *made = (StripPieces){.pieces = pieces, .piece_of = piece_of, .width = making.width};
    double area = 0;
    for (int i = 0; i < task->piece_count; i++) {
        const Box box = ring_box(task->pieces[i].outline[0]);
        const double size = point_distance(box.min, box.max) * LATTICE_PER_MM;
        making.first_number = made->turned_count;
        if (size > STRIP_UNITS_MAX / 2 ||
            !strip_piece_make(&task->pieces[i], making, keep, &pieces[i])) {
            return refuse_piece(task, i, making.width, problems);
        }
        made->turned_count += pieces[i].turned_count;
        made->least_length = fmax(made->least_length, shortest_of(&pieces[i]));
        for (int k = 0; k < task->pieces[i].demand; k++) {
            piece_of[made->count++] = i;
            area += pieces[i].area;
        }
    }
    // Rounding to the lattice may take a little off each piece.
    made->least_length = fmax(made->least_length, floor(0.9999 * area / making.width));
    const double length = round(ring_box(task->sheets[0].outline).max.x * LATTICE_PER_MM);
    made->step = grid_step(made, task->piece_count, length);
    return made->least_length <= length || refuse_length(length, made->least_length, problems);
}

static bool sums_find_room(const StripPieces *made, int piece_count)
{
    const PairSums sums = pair_sums(made, piece_count);
    return pair_sum_bytes(&sums, made->step) <= sum_bytes_most;
}

bool strip_pieces_make(const LayoutTask *task, double width, Arena *keep, StripPieces *made,
                       Problems *problems)
{
    const int turns = turns_allowed(task);
    StripMaking making = {.gap_mm = task_widest_gap_mm(task),
                          .width = width,
                          .points_most = points_allowed(task, turns),
                          .turns_most = turns};
    const ArenaMark mark = arena_mark(keep);
    bool good = make_pieces(task, making, keep, made, problems);
    while (good && making.points_most > POINTS_OF_BOX && !sums_find_room(made, task->piece_count)) {
        arena_rewind(keep, mark);
        making.points_most = making.points_most / 2;
        good = make_pieces(task, making, keep, made, problems);
    }
    return good;
}
