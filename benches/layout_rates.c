// How fast the parts of the layout engine are, on an invented hide: docs/benches.md.
//
//   bench_layout_rates
//
// One line for each part, in processor time of one core.
#include "base/units.h"
#include "runs.h"

#include "base/random.h"
#include "layout/drag.h"
#include "layout/search.h"
#include "plane/lattice.h"

#include <math.h>
#include <stdio.h>

static const double ten_degrees_rad = 0.17453292519943295;
static const double measured_s = 0.5; // each part, at least
static const double cover_scale = 2;  // of a seat cover to a small piece

enum {
    HIDE_POINTS = 300,
    FLAWS = 60,
    FLAW_POINTS = 16,
    KINDS = 6,
    COPIES = 10,
    PIECE_POINTS = 120,
    QUESTIONS = 4096, // motions drawn beforehand, and asked round and round
};

// ---- An invented hide and pieces for it

// A round outline with waves, as leather has them.
static Ring wavy_ring(Point middle, double wide_mm, double high_mm, int count, Random *random,
                      Arena *keep)
{
    Point *points = ARENA_ARRAY(keep, Point, count);
    double phases_rad[4];
    for (int wave = 0; wave < 4; wave++) {
        phases_rad[wave] = random_between(random, 0, WHOLE_TURN_RAD);
    }
    for (int i = 0; i < count; i++) {
        const double angle_rad = WHOLE_TURN_RAD * i / count;
        double far = 1;
        for (int wave = 0; wave < 4; wave++) {
            far += 0.06 * cos((wave + 2) * angle_rad + phases_rad[wave]);
        }
        points[i] = (Point){middle.x + 0.5 * wide_mm * far * cos(angle_rad),
                            middle.y + 0.5 * high_mm * far * sin(angle_rad)};
    }
    return (Ring){points, count};
}

static void make_sheet(Sheet *sheet, Random *random, Arena *keep)
{
    *sheet = (Sheet){.outline = wavy_ring((Point){0, 0}, 2600, 2400, HIDE_POINTS, random, keep),
                     .gap_mm = 3};
    Polygon *flaws = ARENA_ARRAY(keep, Polygon, FLAWS);
    for (int i = 0; i < FLAWS; i++) {
        const Point middle = {random_between(random, -1200, 1200),
                              random_between(random, -1100, 1100)};
        const double size_mm = random_between(random, 15, 70);
        flaws[i].outer = wavy_ring(middle, size_mm, size_mm, FLAW_POINTS, random, keep);
    }
    // Half of them keep off the whole piece, half only off what is seen.
    sheet->forbidden[0] = (PolygonSet){flaws, FLAWS / 2};
    sheet->forbidden[1] = (PolygonSet){flaws + FLAWS / 2, FLAWS - FLAWS / 2};
}

static void make_pieces(Piece *pieces, double scale, Random *random, Arena *keep)
{
    TurnRange *turns = ARENA_ARRAY(keep, TurnRange, 2);
    turns[0] = (TurnRange){-ten_degrees_rad, ten_degrees_rad};
    turns[1] =
        (TurnRange){WHOLE_TURN_RAD / 2 - ten_degrees_rad, WHOLE_TURN_RAD / 2 + ten_degrees_rad};
    for (int i = 0; i < KINDS; i++) {
        const double size_mm = scale * (180 + 20 * i);
        const Ring outline = wavy_ring((Point){0, 0}, size_mm, size_mm, PIECE_POINTS, random, keep);
        Point *inner = ARENA_ARRAY(keep, Point, PIECE_POINTS);
        for (int j = 0; j < PIECE_POINTS; j++) {
            inner[j] = point_times(outline.points[j], 0.8);
        }
        pieces[i] = (Piece){.outline = {outline, {inner, PIECE_POINTS}},
                            .depth_count = 2,
                            .turns = turns,
                            .turn_count = 2,
                            .value = ring_area_mm2(outline),
                            .demand = COPIES,
                            .turn_symmetry = 1};
    }
}

// ---- Measuring

typedef struct Rates {
    LayoutTask task;
    Layout layout;
    Motion motions[QUESTIONS];
    Arena *keep;
    Arena *scratch;
    const Drag *drag;
    LatticeRing first[QUESTIONS]; // pairs of outlines near each other
    LatticeRing second[QUESTIONS];
    int yes; // answers; whoever prints them cannot leave out the work
} Rates;

static void print_rate(const char *what, double per_second)
{
    printf("%-44s %12.0f a second %10.2f us each\n", what, per_second, 1e6 / per_second);
}

// Asks question after question until enough time has passed.
static double rate_of(Rates *rates, bool (*ask)(Rates *rates, int question))
{
    const Stopwatch begun = stopwatch_begin();
    double asked = 0;
    do {
        for (int i = 0; i < QUESTIONS; i++) {
            rates->yes += ask(rates, i);
        }
        asked += QUESTIONS;
    } while (stopwatch_since(begun).cpu_s < measured_s);
    return asked / stopwatch_since(begun).cpu_s;
}

static bool ask_pair(Rates *rates, int question)
{
    return lattice_interiors_meet(rates->first[question], rates->second[question], rates->scratch);
}

static bool ask_drag(Rates *rates, int question)
{
    const int index = question % rates->layout.count;
    LayoutFault faults[8];
    return drag_check(rates->drag, index, 0, rates->motions[question], rates->scratch, faults, 8) ==
           0;
}

static Point random_offset(Random *random, double far_mm)
{
    return (Point){random_between(random, -far_mm, far_mm),
                   random_between(random, -far_mm, far_mm)};
}

// Outlines whose boxes meet: as pairs come to an exact test.
static void measure_pairs(Rates *rates, Random *random)
{
    for (int i = 0; i < QUESTIONS; i++) {
        const Piece *pieces = rates->task.pieces;
        const Ring a = pieces[random_below(random, KINDS)].outline[0];
        const Ring b = pieces[random_below(random, KINDS)].outline[0];
        const Point off = random_offset(random, 200);
        rates->first[i] = lattice_ring(a, (Motion){0, 0, 0}, rates->keep);
        rates->second[i] = lattice_ring(b, (Motion){off.x, off.y, 0.1}, rates->keep);
    }
    print_rate("exact test of a pair, 120 points each", rate_of(rates, ask_pair));
}

// A piece moved about its place, as a hand does, and anywhere on the hide.
static void measure_drag(Rates *rates, Random *random)
{
    Stopwatch begun = stopwatch_begin();
    rates->drag = drag_prepare(&rates->task, rates->layout.placements, rates->layout.count,
                               rates->keep, rates->scratch);
    const double prepared_s = stopwatch_since(begun).cpu_s;
    for (int i = 0; i < QUESTIONS; i++) {
        const Placement *placement = &rates->layout.placements[i % rates->layout.count];
        const Point off = random_offset(random, 100);
        rates->motions[i] = placement->motion;
        rates->motions[i].x_mm += off.x;
        rates->motions[i].y_mm += off.y;
    }
    print_rate("check of a piece dragged about its place", rate_of(rates, ask_drag));
    for (int i = 0; i < QUESTIONS; i++) {
        const Point off = random_offset(random, 1200);
        rates->motions[i] = (Motion){off.x, off.y, random_between(random, 0, WHOLE_TURN_RAD)};
    }
    print_rate("exact pose samples over the whole hide", rate_of(rates, ask_drag));
    begun = stopwatch_begin();
    (void)layout_check(&rates->task, rates->layout.placements, rates->layout.count, rates->scratch,
                       NULL, 0);
    printf("%-44s %12.2f ms\n", "getting ready for a drag", 1e3 * prepared_s);
    printf("%-44s %12.2f ms\n", "the judge, all pieces", 1e3 * stopwatch_since(begun).cpu_s);
}

// The same search with little and with more work: the difference is layouts alone.
static bool measure_search(const LayoutTask *task, Rates *rates, Problems *problems)
{
    const double works[2] = {0.001, 1};
    double cpu_s[2];
    SearchResult results[2] = {0};
    for (int i = 0; i < 2; i++) {
        const Stopwatch begun = stopwatch_begin();
        if (!search_run(task, (LayoutOptions){.seed = 1, .work = works[i]}, NULL, rates->keep,
                        rates->scratch, &results[i], problems)) {
            return false;
        }
        cpu_s[i] = stopwatch_since(begun).cpu_s;
    }
    printf("%d kinds of covers, %d laid:\n", KINDS, results[1].layout.count);
    printf("%-44s %12.2f ms\n", "maps and the first layout", 1e3 * cpu_s[0]);
    const double layouts = results[1].tally.layouts - results[0].tally.layouts;
    print_rate("fast layouts after that, finer maps included", layouts / (cpu_s[1] - cpu_s[0]));
    return true;
}

static bool measure_all(Rates *rates, Problems *problems)
{
    Random random = random_begin(1, 0, 0);
    Sheet *sheet = ARENA_NEW(rates->keep, Sheet);
    Piece *covers = ARENA_ARRAY(rates->keep, Piece, KINDS);
    Piece *small = ARENA_ARRAY(rates->keep, Piece, KINDS);
    make_sheet(sheet, &random, rates->keep);
    make_pieces(covers, cover_scale, &random, rates->keep);
    make_pieces(small, 1, &random, rates->keep);
    rates->task =
        (LayoutTask){.sheets = sheet, .sheet_count = 1, .pieces = covers, .piece_count = KINDS};
    printf("a hide of %.1f m2 and %d points, %d flaws; pieces of %d points in 2 depths\n",
           ring_area_mm2(sheet->outline) * 1e-6, HIDE_POINTS, FLAWS, PIECE_POINTS);
    if (!measure_search(&rates->task, rates, problems)) {
        return false;
    }
    rates->task.pieces = small;
    if (!layout_search(&rates->task, (LayoutOptions){.seed = 1, .work = 0.1}, NULL, rates->keep,
                       rates->scratch, &rates->layout, problems)) {
        return false;
    }
    printf("%d small pieces laid:\n", rates->layout.count);
    measure_pairs(rates, &random);
    measure_drag(rates, &random);
    printf("(%d questions answered with yes)\n", rates->yes);
    return true;
}

int main(void)
{
    Arena *keep = arena_create("bench", (size_t)2 << 30);
    Arena *scratch = arena_create("search", (size_t)2 << 30);
    if (!keep || !scratch) {
        return 1;
    }
    Rates *rates = ARENA_NEW(keep, Rates);
    rates->keep = keep;
    rates->scratch = scratch;
    Problems *problems = problems_in(keep);
    (void)measure_all(rates, problems);
    const int status = problems_print(problems);
    arena_destroy(scratch);
    arena_destroy(keep);
    return status;
}
