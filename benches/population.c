// Random hides: how fast they are drawn, and how much of them is waste in cutting the panels of
// upholstered furniture. docs/benches.md.
//
//   bench_population [SUITES [WORK]]
//
// An order of SUITES (3) is cut from hides of each grade, with WORK (0.3) units for each layout.
#include "options.h"
#include "runs.h"

#include "cutting/cutting.h"
#include "hide/population.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

static const double measured_s = 1;
static const double whole_mm2 = 4.85e6;
static const double seam_mm = 10; // turned in at the seam, common practice
static const double gap_mm = 2;   // for the knife
static const double corner_mm = 25;
static const double sizes_mm[][2] = {
    // Panels of a sofa and two armchairs, all invented: across, along the firm direction.
    {620, 600}, // cushions, above and below
    {620, 140}, // their borders
    {640, 560}, // inside backs
    {640, 160}, // borders of backs
    {950, 600}, // outside backs, in two halves
    {900, 380}, // insides of arms
    {880, 560}, // outsides of arms
    {300, 560}, // fronts of arms
    {950, 260}, // rails
    {420, 200}, // gussets
};
static const int copies_of[] = {10, 20, 5, 10, 4, 6, 6, 6, 5, 10}; // of one suite
enum { PANELS = 10, CORNER_POINTS = 4, HIDES_MAX = 400 };

typedef struct Bench {
    Arena *keep;
    Arena *scratch;
    Problems *problems;
    Cover covers[PANELS];
    LayingRules rules;
    int suites; ///< in an order
    double work;
} Bench;

// A rectangle with round corners, its edge so far inward.
static Ring panel_ring(double across_mm, double along_mm, double in_mm, Arena *keep)
{
    Point *points = ARENA_ARRAY(keep, Point, 4 * CORNER_POINTS);
    const double x = across_mm / 2 - corner_mm;
    const double y = along_mm / 2 - corner_mm;
    const double signs[4][2] = {{1, -1}, {1, 1}, {-1, 1}, {-1, -1}};
    for (int i = 0; i < 4 * CORNER_POINTS; i++) {
        const int corner = i / CORNER_POINTS;
        const double turn =
            acos(0) * (corner - 1 + (double)(i % CORNER_POINTS) / (CORNER_POINTS - 1));
        points[i] = (Point){signs[corner][0] * x + (corner_mm - in_mm) * cos(turn),
                            signs[corner][1] * y + (corner_mm - in_mm) * sin(turn)};
    }
    return (Ring){points, 4 * CORNER_POINTS};
}

// All but the seam is seen and sat on.
static Cover panel(int kind, Arena *keep)
{
    const double across = sizes_mm[kind][0];
    const double along = sizes_mm[kind][1];
    Cover cover = {.mirror = true, .turn_symmetry = 2};
    const double in_mm[BAND_COUNT] = {
        [BAND_FACE] = seam_mm + 2, [BAND_EDGE] = seam_mm + 1, [BAND_TURN] = seam_mm / 2};
    for (int band = 0; band < BAND_COUNT; band++) {
        cover.within[band] = panel_ring(across, along, in_mm[band], keep);
    }
    cover.frame = cover.within[BAND_FACE];
    cover.tack_line = cover.within[BAND_TURN];
    cover.cut = cover.within[BAND_GRIP];
    cover.gross_area_mm2 = ring_area_mm2(cover.cut);
    cover.net_area_mm2 = ring_area_mm2(cover.within[BAND_TURN]);
    return cover;
}

static void measure_draws(Bench *bench, const HideGrade *grade, HideForm form)
{
    const HideAsk ask = {.form = form, .area_mm2 = form == HIDE_SIDE ? whole_mm2 / 2 : whole_mm2};
    const Stopwatch begun = stopwatch_begin();
    uint64_t drawn = 0;
    double flaws = 0;
    while (stopwatch_since(begun).cpu_s < measured_s) {
        const ArenaMark mark = arena_mark(bench->keep);
        flaws += hide_draw(grade, ask, (HideTrial){1, drawn}, bench->keep, bench->scratch)
                     .hide.flaw_count;
        arena_rewind(bench->keep, mark);
        drawn++;
    }
    printf("%-8s %-6s %8.0f hides a second, %5.1f flaws each\n", grade->name, hide_form_names[form],
           (double)drawn / stopwatch_since(begun).cpu_s, flaws / (double)drawn);
}

// Milliseconds from a hide to the engine's sheet.
static bool measure_sheets(Bench *bench)
{
    const CoverDemand demand = {.cover = &bench->covers[0], .name = "A", .count = 1};
    const Stopwatch begun = stopwatch_begin();
    int made = 0;
    while (stopwatch_since(begun).cpu_s < measured_s) {
        const ArenaMark mark = arena_mark(bench->keep);
        const HideAsk ask = {.form = HIDE_WHOLE, .area_mm2 = whole_mm2};
        const DrawnHide drawn =
            hide_draw(&hide_grades[GRADE_AVERAGE], ask, (HideTrial){1, (uint64_t)made}, bench->keep,
                      bench->scratch);
        const Laying laying = {&demand, 1, &drawn.hide, 1, &bench->rules};
        LayoutTask task;
        if (!cutting_task(&laying, bench->keep, bench->scratch, &task, bench->problems)) {
            return false;
        }
        arena_rewind(bench->keep, mark);
        made++;
    }
    printf("%-15s %8.2f ms a hide, from drawing to the engine's sheet\n",
           hide_grades[GRADE_AVERAGE].name, 1e3 * stopwatch_since(begun).cpu_s / made);
    return true;
}

// Lays what is still wanted on one hide, as much leather as possible, and takes it off the list.
static bool cut_one(Bench *bench, const Hide *hide, int *wanted, double *cut_mm2)
{
    CoverDemand demands[PANELS];
    int kinds[PANELS];
    int count = 0;
    for (int kind = 0; kind < PANELS; kind++) {
        if (wanted[kind] > 0) {
            kinds[count] = kind;
            demands[count++] =
                (CoverDemand){.cover = &bench->covers[kind], .name = "P", .count = wanted[kind]};
        }
    }
    const Laying laying = {demands, count, hide, 1, &bench->rules};
    LayoutTask task;
    if (!cutting_task(&laying, bench->keep, bench->scratch, &task, bench->problems)) {
        return false;
    }
    Piece *pieces = ARENA_ARRAY(bench->keep, Piece, count);
    for (int i = 0; i < count; i++) {
        pieces[i] = task.pieces[i];
        pieces[i].value = demands[i].cover->gross_area_mm2;
    }
    task.pieces = pieces;
    task.unfinished = true;
    Layout layout;
    if (!layout_search(&task, (LayoutOptions){.seed = 1, .work = bench->work}, NULL, bench->keep,
                       bench->scratch, &layout, bench->problems)) {
        return false;
    }
    *cut_mm2 = layout.value;
    for (int i = 0; i < layout.count; i++) {
        wanted[kinds[layout.placements[i].piece]]--;
    }
    return true;
}

// What an order came to. The last hide, begun for what was left of it, is not counted.
typedef struct Cutting {
    int hides;
    double share; ///< of the leather that was cut
    double sd;    ///< from hide to hide
} Cutting;

// Cuts one hide after the other until the order is done.
static bool cut_order(Bench *bench, const HideGrade *grade, Cutting *cutting)
{
    int wanted[PANELS];
    int left = 0;
    for (int kind = 0; kind < PANELS; kind++) {
        wanted[kind] = bench->suites * copies_of[kind];
        left += wanted[kind];
    }
    double cut_mm2 = 0;
    double area_mm2 = 0;
    double squares = 0;
    int hides = 0;
    for (uint64_t trial = 0; left > 0 && trial < HIDES_MAX; trial++) {
        const ArenaMark mark = arena_mark(bench->keep);
        const HideAsk ask = {.form = HIDE_WHOLE, .area_mm2 = whole_mm2, .of_a_lot = true};
        const DrawnHide drawn =
            hide_draw(grade, ask, (HideTrial){2, trial}, bench->keep, bench->scratch);
        double of_hide_mm2 = 0;
        if (!cut_one(bench, &drawn.hide, wanted, &of_hide_mm2)) {
            return false;
        }
        arena_rewind(bench->keep, mark);
        left = 0;
        for (int kind = 0; kind < PANELS; kind++) {
            left += wanted[kind];
        }
        if (left > 0) {
            const double share = of_hide_mm2 / drawn.hide.stamped_mm2;
            cut_mm2 += of_hide_mm2;
            area_mm2 += drawn.hide.stamped_mm2;
            squares += share * share;
            hides++;
        }
    }
    const double mean = cut_mm2 / area_mm2;
    *cutting = (Cutting){hides, mean, sqrt(fmax(0, squares / hides - mean * mean))};
    return true;
}

static bool measure_waste(Bench *bench, const HideGrade *grade, double window_rad)
{
    bench->rules.turn_window_rad = window_rad;
    Cutting cutting;
    if (!cut_order(bench, grade, &cutting)) {
        return false;
    }
    printf("%-8s turned by up to %2.0f degrees: %4.1f %% waste on %d hides, sd %.1f\n", grade->name,
           window_rad / RAD_PER_DEG, 100 * (1 - cutting.share), cutting.hides, 100 * cutting.sd);
    (void)fflush(stdout);
    return true;
}

static bool measure_all(Bench *bench)
{
    for (int kind = 0; kind < PANELS; kind++) {
        bench->covers[kind] = panel(kind, bench->keep);
    }
    bench->rules = (LayingRules){.turn_window_rad = 0.1745,
                                 .either_way = true,
                                 .gap_mm = gap_mm,
                                 .table = tolerance_defaults()};
    for (int i = 0; i < HIDE_GRADES; i++) {
        measure_draws(bench, &hide_grades[i], HIDE_WHOLE);
    }
    measure_draws(bench, &hide_grades[GRADE_AVERAGE], HIDE_SIDE);
    bool good = measure_sheets(bench);
    printf("panels of %d suites of seating furniture:\n", bench->suites);
    for (int i = 0; i < HIDE_GRADES && good; i++) {
        good = measure_waste(bench, &hide_grades[i], acos(0));
    }
    return good && measure_waste(bench, &hide_grades[GRADE_AVERAGE], 10 * RAD_PER_DEG);
}

int main(int count, char **words)
{
    Arena *keep = arena_create("bench", (size_t)2 << 30);
    Arena *scratch = arena_create("search", (size_t)2 << 30);
    if (!keep || !scratch) {
        return 1;
    }
    Bench *bench = ARENA_NEW(keep, Bench);
    *bench = (Bench){.keep = keep, .scratch = scratch, .problems = problems_in(keep)};
    bench->suites = count > 1 ? (int)strtol(words[1], NULL, 10) : 3;
    bench->work = count > 2 ? strtod(words[2], NULL) : 0.3;
    if (bench->suites < 1 || !(bench->work > 0)) {
        (void)fputs("usage: bench_population [SUITES [WORK]]\n", stderr);
        return 2;
    }
    (void)measure_all(bench);
    const int status = problems_print(bench->problems);
    arena_destroy(scratch);
    arena_destroy(keep);
    return status;
}
