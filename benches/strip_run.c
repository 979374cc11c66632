#include "strip_run.h"

#include "files.h"
#include "runs.h"

static const double degrees_in_radian = 180 / 3.14159265358979323846;

static void write_placement(Json *json, const StripInstance *instance, Placement placement,
                            double mm_per_unit, Arena *scratch)
{
    Motion motion = placement.motion;
    motion.x_mm /= mm_per_unit;
    motion.y_mm /= mm_per_unit;
    const Ring ring = ring_moved(instance->pieces[placement.piece].outline[0], motion, scratch);
    json_begin_flat_object(json, NULL);
    json_int(json, "piece", instance->ids[placement.piece]);
    json_rounded(json, "turn_deg", motion.turn_rad * degrees_in_radian, 6);
    files_put_ring(json, "outline", ring);
    json_end_object(json);
}

// The layout in the instance's own units, so that it can be checked without this program.
static bool write_layout(const char *path, const StripInstance *instance, const Layout *layout,
                         const Outcome *outcome, double mm_per_unit, Arena *scratch,
                         Problems *problems)
{
    Json json = {.text.keep = scratch};
    json_begin_object(&json, NULL);
    json_text(&json, "instance", instance->name);
    json_number(&json, "width", instance->width);
    json_number(&json, "length", outcome->length);
    json_number(&json, "density", outcome->density);
    json_number(&json, "lattice", 0.01 / mm_per_unit);
    json_begin_array(&json, "placements");
    for (int i = 0; i < layout->count; i++) {
        write_placement(&json, instance, layout->placements[i], mm_per_unit, scratch);
    }
    json_end_array(&json);
    json_end_object(&json);
    return files_write(path, &json, problems);
}

static bool is_complete(const LayoutTask *task, const Layout *layout, Arena *scratch)
{
    int missing = 0;
    for (int i = 0; i < task->piece_count; i++) {
        missing += layout->missing[i];
    }
    return missing == 0 && layout->length_mm > 0 &&
           layout_check(task, layout->placements, layout->count, scratch, NULL, 0) == 0;
}

bool strip_measure(const StripInstance *instance, LayoutOptions options, const char *path,
                   Arena *keep, Outcome *outcome, Problems *problems)
{
    Arena *scratch = arena_create("search", (size_t)2 << 30);
    if (!scratch) {
        return problems_say(problems, PROBLEM_SYSTEM, path, "no memory left");
    }
    const StripTask strip = strip_task(instance, keep);
    const Stopwatch begun = stopwatch_begin();
    Layout layout;
    bool found = layout_search(&strip.task, options, NULL, keep, scratch, &layout, problems);
    if (found) {
        const Stopwatch passed = stopwatch_since(begun);
        *outcome = (Outcome){.length = layout.length_mm / strip.mm_per_unit,
                             .seconds = passed.wall_s,
                             .cpu_seconds = passed.cpu_s};
        outcome->complete = is_complete(&strip.task, &layout, scratch);
        if (outcome->complete) {
            outcome->density = 100 * instance->area / (instance->width * outcome->length);
        }
        found =
            write_layout(path, instance, &layout, outcome, strip.mm_per_unit, scratch, problems);
    }
    arena_destroy(scratch);
    return found;
}
