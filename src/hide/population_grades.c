// Grades of random hides: ours, in plain words. Source and status of every number:
// docs/population.md. Brand places are butt, side and shoulder: the first two grades after the
// National Beef Quality Audit of 2005, the others after that of 2000 (McKenna et al. 2002).
#include "hide/population.h"

#include <assert.h>
#include <stddef.h>
#include <string.h>

const HideGrade hide_grades[HIDE_GRADES] = {
    {.name = "clean",
     .lets_through = "cuts at the very edge, small soft pockets in the flanks, a few specks; "
                     "hardly ever a brand",
     .edge_cuts = 0.6,
     .spots = 0.4,
     .shank_patches = 0.5,
     .sizes = 0.8,
     .unusable_shanks = 0.3,
     .flank_pockets = 0.7,
     .belly_bands = 0.8,
     .armpits = 0.3,
     .neck_sides = 0.3,
     .neck_zones = 0.1,
     .branded = 0.04,
     .second_brand = 0.09,
     .brand_places = {0.755, 0.21, 0.035},
     .firmness_sd = 0.2,
     .belly_share = 0.22,
     .belly_sd = 0.015,
     .area_ln_sd = 0.043,
     .stamp_sd = 0.01},
    {.name = "sound",
     .lets_through =
         "what an ordinary good hide has: cut edges, a dozen spots, soft flanks and "
         "belly edges, a worn or wrinkled neck on every other hide, a brand on two of five",
     .edge_cuts = 1,
     .spots = 1,
     .shank_patches = 1,
     .sizes = 1,
     .unusable_shanks = 0.5,
     .flank_pockets = 0.833,
     .belly_bands = 0.917,
     .armpits = 0.5,
     .neck_sides = 0.5,
     .neck_zones = 0.5,
     .branded = 0.387,
     .second_brand = 0.09,
     .brand_places = {0.755, 0.21, 0.035},
     .firmness_sd = 0.25,
     .belly_share = 0.23,
     .belly_sd = 0.02,
     .area_ln_sd = 0.043,
     .stamp_sd = 0.01},
    {.name = "lively",
     .lets_through = "twice the spots and scars of a sound hide, here and there in the good "
                     "leather too; a brand on every other hide",
     .edge_cuts = 1.2,
     .spots = 2.2,
     .shank_patches = 1.3,
     .sizes = 1.2,
     .unusable_shanks = 0.6,
     .flank_pockets = 0.9,
     .belly_bands = 0.95,
     .armpits = 0.6,
     .neck_sides = 0.65,
     .neck_zones = 0.6,
     .branded = 0.507,
     .second_brand = 0.09,
     .brand_places = {0.685, 0.25, 0.065},
     .firmness_sd = 0.3,
     .belly_share = 0.24,
     .belly_sd = 0.025,
     .area_ln_sd = 0.06,
     .stamp_sd = 0.01},
    {.name = "rough",
     .lets_through = "all that can still be cut around: scars and holes all over, large soft "
                     "and open areas, a brand on three of four hides, often two",
     .edge_cuts = 1.5,
     .spots = 4,
     .shank_patches = 2,
     .sizes = 1.5,
     .unusable_shanks = 0.8,
     .flank_pockets = 1,
     .belly_bands = 1,
     .armpits = 0.8,
     .neck_sides = 0.8,
     .neck_zones = 0.8,
     .branded = 0.75,
     .second_brand = 0.3,
     .brand_places = {0.685, 0.25, 0.065},
     .firmness_sd = 0.4,
     .belly_share = 0.26,
     .belly_sd = 0.03,
     .area_ln_sd = 0.09,
     .stamp_sd = 0.015},
};

const HideGrade *hide_grade_named(const char *name)
{
    for (int i = 0; i < HIDE_GRADES; i++) {
        if (strcmp(hide_grades[i].name, name) == 0) {
            return &hide_grades[i];
        }
    }
    return NULL;
}

void hide_grade_numbers(const HideGrade *grade, double numbers[GRADE_NUMBERS])
{
    static_assert(sizeof(HideGrade) ==
                      offsetof(HideGrade, edge_cuts) + GRADE_NUMBERS * sizeof(double),
                  "a grade is its words and so many numbers");
    memcpy(numbers, (const char *)grade + offsetof(HideGrade, edge_cuts),
           GRADE_NUMBERS * sizeof(double));
}

bool hide_grade_alike(const HideGrade *a, const HideGrade *b)
{
    if (a == b) {
        return true;
    }
    double of_a[GRADE_NUMBERS];
    double of_b[GRADE_NUMBERS];
    hide_grade_numbers(a, of_a);
    hide_grade_numbers(b, of_b);
    for (int i = 0; i < GRADE_NUMBERS; i++) {
        if (of_a[i] != of_b[i]) {
            return false;
        }
    }
    return true;
}
