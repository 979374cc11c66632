// Random hides: what one may get who buys a hide that nobody has seen yet.
//
// Outlines by a shape model of real hides with ragged edge and slits; flaws kind by kind by
// the counts, sizes and places found on real upholstery hides, changed by a grade; brands by
// published surveys; firmness that differs from hide to hide. Sources, status and checks of
// every number: docs/population.md.
#pragma once

#include "hide/hide.h"

#include <stdint.h>

/// Where a brand lies.
typedef enum BrandPlace { BRAND_BUTT, BRAND_SIDE, BRAND_SHOULDER, BRAND_PLACES } BrandPlace;

/// A population of hides. Grades are ours and no standard; a supplier's own wording is put
/// on the nearest, and every number may be replaced (job/job.h). Factors are relative to the hides
/// measured (1.0).
typedef struct HideGrade {
    const char *name;
    const char *lets_through; ///< a sentence for the user, without full stop

    double edge_cuts;     ///< factor on the number of cuts of the edge, 0 to 5
    double spots;         ///< factor on the number of spots, 0 to 10
    double shank_patches; ///< factor on the number of patches on shanks, 0 to 10
    double sizes;         ///< factor on the sizes of all these and of soft areas, 0.1 to 3

    // Chances, 0 to 1.
    double unusable_shanks; ///< of a hide that its shanks are useless as a whole
    double flank_pockets;   ///< of a hide that it has a soft pocket in either flank
    double belly_bands;     ///< of a half that soft strips run along its belly's edge
    double armpits;         ///< of a hide that there are soft areas behind the fore legs
    double neck_sides;      ///< of a hide that there are loose areas at the sides of the neck
    double neck_zones;   ///< of a hide that a large area over the neck is open, loose or wrinkled
    double branded;      ///< of a hide that it has a brand
    double second_brand; ///< of a branded hide that it has two
    double brand_places[BRAND_PLACES]; ///< relative, 0 to 1, not all 0

    double firmness_sd; ///< of the firmness of a region, in steps (firm, middling, soft, loose), 0
                        ///< to 3
    double belly_share; ///< mean share of the area beyond the belly lines, 0.05 to 0.6
    double belly_sd;    ///< of that share from hide to hide, 0 to 0.1
    double area_ln_sd;  ///< of the logarithm of the area from hide to hide within a lot, 0 to 0.5
    double stamp_sd;    ///< of the true area against the stamped one, relative, 0 to 0.1
} HideGrade;

enum { HIDE_GRADES = 4, GRADE_AVERAGE = 1 };
/// From the cleanest to the roughest.
extern const HideGrade hide_grades[HIDE_GRADES];

/// NULL when there is none of that name.
const HideGrade *hide_grade_named(const char *name);

enum { GRADE_NUMBERS = 20 };
/// All numbers of a grade, in their order.
void hide_grade_numbers(const HideGrade *grade, double numbers[GRADE_NUMBERS]);

/// Whether two grades draw the same hides, whatever they are called.
bool hide_grade_alike(const HideGrade *a, const HideGrade *b);

/// What kind of hide is drawn.
typedef struct HideAsk {
    HideForm form;   ///< whole or side
    double area_mm2; ///< stamped on the hide, or the mean of a lot; 0.04 to 20 m2
    bool of_a_lot;   ///< the mean of a lot: the hide's own stamp differs by the grade's area_ln_sd
} HideAsk;

/// Which hide is drawn. The same numbers give the same hide on every thread and in any order.
typedef struct HideTrial {
    uint64_t seed;
    uint64_t trial;
} HideTrial;

/// What a flaw was drawn as.
typedef enum DrawnKind {
    DRAWN_EDGE_CUT,
    DRAWN_SPOT,
    DRAWN_HIND_CAP,
    DRAWN_FORE_CAP,
    DRAWN_HIND_PATCH,
    DRAWN_FORE_PATCH,
    DRAWN_FLANK_POCKET,
    DRAWN_ARMPIT,
    DRAWN_NECK_SIDE,
    DRAWN_BELLY_BAND,
    DRAWN_NECK_ZONE,
    DRAWN_BRAND,
    DRAWN_KIND_COUNT
} DrawnKind;
extern const char *const drawn_kind_names[DRAWN_KIND_COUNT];

typedef struct DrawnFlaw {
    DrawnKind kind;
    int quality;      ///< the graders' class: 0 unusable to 3 nearly full quality; brands 1
    BrandPlace place; ///< of brands
} DrawnFlaw;

typedef struct DrawnHide {
    Hide hide;
    const DrawnFlaw *drawn; ///< of each flaw
    bool right_side;        ///< a side: the right half
    int refused; ///< outlines drawn before that crossed themselves or looked unlike a hide
} DrawnHide;

/// Draws a hide, ready for cutting_lay().
///
/// Result   a simple outline whose area is the stamped one but for the error of the stamp.
///          Flaws are single simple rings, not clipped: those at the edge reach beyond it, on
///          a side those over the backbone too. Regions are boxes laid over the outline and
///          beyond it, for the sake of speed; they do not overlap.
/// Luck     each part of a hide has streams of its own. With another grade or area the same
///          trial has the same outline, in another size; more or fewer of the same flaws at the
///          same places. Places are shares of the hide; flaws keep their size and number, for
///          a larger hide is not known to have larger or more of them.
/// Errors   none; the numbers of the grade must be in their ranges, the ask is asserted.
/// Source   docs/population.md.
DrawnHide hide_draw(const HideGrade *grade, HideAsk ask, HideTrial trial, Arena *keep,
                    Arena *scratch);
