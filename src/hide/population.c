// Random hides: the parts put together. Grades are in population_grades.c.
#include "hide/population_parts.h"

#include <assert.h>

static const double AREA_LEAST_MM2 = 0.04e6;
static const double AREA_MOST_MM2 = 20e6;
enum { SIZE_PASSES = 3 };
static const double AREA_WITHIN = 2.5; // standard deviations

const char *const drawn_kind_names[DRAWN_KIND_COUNT] = {
    [DRAWN_EDGE_CUT] = "edge cut",         [DRAWN_SPOT] = "spot",
    [DRAWN_HIND_CAP] = "hind shank",       [DRAWN_FORE_CAP] = "fore shank",
    [DRAWN_HIND_PATCH] = "hind patch",     [DRAWN_FORE_PATCH] = "fore patch",
    [DRAWN_FLANK_POCKET] = "flank pocket", [DRAWN_ARMPIT] = "armpit",
    [DRAWN_NECK_SIDE] = "neck side",       [DRAWN_BELLY_BAND] = "belly band",
    [DRAWN_NECK_ZONE] = "neck zone",       [DRAWN_BRAND] = "brand",
};

double law_normal(Random *random, NormalLaw law, double within)
{
    return law.mean + law.sd * random_normal_within(random, within);
}

double law_size(Random *random, SizeLaw law)
{
    return exp(fmin(law.ln_most, law.ln_mean + law.ln_sd * random_normal_within(random, 2)));
}

int law_choice(Random *random, const double *shares, int count)
{
    double all = 0;
    for (int i = 0; i < count; i++) {
        all += shares[i];
    }
    double rest = all * random_share(random);
    int chosen = 0;
    while (chosen < count - 1 && (rest >= shares[chosen] || shares[chosen] <= 0)) {
        rest -= shares[chosen++];
    }
    return chosen;
}

static double stamped_mm2(const HideGrade *grade, HideAsk ask, HideTrial trial)
{
    if (!ask.of_a_lot) {
        return ask.area_mm2;
    }
    Random random = part_begin(trial, PART_AREA, 0);
    const double sd = grade->area_ln_sd;
    const double ln = sd * random_normal_within(&random, AREA_WITHIN) - 0.5 * sd * sd;
    return ask.area_mm2 * exp(ln);
}

static double true_mm2(const HideGrade *grade, double stamped, HideTrial trial)
{
    Random random = part_begin(trial, PART_STAMP, 0);
    return stamped * (1 + grade->stamp_sd * random_normal_within(&random, AREA_WITHIN));
}

static void scale_edge(HideEdge *edge, double factor)
{
    for (int i = 0; i < edge->count; i++) {
        edge->at[i] = point_times(edge->at[i], factor);
    }
    for (int i = 0; i <= edge->count; i++) {
        edge->along[i] *= factor;
    }
}

// Edge and outline in mm, so that the hide or the half has its area. Returns the length of the
// backbone.
static double bring_to_size(HideEdge *edge, int half, HideTrial trial, Hide *hide, Arena *keep,
                            Arena *scratch)
{
    const Ring whole = {edge->at, edge->count};
    double length_mm = sqrt(hide->area_mm2 / ring_area_mm2(whole));
    if (half == 0) {
        scale_edge(edge, length_mm);
        hide->outline = whole;
        return length_mm;
    }
    // The cut along the backbone wavers by mm, whatever the size of the hide: cut at nearly the
    // right size, then mend what it is off.
    length_mm *= sqrt(2);
    scale_edge(edge, length_mm);
    for (int pass = 0; pass < SIZE_PASSES; pass++) {
        const ArenaMark mark = arena_mark(keep);
        const Ring cut = side_outline(edge, half, trial, keep, scratch);
        const double factor = sqrt(hide->area_mm2 / ring_area_mm2(cut));
        arena_rewind(keep, mark);
        scale_edge(edge, factor);
        length_mm *= factor;
    }
    hide->outline = side_outline(edge, half, trial, keep, scratch);
    return length_mm;
}

static void draw_flaws(FlawCanvas *canvas)
{
    const bool capped = canvas_chance(canvas, 0, canvas->grade->unusable_shanks);
    if (capped) {
        draw_caps(canvas);
    }
    draw_patches(canvas, capped);
    draw_belly_bands(canvas);
    draw_neck_zone(canvas);
    draw_brands(canvas);
    draw_spots(canvas);
    draw_edge_cuts(canvas, capped);
}

DrawnHide hide_draw(const HideGrade *grade, HideAsk ask, HideTrial trial, Arena *keep,
                    Arena *scratch)
{
    assert(ask.form == HIDE_WHOLE || ask.form == HIDE_SIDE);
    assert(ask.area_mm2 >= AREA_LEAST_MM2 && ask.area_mm2 <= AREA_MOST_MM2);
    const ArenaMark mark = arena_mark(scratch);
    DrawnHide drawn = {
        .hide = {.name = arena_text(keep, "drawn hide %llu", (unsigned long long)trial.trial),
                 .form = ask.form}};
    Hide *hide = &drawn.hide;
    HideEdge edge = edge_draw(trial, keep, scratch, &drawn.refused);
    Random siding = part_begin(trial, PART_SIDE, 0);
    const int side = random_share(&siding) < 0.5 ? 1 : -1;
    const int half = ask.form == HIDE_SIDE ? side : 0;
    drawn.right_side = half < 0;
    hide->stamped_mm2 = stamped_mm2(grade, ask, trial);
    hide->area_mm2 = true_mm2(grade, hide->stamped_mm2, trial);
    hide->backbone_mm = bring_to_size(&edge, half, trial, hide, keep, scratch);
    hide->area_mm2 = ring_area_mm2(hide->outline);
    FlawCanvas canvas = {.grade = grade,
                         .trial = trial,
                         .edge = &edge,
                         .outline = {edge.at, edge.count},
                         .length_mm = hide->backbone_mm,
                         .half = half,
                         .keep = keep,
                         .scratch = scratch,
                         .flaws = ARENA_ARRAY(keep, Flaw, FLAWS_MAX),
                         .drawn = ARENA_ARRAY(keep, DrawnFlaw, FLAWS_MAX)};
    draw_flaws(&canvas);
    hide->flaws = canvas.flaws;
    hide->flaw_count = canvas.count;
    drawn.drawn = canvas.drawn;
    draw_regions(grade, trial, hide, keep, scratch);
    arena_rewind(scratch, mark);
    return drawn;
}
