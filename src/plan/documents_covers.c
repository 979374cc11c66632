// Covers as JSON: docs/json.md.
#include "plan/plan.h"

#include "plan/put.h"
#include "seat/cross_section.h"

static void put_path(Json *json, const char *key, const LeatherPath *path)
{
    json_begin_flat_object(json, key);
    json_rounded(json, "run_mm", path->run_mm, 3);
    json_rounded(json, "dome_mm", path->dome_mm, 3);
    json_rounded(json, "round_mm", path->round_mm, 3);
    json_rounded(json, "side_mm", path->side_mm, 3);
    json_rounded(json, "bottom_mm", path->bottom_mm, 3);
    json_rounded(json, "under_mm", path->under_mm, 3);
    json_rounded(json, "hold_mm", path->hold_mm, 3);
    json_rounded(json, "grip_mm", path->grip_mm, 3);
    json_rounded(json, "allowance_mm", path->beyond_frame_mm, 3);
    json_end_object(json);
}

// Three decimals are finer than any line that is drawn.
enum { SECTION_DECIMALS = 3 };

static void put_section(Json *json, const Cover *cover, Side side)
{
    const BuildUp *build_up = cover->recipe.build_up;
    const CrossSection section = cover_cross_section(cover, side, json->text.keep);
    json_begin_object(json, side_names[side]);
    put_points(json, "board_mm", section.board, SECTION_DECIMALS);
    put_points(json, "padding_mm", section.padding, SECTION_DECIMALS);
    json_begin_array(json, "layers");
    for (int i = 0; i < build_up->layer_count; i++) {
        json_begin_object(json, NULL);
        json_text(json, "material", build_up->layers[i].material);
        put_points(json, "outline_mm", section.layers[i], SECTION_DECIMALS);
        json_end_object(json);
    }
    json_end_array(json);
    json_rounded(json, "leather_thickness_mm", cover->recipe.leather->thickness_mm, 3);
    json_begin_object(json, "leather_mm");
    for (PathPart part = 0; part < PATH_PART_COUNT; part++) {
        put_points(json, path_part_names[part], section.leather[part], SECTION_DECIMALS);
    }
    json_end_object(json);
    json_begin_flat_object(json, "lengths_mm");
    for (Band band = 0; band < BAND_COUNT; band++) {
        json_rounded(json, band_names[band], path_band_mm(&cover->path[side], band), 3);
    }
    json_end_object(json);
    json_end_object(json);
}

static void put_rules(Json *json, const Cover *cover)
{
    json_begin_array(json, "flat_rules");
    for (int r = 0; r < FLAT_RULE_COUNT; r++) {
        const Sides over = cover_against_rule(cover, flat_rules[r].allowance_mm);
        json_begin_object(json, NULL);
        json_text(json, "name", flat_rules[r].name);
        json_text(json, "source", flat_rules[r].source);
        json_rounded(json, "allowance_mm", flat_rules[r].allowance_mm, 3);
        json_begin_flat_object(json, "wasted_mm");
        for (int s = 0; s < SIDE_COUNT; s++) {
            json_rounded(json, side_names[s], over.at[s], 3);
        }
        json_end_object(json);
        json_end_object(json);
    }
    json_end_array(json);
}

void put_cover(Json *json, const CoverDemand *demand)
{
    const Cover *cover = demand->cover;
    json_begin_object(json, NULL);
    json_text(json, "name", demand->name);
    json_text(json, "seat", demand->seat);
    json_text(json, "chair", demand->chair);
    json_int(json, "count", demand->count);
    json_rounded(json, "net_area_mm2", cover->net_area_mm2, 2);
    json_rounded(json, "gross_area_mm2", cover->gross_area_mm2, 2);
    json_bool(json, "mirror_image", cover->mirror);
    json_int(json, "turn_symmetry", cover->turn_symmetry);
    json_rounded(json, "stretch_along_mm", cover->stretch_along_mm, 2);
    json_rounded(json, "stretch_across_mm", cover->stretch_across_mm, 2);
    json_begin_object(json, "paths");
    for (int s = 0; s < SIDE_COUNT; s++) {
        put_path(json, side_names[s], &cover->path[s]);
    }
    json_end_object(json);
    json_begin_object(json, "sections");
    for (Side side = 0; side < SIDE_COUNT; side++) {
        put_section(json, cover, side);
    }
    json_end_object(json);
    put_rules(json, cover);
    put_ring(json, "frame_mm", cover->frame);
    put_ring(json, "outline_mm", cover->cut);
    put_ring(json, "tack_line_mm", cover->tack_line);
    put_bands(json, "within_mm", cover->within);
    json_end_object(json);
}

void plan_covers_json(const Derived *derived, Text *text)
{
    Json json = {.text = *text};
    json_begin_object(&json, NULL);
    json_text(&json, "job", derived->job.name);
    json_begin_array(&json, "covers");
    for (int d = 0; d < derived->demand_count; d++) {
        put_cover(&json, &derived->demands[d]);
    }
    json_end_array(&json);
    json_end_object(&json);
    *text = json.text;
}
