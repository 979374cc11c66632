// Prints random strips with flaws and locked pieces as the search lays them, one JSON line
// each, for strip_flaws.py to hold against a general geometry library.
//
//     strip_cases [COUNT [FIRST]]
#include "layout/layout.h"
#include "support/random_strip.h"

#include <stdio.h>
#include <stdlib.h>

enum { CASES = 25 };

static void print_ring(Ring ring)
{
    putchar('[');
    for (int i = 0; i < ring.count; i++) {
        printf("%s[%.6f,%.6f]", i ? "," : "", ring.points[i].x, ring.points[i].y);
    }
    putchar(']');
}

static void print_polygon(Polygon polygon)
{
    putchar('[');
    print_ring(polygon.outer);
    for (int i = 0; i < polygon.hole_count; i++) {
        putchar(',');
        print_ring(polygon.holes[i]);
    }
    putchar(']');
}

static void print_sheet(const Sheet *sheet)
{
    printf("\"strip\":");
    print_ring(sheet->outline);
    printf(",\"holes\":[");
    for (int i = 0; i < sheet->hole_count; i++) {
        printf("%s", i ? "," : "");
        print_ring(sheet->holes[i]);
    }
    printf("],\"gap_mm\":%.6f,\"forbidden\":[", sheet->gap_mm);
    for (int depth = 0; depth < LAYOUT_DEPTHS; depth++) {
        printf("%s[", depth ? "," : "");
        for (int i = 0; i < sheet->forbidden[depth].count; i++) {
            printf("%s", i ? "," : "");
            print_polygon(sheet->forbidden[depth].items[i]);
        }
        putchar(']');
    }
    putchar(']');
}

static void print_placements(const char *name, const Placement *placements, int count)
{
    printf(",\"%s\":[", name);
    for (int i = 0; i < count; i++) {
        const Motion motion = placements[i].motion;
        printf("%s{\"piece\":%d,\"x_mm\":%.17g,\"y_mm\":%.17g,\"turn_rad\":%.17g,\"locked\":%s}",
               i ? "," : "", placements[i].piece, motion.x_mm, motion.y_mm, motion.turn_rad,
               placements[i].locked ? "true" : "false");
    }
    putchar(']');
}

static void print_pieces(const LayoutTask *task)
{
    printf(",\"pieces\":[");
    for (int i = 0; i < task->piece_count; i++) {
        printf("%s{\"demand\":%d,\"outlines\":[", i ? "," : "", task->pieces[i].demand);
        for (int depth = 0; depth < task->pieces[i].depth_count; depth++) {
            printf("%s", depth ? "," : "");
            print_ring(task->pieces[i].outline[depth]);
        }
        printf("]}");
    }
    putchar(']');
}

static bool print_case(uint64_t number, Arena *keep, Arena *scratch)
{
    Random random = random_begin(23, number, 0);
    const LayoutTask task = random_strip(&random, keep);
    Problems *problems = problems_in(keep);
    Layout layout = {0};
    if (!layout_search(&task, (LayoutOptions){.seed = number, .work = 0.03}, NULL, keep, scratch,
                       &layout, problems)) {
        return false;
    }
    printf("{\"case\":%llu,", (unsigned long long)number);
    print_sheet(&task.sheets[0]);
    print_pieces(&task);
    print_placements("locked", task.locked, task.locked_count);
    print_placements("placements", layout.placements, layout.count);
    printf(",\"length_mm\":%.6f}\n", layout.length_mm);
    return true;
}

int main(int argc, char **argv)
{
    const uint64_t count = argc > 1 ? strtoull(argv[1], NULL, 10) : CASES;
    const uint64_t first = argc > 2 ? strtoull(argv[2], NULL, 10) : 0;
    Arena *keep = arena_create("case", (size_t)256 << 20);
    Arena *scratch = arena_create("scratch", (size_t)256 << 20);
    bool good = keep && scratch;
    for (uint64_t i = first; i < first + count && good; i++) {
        const ArenaMark mark = arena_mark(keep);
        good = print_case(i, keep, scratch);
        arena_rewind(keep, mark);
    }
    arena_destroy(keep);
    arena_destroy(scratch);
    return good ? 0 : 1;
}
