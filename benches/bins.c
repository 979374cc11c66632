// Counts how many bins the layout engine needs on instances whose least number is known:
// docs/benches.md.
//
//   bench_bins [--data DIR] [--instances a,b] [--seconds S]
//
// One JSON line for each instance, then how many bins were too many.
#include "options.h"
#include "strip_files.h"

#include "base/json.h"

#include <stdio.h>

static bool lays_all(const BinInstance *instance, int bins, double work, Arena *scratch,
                     Problems *problems, bool *all)
{
    Arena *keep = problems->keep;
    Sheet *sheets = ARENA_ARRAY(keep, Sheet, bins);
    for (int i = 0; i < bins; i++) {
        sheets[i].outline = instance->bin;
    }
    const LayoutTask task = {.sheets = sheets,
                             .sheet_count = bins,
                             .pieces = instance->pieces.pieces,
                             .piece_count = instance->pieces.piece_count,
                             .aim = LAYOUT_PLACE_ALL,
                             .unfinished = true};
    const LayoutOptions options = {.seed = 1, .work = work};
    Layout layout;
    if (!layout_search(&task, options, NULL, keep, scratch, &layout, problems)) {
        return false;
    }
    int missing = layout_check(&task, layout.placements, layout.count, scratch, NULL, 0);
    for (int i = 0; i < task.piece_count; i++) {
        missing += layout.missing[i];
    }
    *all = missing == 0;
    return true;
}

// From the known number upward, until all pieces find room; a bin for each is the most.
static bool count_bins(const BinInstance *instance, double work, Arena *scratch, Problems *problems,
                       int *bins)
{
    int most = 0;
    for (int i = 0; i < instance->pieces.piece_count; i++) {
        most += instance->pieces.pieces[i].demand;
    }
    most = most < LAYOUT_SHEETS_MAX ? most : LAYOUT_SHEETS_MAX;
    bool all = false;
    for (*bins = instance->known_bins; *bins <= most; (*bins)++) {
        if (!lays_all(instance, *bins, work, scratch, problems, &all)) {
            return false;
        }
        if (all) {
            return true;
        }
    }
    return problems_say(problems, PROBLEM_SYSTEM, instance->pieces.name,
                        "not all pieces laid on %d bins", most);
}

static void print_instance(const char *name, int known, int bins, Arena *arena)
{
    Json json = {.text.keep = arena};
    json_begin_flat_object(&json, NULL);
    json_text(&json, "instance", name);
    json_int(&json, "known", known);
    json_int(&json, "bins", bins);
    json_end_object(&json);
    (void)fputs(text_string(&json.text), stdout);
    (void)fflush(stdout);
}

static bool run_all(const Options *options, Arena *arena, Arena *scratch, Problems *problems)
{
    InstanceNames names = {0};
    if (!instance_names(options, arena, &names, problems)) {
        return false;
    }
    int known = 0;
    int used = 0;
    int reached = 0;
    for (int i = 0; i < names.count; i++) {
        BinInstance instance;
        int bins = 0;
        const char *path = instance_path(options, names.items[i], arena);
        if (!bin_instance_read(path, arena, &instance, problems) ||
            !count_bins(&instance, options->seconds, scratch, problems, &bins)) {
            return false;
        }
        print_instance(names.items[i], instance.known_bins, bins, arena);
        known += instance.known_bins;
        used += bins;
        reached += bins == instance.known_bins;
    }
    printf("\n%d instances: %d bins, %d known to be enough; the known number in %d\n", names.count,
           used, known, reached);
    return true;
}

int main(int count, char **words)
{
    Arena *arena = arena_create("bench", (size_t)2 << 30);
    Arena *scratch = arena_create("search", (size_t)2 << 30);
    if (!arena || !scratch) {
        return 1;
    }
    Problems *problems = problems_in(arena);
    Options options = {.data = "benches/data/bins", .seconds = 8};
    if (options_read(count, words, &options, problems)) {
        (void)run_all(&options, arena, scratch, problems);
    }
    const int status = problems_print(problems);
    arena_destroy(scratch);
    arena_destroy(arena);
    return status;
}
