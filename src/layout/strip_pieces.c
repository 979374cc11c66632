#include "layout/strip_pieces.h"

#include "layout/pair_budget.h"
#include "layout/task.h"
#include "plane/lattice.h"

#include <math.h>

// Across the strip; finer grids cost more than they find.
static const double steps_across = 150;
// By so much at most a grid may be coarser that holds all corners.
static const double coarser = 1.7;
// Places on the whole sheet, which are looked over again and again.
static const double places_in_all = 2.5e8;
// Grid points of all pairs together; each takes 9 bytes and some nanoseconds to make. So many
// are wanted, and so many at most with those around the edge, which very many pairs need most.
static const double points_wanted = 4e6;
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

// Of all that makes pairs: whatever moves is told from whatever moves or is locked, and what of
// it is so deep from the flaws of a depth.
typedef struct StripSums {
    PairSums coarse; // pieces in coarse turns
    PairSums pieces;
    PairSums locked;
    PairSums bare[LAYOUT_DEPTHS];
    PairSums flaws[LAYOUT_DEPTHS];
} StripSums;

static StripSums strip_sums(const StripPieces *made, int piece_count)
{
    StripSums sums = {.pieces = {.count = 0}};
    for (int i = 0; i < piece_count; i++) {
        for (int k = 0; k < made->pieces[i].turned_count; k++) {
            const Turned *turned = &made->pieces[i].turned[k];
            pair_sums_add(&sums.pieces, &turned->body);
            if (!turned->fine) {
                pair_sums_add(&sums.coarse, &turned->body);
            }
            for (int depth = 0; depth < LAYOUT_DEPTHS; depth++) {
                pair_sums_add(&sums.bare[depth], &turned->bare[depth]);
            }
        }
    }
    for (int i = 0; i < made->still.locked_count + made->still.flaw_count; i++) {
        const Turned *turned = &made->still.items[i].turned;
        pair_sums_add(turned->flaw ? &sums.flaws[turned->depth] : &sums.locked, &turned->body);
    }
    return sums;
}

static double points_in_all(const StripSums *sums, double step)
{
    const double spare = 2.5; // pair_make() adds five in all
    double points = pair_points(&sums->pieces, &sums->pieces, step, spare) +
                    pair_points(&sums->locked, &sums->pieces, step, spare);
    for (int depth = 0; depth < LAYOUT_DEPTHS; depth++) {
        points += pair_points(&sums->flaws[depth], &sums->bare[depth], step, spare);
    }
    return points;
}

// The finest grid from `least` on with which the maps of all pairs find room. Those of flaws and of
// fine turns are made when they are asked for, so they count only where room ends.
static double affordable_step(const StripPieces *made, int piece_count, double least)
{
    const StripSums sums = strip_sums(made, piece_count);
    double largest = fmax(sums.pieces.largest, sums.locked.largest);
    for (int depth = 0; depth < LAYOUT_DEPTHS; depth++) {
        largest = fmax(largest, sums.flaws[depth].largest);
    }
    double step = fmax(1, least);
    while (step < largest && (pair_points(&sums.coarse, &sums.coarse, step, 0) > points_wanted ||
                              points_in_all(&sums, step) > points_most)) {
        step *= 1.02;
    }
    return step;
}

// A grid that holds all corners, and what lies halfway between them: where slanted edges touch, the
// offset is a whole number of halves more often than not. 0 when that is too fine, or none.
static double grid_of_corners(double corners, double wanted)
{
    int parts = 2 * (int)ceil(corners / wanted / (2 * coarser));
    while (fmod(corners, parts) != 0 && corners / parts > wanted / 2) {
        parts += 2;
    }
    if (fmod(corners, parts) == 0 && corners / parts > wanted / 2) {
        return corners / parts;
    }
    return corners > wanted / 2 && corners < coarser * wanted ? corners : 0;
}

// Where all corners lie on a coarse grid, one that holds them, so that fits that touch are found on
// it; else about as fine as is worth its cost.
static void choose_grid(StripPieces *made, int piece_count, double length)
{
    const double across = made->width / steps_across;
    const double along = sqrt(length * made->width / places_in_all);
    const double wanted = affordable_step(made, piece_count, fmax(across, along));
    const double step = grid_of_corners(corner_step(made, piece_count), wanted);
    made->holds_corners = step > 0;
    made->step = step > 0 ? step : ceil(wanted);
}

static int turns_in_all(const LayoutTask *task, int most)
{
    int turns = 0;
    for (int i = 0; i < task->piece_count; i++) {
        const int count = turn_list(&task->pieces[i], (TurnSteps){.few = true}).count;
        turns += count < most ? count : most;
    }
    return turns;
}

// With so many that lie still.
static int turns_allowed(const LayoutTask *task, int still)
{
    int most = TURNED_MAX;
    int turns = turns_in_all(task, most);
    while (most > 1 && (double)turns * (turns + still) > TURNED_IN_ALL * TURNED_IN_ALL) {
        most--;
        turns = turns_in_all(task, most);
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

// How many copies of each piece are not locked.
static int *count_movable(const LayoutTask *task, Arena *keep)
{
    int *movable = ARENA_ARRAY(keep, int, task->piece_count + 1);
    for (int i = 0; i < task->piece_count; i++) {
        movable[i] = task->pieces[i].demand;
    }
    for (int i = 0; i < task->locked_count; i++) {
        movable[task->locked[i].piece]--;
    }
    return movable;
}

// What lies still comes after all that moves: each is a piece of its own, in one turn.
static void add_still(StripPieces *made, StripPiece *pieces, int *piece_of, int piece_count)
{
    const StripStill *still = &made->still;
    made->laid = made->movable + still->locked_count;
    made->all = made->laid + still->flaw_count;
    for (int i = 0; i < still->locked_count + still->flaw_count; i++) {
        StripFixed *one = &still->items[i];
        one->turned.number = made->turned_count + i;
        pieces[piece_count + i] = (StripPiece){.turned = &one->turned, .turned_count = 1};
        piece_of[made->movable + i] = piece_count + i;
        if (!one->turned.flaw) {
            made->least_length = fmax(made->least_length, one->x + one->turned.width);
        }
    }
}

static double pieces_area(const LayoutTask *task)
{
    double area = 0;
    for (int i = 0; i < task->piece_count; i++) {
        const double one_mm2 = fabs(ring_area_mm2(task->pieces[i].outline[0]));
        area += one_mm2 * LATTICE_PER_MM * LATTICE_PER_MM * task->pieces[i].demand;
    }
    return area;
}

// All pieces with outlines of so many points at most.
static bool make_pieces(const LayoutTask *task, StripMaking making, StripStill still, Arena *keep,
                        StripPieces *made, Problems *problems)
{
    const int still_count = still.locked_count + still.flaw_count;
    StripPiece *pieces = ARENA_ARRAY(keep, StripPiece, task->piece_count + still_count + 1);
    int *piece_of = ARENA_ARRAY(keep, int, LAYOUT_COPIES_MAX + still_count + 1);
    const int *movable = count_movable(task, keep);
    *made = (StripPieces){
        .pieces = pieces, .piece_of = piece_of, .still = still, .width = making.width};
    for (int i = 0; i < task->piece_count; i++) {
        if (movable[i] == 0) {
            continue;
        }
        const Box box = ring_box(task->pieces[i].outline[0]);
        const double size = point_distance(box.min, box.max) * LATTICE_PER_MM;
        making.first_number = made->turned_count;
        if (size > STRIP_UNITS_MAX / 2 ||
            !strip_piece_make(&task->pieces[i], making, keep, &pieces[i])) {
            return refuse_piece(task, i, making.width, problems);
        }
        made->turned_count += pieces[i].turned_count;
        made->least_length = fmax(made->least_length, shortest_of(&pieces[i]));
        for (int k = 0; k < movable[i]; k++) {
            piece_of[made->movable++] = i;
        }
    }
    add_still(made, pieces, piece_of, task->piece_count);
    // Rounding to the lattice may take a little off each piece.
    made->least_length = fmax(made->least_length, floor(0.9999 * pieces_area(task) / making.width));
    const double length = round(ring_box(task->sheets[0].outline).max.x * LATTICE_PER_MM);
    made->steps = making.steps;
    choose_grid(made, task->piece_count, length);
    return made->least_length <= length || refuse_length(length, made->least_length, problems);
}

static bool sums_find_room(const StripPieces *made, int piece_count)
{
    const StripSums sums = strip_sums(made, piece_count);
    double bytes = pair_sum_bytes(&sums.pieces, &sums.pieces, made->step) +
                   pair_sum_bytes(&sums.locked, &sums.pieces, made->step);
    for (int depth = 0; depth < LAYOUT_DEPTHS; depth++) {
        bytes += pair_sum_bytes(&sums.flaws[depth], &sums.bare[depth], made->step);
    }
    return bytes <= sum_bytes_most;
}

// With the points that are allowed for pieces and for flaws.
static bool make_all(const LayoutTask *task, StripMaking making, int flaw_points, Arena *keep,
                     StripPieces *made, Problems *problems)
{
    StripStill still;
    if (!strip_still_make(task, making, flaw_points, keep, &still, problems)) {
        return false;
    }
    // The more lies still, the fewer turns are tried of what moves.
    making.turns_most = turns_allowed(task, still.locked_count + still.flaw_count);
    if (making.turns_most == TURNED_MAX) {
        making.steps = turn_steps(task, TURNED_MAX);
    }
    return make_pieces(task, making, still, keep, made, problems);
}

bool strip_pieces_make(const LayoutTask *task, double width, Arena *keep, StripPieces *made,
                       Problems *problems)
{
    StripMaking making = {.gap_mm = task_widest_gap_mm(task),
                          .width = width,
                          .points_most = points_allowed(task, turns_allowed(task, 0))};
    strip_flaw_depths(&task->sheets[0], making.flaws);
    int flaw_points = STRIP_FLAW_POINTS_MAX;
    const ArenaMark mark = arena_mark(keep);
    bool good = make_all(task, making, flaw_points, keep, made, problems);
    while (good && making.points_most > POINTS_OF_BOX && !sums_find_room(made, task->piece_count)) {
        const bool flaws_first = made->still.flaw_count > 0 && flaw_points > making.points_most;
        arena_rewind(keep, mark);
        flaw_points = flaws_first ? flaw_points / 2 : flaw_points;
        making.points_most = flaws_first ? making.points_most : making.points_most / 2;
        good = make_all(task, making, flaw_points, keep, made, problems);
    }
    return good;
}
