#include "plan/served_bench.h"

#include "job/asked.h"
#include "paper/fullsize.h"
#include "paper/marks.h"
#include "paper/steps.h"
#include "plan/matter.h"
#include "plan/put.h"

#include <string.h>

static void put_point(Json *json, const char *key, Point point)
{
    json_begin_flat_array(json, key);
    json_rounded(json, NULL, point.x, 2);
    json_rounded(json, NULL, point.y, 2);
    json_end_array(json);
}

static void put_flaws(Json *json, const Hide *hide)
{
    json_begin_array(json, "flaws_mm");
    for (int f = 0; f < hide->flaw_count; f++) {
        for (int i = 0; i < hide->flaws[f].area.count; i++) {
            put_ring(json, NULL, hide->flaws[f].area.items[i].outer);
        }
    }
    json_end_array(json);
}

static void put_hides(Json *json, const Derived *derived)
{
    json_begin_array(json, "hides");
    for (int h = 0; h < derived->hide_count; h++) {
        const Hide *hide = &derived->hides[h];
        json_begin_object(json, NULL);
        json_text(json, "name", hide->name);
        json_text(json, "axis", marks_axis_name(hide));
        json_rounded(json, "backbone_mm", hide->backbone_mm, 2);
        put_ring(json, "outline_mm", hide->outline);
        put_flaws(json, hide);
        json_end_object(json);
    }
    json_end_array(json);
}

static void put_covers(Json *json, const Derived *derived, const CutPlan *plan)
{
    json_begin_array(json, "covers");
    for (int i = 0; i < plan->cover_count; i++) {
        const PlacedCover *cover = &plan->covers[i];
        const Marks marks = marks_of(cover->cut, cover->motion.turn_rad, derived->job.units.length);
        json_begin_object(json, NULL);
        json_text(json, "name", cover_name(derived->demands, cover, json->text.keep));
        json_int(json, "hide", cover->hide);
        put_ring(json, "outline_mm", cover->cut);
        json_begin_array(json, "marks_mm");
        for (int m = 0; m < marks.count; m++) {
            put_point(json, NULL, marks.items[m].place);
        }
        json_end_array(json);
        json_end_object(json);
    }
    json_end_array(json);
}

// A cover as it is fastened: where the middles of its sides are on the tack line.
static void put_kind(Json *json, const CoverDemand *demand)
{
    const Cover *cover = demand->cover;
    json_begin_object(json, NULL);
    json_text(json, "name", demand->name);
    json_text(json, "seat", demand->seat);
    json_text(json, "chair", demand->chair);
    put_ring(json, "outline_mm", cover->cut);
    put_ring(json, "frame_mm", cover->frame);
    put_ring(json, "tack_line_mm", cover->tack_line);
    json_begin_object(json, "middles_mm");
    for (int s = 0; s < SIDE_COUNT; s++) {
        Point place;
        if (cover_middle_of_side(cover, cover->tack_line, (Side)s, &place)) {
            put_point(json, side_names[s], place);
        }
    }
    json_end_object(json);
    json_end_object(json);
}

static void put_index(Json *json, const char *key, int index)
{
    if (index >= 0) {
        json_int(json, key, index);
    }
}

static void put_lines(Json *json, const char *key, const char *lines)
{
    json_begin_array(json, key);
    while (*lines) {
        const size_t length = strcspn(lines, "\n");
        json_text(json, NULL, arena_text(json->text.keep, "%.*s", (int)length, lines));
        lines += length + (lines[length] == '\n');
    }
    json_end_array(json);
}

static void put_step(Json *json, const BenchStep *step)
{
    json_begin_object(json, NULL);
    json_text(json, "step", step->id);
    json_text(json, "kind", step_kind_names[step->kind]);
    json_text(json, "part", step->part);
    json_text(json, "say", step->say);
    json_begin_array(json, "readings");
    for (int i = 0; i < step->reading_count; i++) {
        json_begin_flat_object(json, NULL);
        json_text(json, "name", step->readings[i].name);
        json_text(json, "value", step->readings[i].value);
        json_end_object(json);
    }
    json_end_array(json);
    put_lines(json, "notes", step->notes);
    json_text(json, "caution", step->caution);
    put_index(json, "hide", step->hide);
    put_index(json, "cover", step->cover);
    put_index(json, "mark", step->mark);
    put_index(json, "fastened", step->kind == STEP_FASTEN ? step->demand : -1);
    json_begin_flat_array(json, "sides");
    for (int s = 0; s < SIDE_COUNT; s++) {
        if (step->sides & 1U << s) {
            json_text(json, NULL, side_names[s]);
        }
    }
    json_end_array(json);
    json_end_object(json);
}

void plan_bench_json(const Derived *derived, const CutPlan *plan, Arena *scratch, Text *text)
{
    const PackMatter matter = matter_of(derived, plan);
    const BenchSteps steps = bench_steps(&matter, scratch);
    Json json = {.text = *text};
    json_begin_object(&json, NULL);
    json_text(&json, "job", derived->job.name);
    json_text(&json, "units", length_unit_name(derived->job.units.length));
    put_hides(&json, derived);
    put_covers(&json, derived, plan);
    json_begin_array(&json, "kinds");
    for (int d = 0; d < derived->demand_count; d++) {
        put_kind(&json, &derived->demands[d]);
    }
    json_end_array(&json);
    json_begin_array(&json, "steps");
    for (int i = 0; i < steps.count; i++) {
        put_step(&json, &steps.items[i]);
    }
    json_end_array(&json);
    json_end_object(&json);
    *text = json.text;
}

void plan_ticks_json(Ticks ticks, int64_t now_ms, Text *text)
{
    Json json = {.text = *text};
    json_begin_object(&json, NULL);
    json_int(&json, "now_ms", now_ms);
    json_begin_array(&json, "ticks");
    for (int i = 0; i < ticks.count; i++) {
        const Tick *tick = &ticks.items[i];
        json_begin_flat_object(&json, NULL);
        json_text(&json, "step", tick->step);
        json_bool(&json, "done", tick->done);
        json_int(&json, "ticked_ms", tick->ticked_ms);
        json_text(&json, "device", tick->device);
        json_end_object(&json);
    }
    json_end_array(&json);
    json_end_object(&json);
    *text = json.text;
}

bool plan_ticks_read(Document text, Arena *keep, Ticks *ticks, Problems *problems)
{
    AskedTicks asked;
    if (!asked_ticks_read(text.data, text.bytes, keep, &asked, problems)) {
        return false;
    }
    Tick *items = ARENA_ARRAY(keep, Tick, asked.count + 1);
    for (int i = 0; i < asked.count; i++) {
        const AskedTick *from = &asked.ticks[i];
        items[i] = (Tick){.step = from->step,
                          .done = from->done,
                          .ticked_ms = (int64_t)from->ticked_ms,
                          .device = from->device ? from->device : ""};
    }
    *ticks = (Ticks){items, asked.count};
    return true;
}
