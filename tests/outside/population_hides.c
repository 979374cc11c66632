// Random hides as JSON, one a line, for population.py and tools/draw_population.
//
//     population_hides GRADE FORM AREA_M2 COUNT [lot] [seed=N] [first=N] [points=0]
//                      [FIELD=VALUE ...]
//
// FIELD is a number of the grade that is replaced (only those that the checks change).
#include "hide/population.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

typedef struct Wanted {
    HideGrade grade;
    HideAsk ask;
    uint64_t seed;
    uint64_t first;
    int count;
    bool points; ///< also the outlines and areas themselves
} Wanted;

static void print_ring(Ring ring)
{
    printf("[");
    for (int i = 0; i < ring.count; i++) {
        printf("%s[%.3f,%.3f]", i > 0 ? "," : "", ring.points[i].x, ring.points[i].y);
    }
    printf("]");
}

static void print_flaw(const Flaw *flaw, const DrawnFlaw *drawn, bool points)
{
    printf("{\"as\":\"%s\",\"class\":%d,\"place\":%d,\"kind\":\"%s\"",
           drawn_kind_names[drawn->kind], drawn->quality, (int)drawn->place,
           flaw_kind_names[flaw->kind]);
    if (points) {
        printf(",\"ring\":");
        print_ring(flaw->area.items[0].outer);
    }
    printf("}");
}

static void print_region(const Region *region)
{
    printf("{\"kind\":\"%s\",\"firmness\":%d,\"areas\":[", region_kind_names[region->kind],
           (int)region->firmness);
    for (int i = 0; i < region->area.count; i++) {
        printf("%s", i > 0 ? "," : "");
        print_ring(region->area.items[i].outer);
    }
    printf("]}");
}

static void print_hide(const DrawnHide *drawn, bool points)
{
    const Hide *hide = &drawn->hide;
    printf("{\"backbone\":%.3f,\"area\":%.6g,\"stamped\":%.6g,\"right\":%d,\"refused\":%d,"
           "\"flaws\":[",
           hide->backbone_mm, hide->area_mm2, hide->stamped_mm2, drawn->right_side, drawn->refused);
    for (int i = 0; i < hide->flaw_count; i++) {
        printf("%s", i > 0 ? "," : "");
        print_flaw(&hide->flaws[i], &drawn->drawn[i], points);
    }
    printf("]");
    if (points) {
        printf(",\"outline\":");
        print_ring(hide->outline);
        printf(",\"regions\":[");
        for (int i = 0; i < hide->region_count; i++) {
            printf("%s", i > 0 ? "," : "");
            print_region(&hide->regions[i]);
        }
        printf("]");
    }
    printf("}\n");
}

static bool set_field(Wanted *wanted, const char *word)
{
    const char *equals = strchr(word, '=');
    const size_t length = equals ? (size_t)(equals - word) : strlen(word);
    const double value = equals ? strtod(equals + 1, NULL) : 1;
    const struct {
        const char *name;
        double *number;
    } fields[] = {
        {"edge_cuts", &wanted->grade.edge_cuts},
        {"spots", &wanted->grade.spots},
        {"sizes", &wanted->grade.sizes},
        {"branded", &wanted->grade.branded},
        {"second_brand", &wanted->grade.second_brand},
        {"unusable_shanks", &wanted->grade.unusable_shanks},
    };
    for (size_t i = 0; i < sizeof fields / sizeof *fields; i++) {
        if (strlen(fields[i].name) == length && strncmp(fields[i].name, word, length) == 0) {
            *fields[i].number = value;
            return true;
        }
    }
    if (strcmp(word, "lot") == 0) {
        wanted->ask.of_a_lot = true;
    } else if (strncmp(word, "seed=", 5) == 0) {
        wanted->seed = strtoull(word + 5, NULL, 10);
    } else if (strncmp(word, "first=", 6) == 0) {
        wanted->first = strtoull(word + 6, NULL, 10);
    } else if (strcmp(word, "points=0") == 0) {
        wanted->points = false;
    } else {
        return false;
    }
    return true;
}

static bool read_words(int count, char **words, Wanted *wanted)
{
    const HideGrade *grade = count > 4 ? hide_grade_named(words[1]) : NULL;
    if (!grade) {
        return false;
    }
    *wanted = (Wanted){.grade = *grade, .seed = 1, .points = true};
    wanted->ask.form = strcmp(words[2], "side") == 0 ? HIDE_SIDE : HIDE_WHOLE;
    wanted->ask.area_mm2 = 1e6 * strtod(words[3], NULL);
    wanted->count = (int)strtol(words[4], NULL, 10);
    for (int i = 5; i < count; i++) {
        if (!set_field(wanted, words[i])) {
            return false;
        }
    }
    return true;
}

int main(int count, char **words)
{
    Wanted wanted;
    if (!read_words(count, words, &wanted)) {
        (void)fputs("usage: population_hides GRADE FORM AREA_M2 COUNT [options]\n", stderr);
        return 2;
    }
    Arena *keep = arena_create("keep", 64 << 20);
    Arena *scratch = arena_create("scratch", 64 << 20);
    if (!keep || !scratch) {
        return 1;
    }
    for (int i = 0; i < wanted.count; i++) {
        const ArenaMark mark = arena_mark(keep);
        const HideTrial trial = {wanted.seed, wanted.first + (uint64_t)i};
        const DrawnHide drawn = hide_draw(&wanted.grade, wanted.ask, trial, keep, scratch);
        print_hide(&drawn, wanted.points);
        arena_rewind(keep, mark);
    }
    arena_destroy(keep);
    arena_destroy(scratch);
    return 0;
}
