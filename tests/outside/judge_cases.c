// Prints small random layouts with the judge's verdicts, one JSON line each, for judge.py
// to hold against a general geometry library.
//
//     judge_cases [COUNT [FIRST]]
#include "plane/lattice.h"
#include "support/small_case.h"

#include <stdio.h>
#include <stdlib.h>

enum { CASES = 4000, FAULTS_MAX = 200 };

static void print_ring(LatticeRing ring)
{
    putchar('[');
    for (int i = 0; i < ring.count; i++) {
        printf("%s%lld,%lld", i ? "," : "", (long long)ring.points[i].x,
               (long long)ring.points[i].y);
    }
    putchar(']');
}

static void print_polygon(Polygon polygon, Arena *arena)
{
    putchar('[');
    print_ring(lattice_ring(polygon.outer, (Motion){0}, arena));
    for (int i = 0; i < polygon.hole_count; i++) {
        putchar(',');
        print_ring(lattice_ring(polygon.holes[i], (Motion){0}, arena));
    }
    putchar(']');
}

static void print_sheet(const Sheet *sheet, Arena *arena)
{
    printf(",\"sheet\":");
    print_polygon((Polygon){sheet->outline, sheet->holes, sheet->hole_count}, arena);
    printf(",\"forbidden\":[");
    for (int depth = 0; depth < LAYOUT_DEPTHS; depth++) {
        printf("%s[", depth ? "," : "");
        for (int i = 0; i < sheet->forbidden[depth].count; i++) {
            printf("%s", i ? "," : "");
            print_polygon(sheet->forbidden[depth].items[i], arena);
        }
        putchar(']');
    }
    printf("],\"gap_mm\":%.17g", sheet->gap_mm);
}

static void print_placement(const SmallCase *small, int index, Arena *arena)
{
    const Placement *placement = &small->placements[index];
    const Piece *piece = &small->task.pieces[placement->piece];
    printf("%s{\"piece\":%d,\"demand\":%d,\"gap_mm\":%.17g,\"outlines\":[", index ? "," : "",
           placement->piece, piece->demand, piece->gap_mm);
    for (int depth = 0; depth < piece->depth_count; depth++) {
        printf("%s", depth ? "," : "");
        print_ring(lattice_ring(piece->outline[depth], placement->motion, arena));
    }
    printf("]}");
}

static void print_case(uint64_t trial, const SmallCase *small, Arena *arena)
{
    LayoutFault faults[FAULTS_MAX];
    const int found =
        layout_check(&small->task, small->placements, small->count, arena, faults, FAULTS_MAX);
    printf("{\"trial\":%llu", (unsigned long long)trial);
    print_sheet(small->task.sheets, arena);
    printf(",\"placements\":[");
    for (int i = 0; i < small->count; i++) {
        print_placement(small, i, arena);
    }
    printf("],\"faults\":[");
    for (int i = 0; i < found && i < FAULTS_MAX; i++) {
        printf("%s[%d,%d,%d,%d]", i ? "," : "", (int)faults[i].kind, faults[i].placement,
               faults[i].other, faults[i].depth);
    }
    printf("]}\n");
}

int main(int argc, char **argv)
{
    const uint64_t count = argc > 1 ? strtoull(argv[1], NULL, 10) : CASES;
    const uint64_t first = argc > 2 ? strtoull(argv[2], NULL, 10) : 0;
    Arena *arena = arena_create("cases", (size_t)64 << 20);
    if (!arena) {
        return EXIT_FAILURE;
    }
    for (uint64_t trial = first; trial < first + count; trial++) {
        const ArenaMark mark = arena_mark(arena);
        Random random = random_begin(1959, trial, 0);
        SmallCase small;
        small_case_draw(&small, &random, arena);
        // A polygon that crosses itself after rounding means nothing to the library.
        if (slow_judge(&small.task, small.placements, small.count, arena).simple) {
            print_case(trial, &small, arena);
        }
        arena_rewind(arena, mark);
    }
    arena_destroy(arena);
    return EXIT_SUCCESS;
}
