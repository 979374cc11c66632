// A cover made by hand, for tests of what comes after the seat module: a tapered seat
// with rounded corners, 18 in wide in front, 15 in at the back, 16 in deep. All sizes
// are invented.
#pragma once

#include "plane/polygon.h"
#include "seat/cover.h"
#include "support/check.h"

static inline Ring sample_grown(Ring ring, double distance_mm, PolygonJoin join, Arena *keep)
{
    PolygonSet grown = {0};
    assert_true(polygon_grow(polygon_set_of_ring(ring, keep), distance_mm, join, keep, &grown));
    return polygon_set_largest_ring(grown);
}

/// What the sample is made of: flat padding with upright edges on a square board.
static inline CoverRecipe sample_recipe(void)
{
    static const BuildUp build_up = {.frame_thickness_mm = 12,
                                     .padding_edge_mm = {{20, 20, 20, 20}},
                                     .layers = {{"muslin", 0.3, true, true}},
                                     .layer_count = 1};
    static const Fixing fixing = {{{20, 20, 20, 20}}, {{12, 12, 12, 12}}, {{25, 25, 25, 25}}};
    static const LeatherSheet leather = {.thickness_mm = 1.1};
    return (CoverRecipe){&build_up, &fixing, &leather, CUT_FOLLOWING};
}

/// `scale` 1 gives the chair seat, 4 a bench that needs many sheets of paper.
static inline Cover sample_cover(double scale, Arena *keep)
{
    const double back_mm = 0.5 * 15 * 25.4 * scale;
    const double front_mm = 0.5 * 18 * 25.4 * scale;
    const double depth_mm = 16 * 25.4 * scale;
    const Point corners[] = {
        {-front_mm, 0}, {front_mm, 0}, {back_mm, depth_mm}, {-back_mm, depth_mm}};
    const Ring sharp = {corners, 4};
    const Ring frame =
        sample_grown(sample_grown(sharp, -20, POLYGON_MITRE, keep), 20, POLYGON_ROUND, keep);
    const double beyond_mm[BAND_COUNT] = {
        [BAND_FACE] = -8, [BAND_EDGE] = 45, [BAND_TURN] = 75, [BAND_GRIP] = 100};
    Cover cover = {.frame = frame,
                   .recipe = sample_recipe(),
                   .middle = {0, depth_mm / 2},
                   .mirror = true,
                   .turn_symmetry = 1};
    for (int side = 0; side < SIDE_COUNT; side++) {
        cover.path[side] = (LeatherPath){.run_mm = depth_mm / 2,
                                         .dome_mm = depth_mm / 2,
                                         .round_mm = 1.3,
                                         .side_mm = 32,
                                         .bottom_mm = 1.3,
                                         .under_mm = 20,
                                         .hold_mm = 12,
                                         .grip_mm = 25,
                                         .padding_edge_mm = 20};
    }
    for (int band = 0; band < BAND_COUNT; band++) {
        cover.within[band] = sample_grown(frame, beyond_mm[band], POLYGON_ROUND, keep);
    }
    cover.tack_line = sample_grown(frame, 60, POLYGON_ROUND, keep);
    cover.cut = cover.within[BAND_GRIP];
    cover.gross_area_mm2 = ring_area_mm2(cover.cut);
    cover.net_area_mm2 = ring_area_mm2(cover.within[BAND_TURN]);
    return cover;
}
