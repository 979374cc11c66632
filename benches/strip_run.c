#include "strip_run.h"

#include "base/json.h"

#include <stdio.h>
#include <time.h>

static const double degrees_in_radian = 180 / 3.14159265358979323846;

static double now_s(clockid_t clock)
{
    struct timespec now;
    (void)clock_gettime(clock, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

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
    json_begin_flat_array(json, "outline");
    for (int i = 0; i < ring.count; i++) {
        json_begin_flat_array(json, NULL);
        json_number(json, NULL, ring.points[i].x);
        json_number(json, NULL, ring.points[i].y);
        json_end_array(json);
    }
    json_end_array(json);
    json_end_object(json);
}

// The layout in the instance's own units, so that it can be checked without this program.
static bool write_layout(const char *path, const StripInstance *instance, const Layout *layout,
                         const Outcome *outcome, double mm_per_unit, Arena *scratch)
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
    FILE *file = fopen(path, "w");
    if (!file) {
        return false;
    }
    const bool written = fputs(text_string(&json.text), file) >= 0;
    return fclose(file) == 0 && written;
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
    const double begun_s = now_s(CLOCK_MONOTONIC);
    const double cpu_begun_s = now_s(CLOCK_PROCESS_CPUTIME_ID);
    Layout layout;
    bool found = layout_search(&strip.task, options, NULL, keep, scratch, &layout, problems);
    if (found) {
        *outcome = (Outcome){.length = layout.length_mm / strip.mm_per_unit,
                             .seconds = now_s(CLOCK_MONOTONIC) - begun_s,
                             .cpu_seconds = now_s(CLOCK_PROCESS_CPUTIME_ID) - cpu_begun_s};
        outcome->complete = is_complete(&strip.task, &layout, scratch);
        if (outcome->complete) {
            outcome->density = 100 * instance->area / (instance->width * outcome->length);
        }
        found = write_layout(path, instance, &layout, outcome, strip.mm_per_unit, scratch) ||
                problems_say(problems, PROBLEM_SYSTEM, path, "cannot be written");
    }
    arena_destroy(scratch);
    return found;
}
