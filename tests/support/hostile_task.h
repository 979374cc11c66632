// Tasks that nobody would set, but that a slip of the hand, a bad trace or a broken file
// may: needles, spikes, slits and necks narrower than the lattice, outlines of thousands of
// points or of none, flaws without area and flaws over everything, numbers out of range.
//
// Most tasks are legal, however odd; some in five have something that must be refused.
//
// C leaves open in which order the arguments of a call and the values of a list are found, so none
// holds two draws: a trial's number stands for one task, whatever the compiler.
#pragma once

#include "base/random.h"
#include "layout/layout.h"

typedef struct Hostile {
    Random *random;
    Arena *keep;
    Ring kept;    // an outline to be drawn again
    bool heavy;   // many points and many copies
    bool illegal; // something may be against the rules
} Hostile;

static inline bool one_in(Hostile *hostile, int count)
{
    return random_below(hostile->random, count) == 0;
}

static inline double hostile_width_mm(Hostile *hostile)
{
    static const double widths_mm[] = {1e-9, 1e-4, 0.004, 0.005, 0.0051, 0.01, 0.013, 0.1, 3};
    return widths_mm[random_below(hostile->random, 9)];
}

static inline Ring ring_of_points(Hostile *hostile, const Point *points, int count)
{
    Point *copy = ARENA_ARRAY(hostile->keep, Point, count + 1);
    for (int i = 0; i < count; i++) {
        copy[i] = points[i];
    }
    return (Ring){copy, count};
}

static inline Ring hostile_box(Hostile *hostile, double width_mm, double height_mm)
{
    const Point points[] = {{0, 0}, {width_mm, 0}, {width_mm, height_mm}, {0, height_mm}};
    return ring_of_points(hostile, points, 4);
}

static inline Ring hostile_needle(Hostile *hostile, double size_mm)
{
    const double width_mm = hostile_width_mm(hostile);
    const Point points[] = {{0, 0}, {size_mm, size_mm / 3}, {-width_mm, width_mm}};
    return ring_of_points(hostile, points, 3);
}

static inline Ring hostile_spike(Hostile *hostile, double size_mm)
{
    const double half = hostile_width_mm(hostile) / 2;
    const double in_or_out = one_in(hostile, 2) ? 1.9 : 0.3;
    const Point points[] = {{0, 0},
                            {size_mm, 0},
                            {size_mm, size_mm / 2 - half},
                            {size_mm * in_or_out, size_mm / 2},
                            {size_mm, size_mm / 2 + half},
                            {size_mm, size_mm},
                            {0, size_mm}};
    return ring_of_points(hostile, points, 7);
}

// A frame that is all but closed around a hole; or, turned inside out, two squares on a
// neck.
static inline Ring hostile_slit(Hostile *hostile, double size_mm)
{
    const double half = hostile_width_mm(hostile) / 2;
    const double a = size_mm / 3;
    const Point frame[] = {{0, 0},
                           {3 * a, 0},
                           {3 * a, 1.5 * a - half},
                           {2 * a, 1.5 * a - half},
                           {2 * a, a},
                           {a, a},
                           {a, 2 * a},
                           {2 * a, 2 * a},
                           {2 * a, 1.5 * a + half},
                           {3 * a, 1.5 * a + half},
                           {3 * a, 3 * a},
                           {0, 3 * a}};
    const Point neck[] = {
        {0, 0},     {a, 0},     {a, a / 2 - half}, {2 * a, a / 2 - half}, {2 * a, 0},
        {3 * a, 0}, {3 * a, a}, {2 * a, a},        {2 * a, a / 2 + half}, {a, a / 2 + half},
        {a, a},     {0, a}};
    return ring_of_points(hostile, one_in(hostile, 2) ? frame : neck, 12);
}

static inline Ring hostile_comb(Hostile *hostile, double size_mm)
{
    const int teeth = 2 + random_below(hostile->random, hostile->heavy ? 300 : 12);
    Point *points = ARENA_ARRAY(hostile->keep, Point, 2 * teeth + 2);
    int count = 0;
    points[count++] = (Point){0, -size_mm / 10};
    points[count++] = (Point){size_mm, -size_mm / 10};
    for (int i = 2 * teeth - 1; i >= 0; i--) {
        points[count++] = (Point){size_mm * i / (2 * teeth), i % 2 ? size_mm : 0};
    }
    return (Ring){points, count};
}

static inline Ring hostile_round(Hostile *hostile, double size_mm)
{
    const int count = 3 + random_below(hostile->random, hostile->heavy ? 3000 : 40);
    const double rough = one_in(hostile, 2) ? 0 : 0.4;
    Point *points = ARENA_ARRAY(hostile->keep, Point, count);
    for (int i = 0; i < count; i++) {
        const double angle = 6.283185307179586 * i / count;
        const double far = size_mm / 2 * (1 - rough * random_share(hostile->random));
        points[i] = (Point){far * cos(angle), far * sin(angle)};
    }
    return (Ring){points, count};
}

// What task_check() must find, or what a flaw may be all the same.
static inline Ring hostile_broken(Hostile *hostile, double size_mm)
{
    const double odd[] = {(double)NAN, HUGE_VAL, -HUGE_VAL, 2.5e6, 1e300, -1e18};
    const Point bowtie[] = {{0, 0}, {size_mm, size_mm}, {size_mm, 0}, {0, size_mm}};
    const Point line[] = {{0, 0}, {size_mm / 2, size_mm / 2}, {size_mm, size_mm}};
    const Point there_and_back[] = {{0, 0}, {size_mm, 0}, {size_mm, size_mm}, {size_mm, 0}};
    const Point repeated[] = {{0, 0}, {0, 0}, {size_mm, 0}, {size_mm, size_mm}};
    const Point spot[] = {{size_mm, size_mm}, {size_mm, size_mm}, {size_mm, size_mm}};
    const Point far[] = {{0, 0}, {size_mm, 0}, {odd[random_below(hostile->random, 6)], size_mm}};
    switch (random_below(hostile->random, 8)) {
    case 0:
        return ring_of_points(hostile, bowtie, 4);
    case 1:
        return ring_of_points(hostile, line, 3);
    case 2:
        return ring_of_points(hostile, there_and_back, 4);
    case 3:
        return ring_of_points(hostile, repeated, 4);
    case 4:
        return ring_of_points(hostile, spot, 3);
    case 5:
        return ring_of_points(hostile, line, random_below(hostile->random, 3));
    case 6:
        return (Ring){NULL, 0};
    default:
        return ring_of_points(hostile, far, 3);
    }
}

static inline Ring hostile_shape(Hostile *hostile, double size_mm)
{
    switch (random_below(hostile->random, 8)) {
    case 0:
        return hostile_needle(hostile, size_mm);
    case 1:
        return hostile_spike(hostile, size_mm);
    case 2:
        return hostile_slit(hostile, size_mm);
    case 3:
        return hostile_comb(hostile, size_mm);
    case 4:
        return hostile_box(hostile, size_mm,
                           one_in(hostile, 4) ? hostile_width_mm(hostile) : size_mm * 0.7);
    case 5:
        return hostile->kept.count ? hostile->kept : hostile_box(hostile, size_mm, size_mm);
    default:
        return hostile_round(hostile, size_mm);
    }
}

static inline Ring hostile_ring(Hostile *hostile, double size_mm)
{
    static const double offsets_mm[] = {0, 0, 0, 0, 0, 0.005, 37.123, -1.9e6};
    if (hostile->illegal && one_in(hostile, 6)) {
        return hostile_broken(hostile, size_mm);
    }
    const Ring ring = hostile_shape(hostile, size_mm);
    hostile->kept = one_in(hostile, 3) ? ring : hostile->kept;
    const double offset_mm = offsets_mm[random_below(hostile->random, 8)];
    return one_in(hostile, 3)
               ? ring_moved(ring, (Motion){offset_mm, offset_mm / 2, one_in(hostile, 2)},
                            hostile->keep)
               : ring;
}

static inline Ring hostile_area(Hostile *hostile, double sheet_mm)
{
    static const double shares[] = {1e-6, 0.001, 0.1, 0.3, 1, 20};
    const double size_mm = sheet_mm * shares[random_below(hostile->random, 6)];
    const double x_mm = random_between(hostile->random, -0.3, 1) * sheet_mm;
    const double y_mm = random_between(hostile->random, -0.3, 1) * sheet_mm;
    // Without area, but legal: a scratch that was drawn as a line.
    const Point scratch[] = {{0, 0}, {size_mm, size_mm / 2}, {2 * size_mm, size_mm}};
    const Ring ring =
        one_in(hostile, 5) ? ring_of_points(hostile, scratch, 3) : hostile_shape(hostile, size_mm);
    if (hostile->illegal && one_in(hostile, 20)) {
        return hostile_broken(hostile, size_mm);
    }
    return ring_moved(ring, (Motion){x_mm, y_mm, 0}, hostile->keep);
}

static inline PolygonSet hostile_areas(Hostile *hostile, double sheet_mm)
{
    const int count = one_in(hostile, 2) ? 0 : 1 + random_below(hostile->random, 3);
    Polygon *items = ARENA_ARRAY(hostile->keep, Polygon, count + 1);
    for (int i = 0; i < count; i++) {
        items[i].outer = hostile_area(hostile, sheet_mm);
        if (one_in(hostile, 4)) {
            Ring *hole = ARENA_NEW(hostile->keep, Ring);
            *hole = hostile_area(hostile, sheet_mm / 3);
            items[i].holes = hole;
            items[i].hole_count = 1;
        }
    }
    return (PolygonSet){items, count};
}

static inline CostField hostile_field(Hostile *hostile, double sheet_mm)
{
    static const double steps[] = {0.3, 0.01, 50};
    float *cost = ARENA_ARRAY(hostile->keep, float, 9);
    for (int i = 0; i < 9; i++) {
        cost[i] = (float)random_share(hostile->random);
    }
    if (hostile->illegal && one_in(hostile, 10)) {
        cost[4] = one_in(hostile, 2) ? -1 : (float)NAN;
    }
    return (CostField){{0, 0}, sheet_mm * steps[random_below(hostile->random, 3)], 3, 3, cost};
}

static inline double hostile_gap(Hostile *hostile)
{
    static const double gaps_mm[] = {0, 0, 0, 0, 0.004, 0.01, 2, 7.3, 1000, -1, 1001};
    return gaps_mm[random_below(hostile->random, hostile->illegal && one_in(hostile, 9) ? 11 : 8)];
}

static inline void hostile_sheet(Hostile *hostile, Sheet *sheet)
{
    const double size_mm = random_between(hostile->random, 20, 500);
    sheet->outline = one_in(hostile, 2) ? hostile_box(hostile, size_mm, size_mm * 0.8)
                                        : hostile_ring(hostile, size_mm);
    if (one_in(hostile, 3)) {
        Ring *hole = ARENA_NEW(hostile->keep, Ring);
        *hole = hostile_ring(hostile, size_mm / 4);
        sheet->holes = hole;
        sheet->hole_count = 1;
    }
    for (int depth = 0; depth < LAYOUT_DEPTHS && one_in(hostile, 2); depth++) {
        sheet->forbidden[depth] = hostile_areas(hostile, size_mm);
    }
    if (one_in(hostile, 3)) {
        sheet->field = hostile_field(hostile, size_mm);
    }
    sheet->gap_mm = hostile_gap(hostile);
    sheet->price = one_in(hostile, 2) ? 0 : random_between(hostile->random, 0, 1e6);
}

static inline void hostile_turns(Hostile *hostile, Piece *piece)
{
    static const TurnRange ranges[] = {{0, 0},
                                       {0, 0},
                                       {1.5707963267948966, 1.5707963267948966},
                                       {-0.1, 0.1},
                                       {0, 6.283185307179586},
                                       {99, 100},
                                       {-100, 100},
                                       {1, 1 + 1e-12}};
    TurnRange *turns = ARENA_ARRAY(hostile->keep, TurnRange, LAYOUT_TURNS_MAX + 1);
    piece->turns = turns;
    piece->turn_count =
        1 + random_below(hostile->random, one_in(hostile, 4) ? LAYOUT_TURNS_MAX : 2);
    for (int i = 0; i < piece->turn_count; i++) {
        turns[i] = ranges[random_below(hostile->random, 8)];
    }
    if (hostile->illegal && one_in(hostile, 30)) {
        turns[0] = one_in(hostile, 2) ? (TurnRange){1, 0.5} : (TurnRange){0, (double)NAN};
    }
    piece->turn_symmetry = random_below(hostile->random, 3);
}

static inline void hostile_piece(Hostile *hostile, Piece *piece)
{
    static const int odd[] = {0, -1, 1001, 2147483647, -2147483647};
    const double size_mm = one_in(hostile, 8) ? 0.02 : random_between(hostile->random, 3, 200);
    piece->depth_count = 1 + random_below(hostile->random, LAYOUT_DEPTHS);
    piece->outline[0] = hostile_ring(hostile, size_mm);
    for (int depth = 1; depth < piece->depth_count; depth++) {
        // Nested or not: the judge looks at each by itself.
        piece->outline[depth] =
            one_in(hostile, 3) ? hostile_ring(hostile, size_mm / 2) : piece->outline[depth - 1];
    }
    hostile_turns(hostile, piece);
    piece->value = one_in(hostile, 10) ? 1e12 : random_between(hostile->random, 1e-9, 3);
    piece->demand = 1 + random_below(hostile->random, hostile->heavy ? 200 : 4);
    piece->gap_mm = one_in(hostile, 2) ? 0 : hostile_gap(hostile);
    piece->partners = random_below(hostile->random, 3);
    if (hostile->illegal && one_in(hostile, 25)) {
        piece->demand = odd[random_below(hostile->random, 5)];
        piece->depth_count = one_in(hostile, 3) ? odd[random_below(hostile->random, 5)] : 1;
        piece->value = one_in(hostile, 3) ? (double)NAN : 0;
    }
}

static inline void hostile_aim(Hostile *hostile, LayoutTask *task, Sheet *sheets)
{
    task->aim = (LayoutAim)random_below(hostile->random, 3);
    if (task->aim == LAYOUT_SHORTEST_STRIP && !one_in(hostile, 12)) {
        // A third of the strips without flaws; the others with those of the sheet that was drawn.
        if (task->sheet_count == 0 || one_in(hostile, 3)) {
            sheets[0] = (Sheet){.gap_mm = hostile_gap(hostile)};
        }
        task->sheet_count = 1;
        const double length_mm = one_in(hostile, 9) ? 100 : 20000;
        const double width_mm = random_between(hostile->random, 30, 400);
        sheets[0].outline = hostile_box(hostile, length_mm, width_mm);
    }
    LayoutWish *wishes = ARENA_ARRAY(hostile->keep, LayoutWish, LAYOUT_WISH_COUNT);
    task->wish_count = one_in(hostile, 4) ? random_below(hostile->random, 3) : 0;
    for (int i = 0; i < task->wish_count; i++) {
        wishes[i] = (LayoutWish)((random_below(hostile->random, 5) + 2 * i) % LAYOUT_WISH_COUNT);
    }
    task->wishes = wishes;
    task->useful_mm = one_in(hostile, 3) ? random_between(hostile->random, 0, 300) : 0;
    task->unfinished = one_in(hostile, 2);
}

static inline LayoutTask hostile_task(Random *random, Arena *keep)
{
    Hostile hostile = {.random = random, .keep = keep};
    hostile.heavy = one_in(&hostile, 60);
    hostile.illegal = one_in(&hostile, 5);
    LayoutTask task = {.sheet_count = random_below(random, hostile.heavy ? 12 : 3)};
    task.piece_count = random_below(random, hostile.heavy ? 30 : 5);
    if (hostile.illegal && one_in(&hostile, 30)) {
        task.piece_count = LAYOUT_PIECES_MAX + random_below(random, 2);
        task.sheet_count = LAYOUT_SHEETS_MAX + random_below(random, 2);
    }
    // Room for one sheet at least, which a strip wants.
    Sheet *sheets = ARENA_ARRAY(keep, Sheet, task.sheet_count + 1);
    for (int i = 0; i < task.sheet_count; i++) {
        hostile_sheet(&hostile, &sheets[i]);
    }
    Piece *pieces = ARENA_ARRAY(keep, Piece, task.piece_count + 1);
    for (int i = 0; i < task.piece_count; i++) {
        hostile_piece(&hostile, &pieces[i]);
    }
    task.sheets = sheets;
    task.pieces = pieces;
    hostile_aim(&hostile, &task, sheets);
    return task;
}
