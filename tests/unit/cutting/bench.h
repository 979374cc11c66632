// A plain hide and plain covers that the tests of cutting share.
#pragma once

#include "cutting/cutting.h"

static inline Ring box_ring(double x, double y, double width, double height, Arena *keep)
{
    Point *points = ARENA_ARRAY(keep, Point, 4);
    points[0] = (Point){x, y};
    points[1] = (Point){x + width, y};
    points[2] = (Point){x + width, y + height};
    points[3] = (Point){x, y + height};
    return (Ring){points, 4};
}

/// 2000 x 1600: a firm back, and soft bellies along both edges, 300 wide.
static inline Hide plain_hide(Arena *keep)
{
    Hide hide = {.name = "plain", .form = HIDE_WHOLE, .backbone_mm = 2000, .region_count = 2};
    hide.outline = box_ring(0, -800, 2000, 1600, keep);
    hide.area_mm2 = 3.2e6;
    hide.regions[0] = (Region){REGION_BACK, FIRM, 1, 1.3,
                               polygon_set_of_ring(box_ring(0, -500, 2000, 1000, keep), keep)};
    Polygon *bellies = ARENA_ARRAY(keep, Polygon, 2);
    bellies[0].outer = box_ring(0, -800, 2000, 300, keep);
    bellies[1].outer = box_ring(0, 500, 2000, 300, keep);
    hide.regions[1] = (Region){REGION_BELLY, SOFT, 1.8, 1.5, {bellies, 2}};
    return hide;
}

static inline void add_flaw(Hide *hide, FlawKind kind, Ring area, Arena *keep)
{
    Flaw *flaws = ARENA_ARRAY(keep, Flaw, hide->flaw_count + 1);
    for (int i = 0; i < hide->flaw_count; i++) {
        flaws[i] = hide->flaws[i];
    }
    flaws[hide->flaw_count] = (Flaw){
        .kind = kind, .area = polygon_set_of_ring(area, keep), .middle = ring_centroid(area)};
    hide->flaws = flaws;
    hide->flaw_count++;
}

/// Width x depth as cut; grip, turn and edge take 30 mm each from all sides.
static inline Cover plain_cover(double width_mm, double depth_mm, Arena *keep)
{
    Cover cover = {.turn_symmetry = 1, .gross_area_mm2 = width_mm * depth_mm};
    for (int band = 0; band < BAND_COUNT; band++) {
        const double in_mm = 30.0 * (BAND_GRIP - band);
        cover.within[band] = box_ring(-width_mm / 2 + in_mm, in_mm, width_mm - 2 * in_mm,
                                      depth_mm - 2 * in_mm, keep);
    }
    cover.cut = cover.within[BAND_GRIP];
    cover.tack_line = box_ring(-width_mm / 2 + 45, 45, width_mm - 90, depth_mm - 90, keep);
    return cover;
}

static inline LayingRules plain_rules(void)
{
    return (LayingRules){.turn_window_rad = 0.1, .gap_mm = 3, .table = tolerance_defaults()};
}
