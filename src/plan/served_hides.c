#include "plan/served_hides.h"

#include "job/asked_stroke.h"
#include "paper/hatch.h"
#include "plan/put.h"
#include "plane/stroke.h"

#include <string.h>

// Hatching as close as a screen shows it: so many lines in the backbone's length.
static const double HATCH_LINES = 28;
static const double HATCH_WITHIN_MM = 1.5;

static void put_tolerated(Json *json, const ToleranceTable *table)
{
    json_begin_object(json, "tolerated");
    json_begin_array(json, "flaws");
    for (int k = 0; k < FLAW_KIND_COUNT; k++) {
        json_begin_flat_object(json, NULL);
        json_text(json, "kind", flaw_kind_names[k]);
        json_text(json, "may_lie_in", tolerance_word(table->flaw[k]));
        json_rounded(json, "margin_mm", table->margin_mm[k], 3);
        json_end_object(json);
    }
    json_end_array(json);
    json_begin_array(json, "firmness");
    for (int f = 0; f < FIRMNESS_COUNT; f++) {
        json_begin_flat_object(json, NULL);
        json_text(json, "firmness", firmness_names[f]);
        json_text(json, "may_lie_in", tolerance_word(table->firmness[f]));
        json_end_object(json);
    }
    json_end_array(json);
    json_end_object(json);
}

static void put_firmness(Json *json, const Hide *hide)
{
    double area_mm2[FIRMNESS_COUNT] = {0};
    for (int r = 0; r < hide->region_count; r++) {
        area_mm2[hide->regions[r].firmness] += polygon_set_area_mm2(hide->regions[r].area);
    }
    json_begin_array(json, "firmness");
    for (int f = 0; f < FIRMNESS_COUNT; f++) {
        json_begin_flat_object(json, NULL);
        json_text(json, "firmness", firmness_names[f]);
        json_rounded(json, "area_mm2", area_mm2[f], 2);
        json_end_object(json);
    }
    json_end_array(json);
}

static void put_hatching(Json *json, const Hide *hide, Arena *keep, Arena *scratch)
{
    const Box box = ring_box(hide->outline);
    const double size_mm = fmax(box.max.x - box.min.x, box.max.y - box.min.y);
    json_begin_array(json, "hatching");
    for (int r = 0; r < hide->region_count; r++) {
        const Region *region = &hide->regions[r];
        const Hatching hatching = hatch_region(hide, region, size_mm / HATCH_LINES, scratch);
        json_begin_object(json, NULL);
        json_text(json, "kind", region_kind_names[region->kind]);
        json_text(json, "firmness", firmness_names[region->firmness]);
        json_begin_array(json, "lines_mm");
        for (int i = 0; i < hatching.count; i++) {
            const HatchLine line = hatching.lines[i];
            Point *points = ARENA_ARRAY(keep, Point, line.count + 1);
            const int count =
                stroke_simplify(line.points, line.count, HATCH_WITHIN_MM, points, scratch);
            put_ring(json, NULL, (Ring){points, count});
        }
        json_end_array(json);
        json_end_object(json);
    }
    json_end_array(json);
}

static void put_picture(Json *json, const char *uid, const PictureMap *map)
{
    if (!map) {
        json_text(json, "picture", NULL);
        return;
    }
    json_begin_object(json, "picture");
    json_text(json, "uid", uid);
    json_number(json, "mm_per_px", map->mm_per_px);
    json_begin_flat_array(json, "map");
    const double parts[] = {map->a, map->b, map->c, map->d, map->e, map->f};
    for (size_t i = 0; i < sizeof parts / sizeof *parts; i++) {
        json_number(json, NULL, parts[i]);
    }
    json_end_array(json);
    json_end_object(json);
}

static bool lies_in(const char *where, const char *path)
{
    const size_t length = strlen(path);
    return strncmp(where, path, length) == 0 && (!where[length] || strchr(".[", where[length]));
}

void plan_hide_facts_json(const HideOrder *order, Arena *keep, Arena *scratch, Text *text)
{
    Problems *problems = problems_in(keep);
    for (int i = 0; i < order->read->count; i++) {
        if (lies_in(order->read->items[i].where, order->where)) {
            problems_add(problems, order->read->items[i]);
        }
    }
    Hide hide;
    PictureMap map;
    const bool readable = problems->mistakes == 0;
    const bool has_picture = order->entry->has_picture && order->entry->picture.apart_mm > 0;
    // The picture lies there even where there is no outline yet; hide_make() tells its mistakes.
    const bool mapped =
        has_picture &&
        hide_picture_map(&order->entry->picture, arena_text(keep, "%s.picture", order->where), &map,
                         readable ? problems_in(keep) : problems);
    const bool made = readable && hide_make(order->entry, order->where, order->units, keep, scratch,
                                            &hide, problems);
    Json json = {.text = *text};
    json_begin_object(&json, NULL);
    json_text(&json, "name", order->entry->name);
    put_check(&json, problems);
    if (made) {
        put_derived_hide(&json, "hide", &hide);
        json_text(&json, "area_words", hide_area_text(&hide, order->units.area, keep));
        put_firmness(&json, &hide);
        put_hatching(&json, &hide, keep, scratch);
    } else {
        json_text(&json, "hide", NULL);
        json_text(&json, "area_words", NULL);
    }
    put_tolerated(&json, order->table);
    put_picture(&json, order->entry->picture.uid, mapped ? &map : NULL);
    json_end_object(&json);
    *text = json.text;
}

bool plan_job_hide_facts_json(const char *text, size_t bytes, int hide, Arena *keep, Arena *scratch,
                              Text *json, Problems *problems)
{
    Job job = {0};
    Problems *read = problems_in(keep);
    if (!job_is_document(text, bytes, "job", keep, problems)) {
        return false;
    }
    (void)!job_read(text, bytes, "job", keep, &job, read); // the mistakes of this hide are told
    if (hide < 0 || hide >= job.hide_count) {
        return problems_say(problems, PROBLEM_NOT_FOUND, "hide", "the job has no hide %d", hide);
    }
    const HideOrder order = {&job.hides[hide], arena_text(keep, "hides[%d]", hide), job.units,
                             &job.laying.table, read};
    plan_hide_facts_json(&order, keep, scratch, json);
    return true;
}

bool plan_hide_document_facts_json(const char *text, size_t bytes, Arena *keep, Arena *scratch,
                                   Text *json, Problems *problems)
{
    JobHide document = {0};
    Problems *read = problems_in(keep);
    if (!job_is_document(text, bytes, "hide", keep, problems)) {
        return false;
    }
    (void)!job_hide_read(text, bytes, "hide", keep, &document, read);
    const ToleranceTable table = tolerance_defaults();
    const HideOrder order = {&document.hide, "hide", document.units, &table, read};
    plan_hide_facts_json(&order, keep, scratch, json);
    return true;
}

bool plan_hide_may_be_kept(const char *text, size_t bytes, Arena *keep, Arena *scratch,
                           Problems *problems)
{
    JobHide document;
    Hide hide;
    return job_hide_read(text, bytes, "hide", keep, &document, problems) &&
           hide_make(&document.hide, "hide", document.units, keep, scratch, &hide, problems);
}

static bool refuse_stroke(Problems *problems, const char *found, const char *remedy)
{
    return problems_add(problems, (Problem){.kind = PROBLEM_BAD_INPUT,
                                            .where = "points_mm",
                                            .found = found,
                                            .remedy = remedy});
}

bool plan_stroke_json(const char *text, size_t bytes, Arena *keep, Arena *scratch, Text *json,
                      Problems *problems)
{
    AskedStroke stroke;
    if (!asked_stroke_read(text, bytes, keep, &stroke, problems)) {
        return false;
    }
    Ring made = {NULL, 0};
    if (stroke.closed) {
        made = stroke.count < 3
                   ? made
                   : stroke_close(stroke.points, stroke.count, stroke.within_mm, keep, scratch);
        Point crossing;
        if (made.count < 3) {
            return refuse_stroke(problems, "nothing lies within the line", "draw it round an area");
        }
        if (!ring_is_simple(made, &crossing)) {
            return refuse_stroke(problems, "the line crosses itself", "draw it round once");
        }
    } else {
        Point *points = ARENA_ARRAY(keep, Point, stroke.count);
        made.points = points;
        made.count =
            stroke_simplify(stroke.points, stroke.count, stroke.within_mm, points, scratch);
    }
    double length_mm = stroke.closed ? ring_length_mm(made) : 0;
    for (int i = 1; i < made.count && !stroke.closed; i++) {
        length_mm += point_distance(made.points[i - 1], made.points[i]);
    }
    Json written = {.text = *json};
    json_begin_object(&written, NULL);
    put_ring(&written, "points_mm", made);
    json_rounded(&written, "length_mm", length_mm, 3);
    json_rounded(&written, "area_mm2", stroke.closed ? fabs(ring_area_mm2(made)) : 0, 2);
    json_end_object(&written);
    *json = written.text;
    return true;
}
