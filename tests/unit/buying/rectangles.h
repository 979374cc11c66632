// Hides whose right answers are known: squares to be cut from rectangles that are more or less
// stretched.
#pragma once

#include "base/random.h"
#include "buying/study.h"

#include <math.h>

static const double cover_mm = 600;
// A rectangle's sides are the root of its area times and by a factor of 1 to e^0.2. The cover
// lies on it when the shorter side is as long as the cover: from an area of cover² e^(2 u) on.
static const double most_stretched = 0.2;

static inline Ring box_at(double width, double height, Arena *keep)
{
    Point *points = ARENA_ARRAY(keep, Point, 4);
    points[1] = (Point){width, 0};
    points[2] = (Point){width, height};
    points[3] = (Point){0, height};
    return (Ring){points, 4};
}

static inline double stretched(const HideAsked *asked)
{
    Random random = random_begin(asked->seed, asked->trial, (uint64_t)asked->number);
    return most_stretched * random_share(&random);
}

static inline void rectangle_make(double area_mm2, double stretch, Arena *keep, Hide *hide)
{
    const double side = sqrt(area_mm2);
    const double factor = exp(stretch);
    *hide = (Hide){.name = "rectangle", .form = HIDE_PANEL, .backbone_mm = side * factor};
    hide->outline = box_at(side * factor, side / factor, keep);
    hide->area_mm2 = area_mm2;
}

/// A DrawHide. Its context counts how many were drawn, unless it is NULL.
static inline bool draw_rectangle(void *context, const HideAsked *asked, Arena *keep,
                                  Arena *scratch, Hide *hide, Problems *problems)
{
    (void)scratch;
    (void)problems;
    int *drawn = context;
    if (drawn) {
        *drawn += 1;
    }
    rectangle_make(asked->stamped_mm2, stretched(asked), keep, hide);
    return true;
}

/// Squares of one size, and rules without gap.
typedef struct Rectangles {
    Cover cover;
    CoverDemand demand;
    LayingRules rules;
} Rectangles;

static inline void rectangles_begin(Rectangles *rectangles, int covers, double side_mm, Arena *keep)
{
    Cover *cover = &rectangles->cover;
    *cover = (Cover){.turn_symmetry = 1, .gross_area_mm2 = side_mm * side_mm};
    for (int band = 0; band < BAND_COUNT; band++) {
        cover->within[band] = box_at(side_mm, side_mm, keep);
    }
    cover->cut = cover->within[BAND_GRIP];
    rectangles->demand =
        (CoverDemand){.cover = cover, .name = "A", .seat = "chair", .count = covers};
    rectangles->rules = (LayingRules){.table = tolerance_defaults()};
}

/// Adds up two tallies of different trials.
static inline void tally_join(Tally *tally, const Tally *other)
{
    tally->trials += other->trials;
    tally->careful += other->careful;
    for (int failed = 0; failed <= AREA_STEPS; failed++) {
        for (int fits = 0; fits <= AREA_STEPS; fits++) {
            tally->count[failed][fits] += other->count[failed][fits];
        }
    }
}

/// A DrawHide that fails.
static inline bool draw_nothing(void *context, const HideAsked *asked, Arena *keep, Arena *scratch,
                                Hide *hide, Problems *problems)
{
    (void)context;
    (void)keep;
    (void)scratch;
    (void)hide;
    return problems_say(problems, PROBLEM_SYSTEM, "hide", "nothing at %.0f", asked->stamped_mm2);
}
