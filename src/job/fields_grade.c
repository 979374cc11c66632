// Table of the grades that a job names. Source and status of every number: docs/population.md.
#include "job/fields.h"

static void begin_like(void *object)
{
    JobGrade *grade = object;
    const char *name = grade->grade.name;
    grade->grade = hide_grades[grade->like];
    grade->grade.name = name;
}

static const char *const like_names[HIDE_GRADES] = {"clean", "sound", "lively", "rough"};
static const char *const place_names[BRAND_PLACES] = {"butt", "side", "shoulder"};

// A number of the grade: a factor against the hides measured, or a share.
#define NUMBER(name, its_kind, least, most, said)                                                  \
    {                                                                                              \
        .key = #name, .kind = (its_kind), .offset = offsetof(JobGrade, grade.name),                \
        .limits = {{(least), (most)}, {(least), (most)}}, .usual_text = "as `like` has it",        \
        .help = (said)                                                                             \
    }

static const Field grade_fields[] = {
    {.key = "name",
     .kind = FIELD_TEXT,
     .offset = offsetof(JobGrade, grade.name),
     .needed = ALWAYS,
     .help = "What the supplier calls it."},
    {.key = "like",
     .kind = FIELD_CHOICE,
     .offset = offsetof(JobGrade, like),
     .usual = {GRADE_AVERAGE, GRADE_AVERAGE},
     .names = like_names,
     .name_count = HIDE_GRADES,
     .needed = ALWAYS,
     .then = begin_like,
     .help = "The program's grade that it is nearest to; numbers that are left out are its."},
    {.key = "notes",
     .kind = FIELD_NOTES,
     .offset = offsetof(JobGrade, notes),
     .help = "Where the mapping comes from."},
    NUMBER(edge_cuts, FIELD_FACTOR, 0, 5,
           "How many cuts of the edge, against the hides measured (1)."),
    NUMBER(spots, FIELD_FACTOR, 0, 10, "How many spots and scars, against them."),
    NUMBER(shank_patches, FIELD_FACTOR, 0, 10, "How many patches on the shanks, against them."),
    NUMBER(sizes, FIELD_FACTOR, 0.1, 3, "How large all flaws but brands are, against them."),
    NUMBER(unusable_shanks, FIELD_SHARE, 0, 1, "Of the hides, those whose shanks are useless."),
    NUMBER(flank_pockets, FIELD_SHARE, 0, 1,
           "Of the hides, those with a soft pocket in either flank."),
    NUMBER(belly_bands, FIELD_SHARE, 0, 1,
           "Of the halves, those with loose strips along the belly's edge."),
    NUMBER(armpits, FIELD_SHARE, 0, 1, "Of the hides, those with soft areas behind the fore legs."),
    NUMBER(neck_sides, FIELD_SHARE, 0, 1,
           "Of the hides, those with loose areas at the sides of the neck."),
    NUMBER(neck_zones, FIELD_SHARE, 0, 1,
           "Of the hides, those with a large open, loose or wrinkled area over the neck."),
    NUMBER(branded, FIELD_SHARE, 0, 1, "Of the hides, those with a brand."),
    NUMBER(second_brand, FIELD_SHARE, 0, 1, "Of these, those with two."),
    {.key = "brand_places",
     .kind = FIELD_FACTOR,
     .offset = offsetof(JobGrade, grade.brand_places),
     .limits = {{0, 1}, {0, 1}},
     .usual_text = "as `like` has them",
     .each = place_names,
     .each_count = BRAND_PLACES,
     .help = "How often a brand lies in each place, against the other places."},
    NUMBER(firmness_sd, FIELD_FACTOR, 0, 3,
           "How far the firmness of a region differs from hide to hide, in steps from firm to "
           "loose (standard deviation)."),
    NUMBER(belly_share, FIELD_SHARE, 0.05, 0.6,
           "Of the area, what lies beyond the belly lines (mean)."),
    NUMBER(belly_sd, FIELD_SHARE, 0, 0.1, "Standard deviation of that from hide to hide."),
    NUMBER(area_ln_sd, FIELD_FACTOR, 0, 0.5,
           "How far areas differ within a lot (standard deviation of the logarithm)."),
    NUMBER(stamp_sd, FIELD_SHARE, 0, 0.1,
           "How far the true area is off the stamp, as a share (standard deviation)."),
};

const ObjectType grade_type = {
    .name = "grade",
    .help = "What a supplier calls a grade, put on the nearest of the program's; any of its "
            "numbers may "
            "be replaced.",
    .bytes = sizeof(JobGrade),
    .fields = grade_fields,
    .field_count = sizeof grade_fields / sizeof grade_fields[0],
};
