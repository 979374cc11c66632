// Seats that the tests of this folder share. All measures are invented.
#pragma once

#include "plane/polygon.h"
#include "seat/cover.h"

/// The usual side chair: F13 of the trade's formulas, 18 x 15 1/2 x 16 in.
static inline Frame side_chair(void)
{
    return (Frame){.shape = FRAME_TAPER, .front_mm = 457.2, .back_mm = 393.7, .depth_mm = 406.4};
}

static inline Frame side_chair_rounded(void)
{
    Frame frame = side_chair();
    for (int i = 0; i < CORNER_COUNT; i++) {
        frame.radius_mm[i] = 25.4;
    }
    return frame;
}

static inline Sides all_sides(double mm)
{
    return (Sides){{mm, mm, mm, mm}};
}

/// Flat padding with upright edges, nothing between it and the leather.
static inline BuildUp flat_pad(void)
{
    return (BuildUp){.frame_thickness_mm = 12, .padding_edge_mm = all_sides(20)};
}

/// A crowned pad with all that a pad can have.
static inline BuildUp full_pad(void)
{
    return (BuildUp){.frame_thickness_mm = 12.7,
                     .bottom_edge = BOTTOM_ROUNDED,
                     .bottom_mm = 6.35,
                     .padding_edge_mm = all_sides(25),
                     .crown_mm = 25,
                     .edge_radius_mm = 10,
                     .overhang_mm = 6,
                     .layers = {{"batting", 1, true, false}, {"muslin", 0.3, true, true}},
                     .layer_count = 2};
}

static inline Fixing usual_fixing(void)
{
    return (Fixing){all_sides(20), all_sides(12), all_sides(30)};
}

static inline LeatherSheet usual_leather(void)
{
    return (LeatherSheet){.thickness_mm = 1.1, .stretch_along = 0.02, .stretch_across = 0.05};
}

/// Area of what of `inner` lies outside `outer`, in mm2.
static inline double area_outside_mm2(Ring inner, Ring outer, Arena *scratch)
{
    PolygonSet left;
    if (!polygon_overlay(POLYGON_DIFFERENCE, polygon_set_of_ring(inner, scratch),
                         polygon_set_of_ring(outer, scratch), scratch, &left)) {
        return HUGE_VAL;
    }
    return polygon_set_area_mm2(left);
}
