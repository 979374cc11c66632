// Tables of the job itself, the leather, and how covers are laid.
#include "job/fields.h"

// A band of the tolerance table, by its number; the last is NO_BAND.
enum { BAND_WORD_COUNT = BAND_COUNT + 1 };
static const char *const band_words[BAND_WORD_COUNT] = {"face", "edge", "turn", "grip", "none"};

const char *const job_paper_names[JOB_PAPER_COUNT] = {"A4", "Letter"};

static const Field leather_fields[] = {
    {.key = "name",
     .kind = FIELD_TEXT,
     .offset = offsetof(Job, leather_name),
     .help = "What the leather is called."},
    {.key = "thickness",
     .kind = FIELD_LEATHER,
     .offset = offsetof(Job, leather.thickness_mm),
     .limits = {{0.4, 6}, {1, 15}},
     .likely = {{0.7, 2}, {1.75, 5}},
     .usual = {1.1, 1.1 / MM_PER_OZ},
     .usual_text = "1.1 mm (2 3/4 oz)",
     .help = "Thickness; 1.1 mm is common practice for seats."},
    {.key = "stretch_along",
     .kind = FIELD_SHARE,
     .offset = offsetof(Job, leather.stretch_along),
     .limits = {{0, 0.2}, {0, 0.2}},
     .usual = {0.03, 0.03},
     .help = "How much it gives under the hands along its firm direction, as a share: 0.03 is "
             "3 in 100."},
    {.key = "stretch_across",
     .kind = FIELD_SHARE,
     .offset = offsetof(Job, leather.stretch_across),
     .limits = {{0, 0.2}, {0, 0.2}},
     .usual = {0.05, 0.05},
     .help = "The same across it."},
    {.key = "use_stretch",
     .kind = FIELD_YES_NO,
     .offset = offsetof(Job, leather.use_stretch),
     .help = "Whether covers are cut smaller by what the hands will stretch them."},
};

const ObjectType leather_type = {
    .name = "leather",
    .help = "The leather of the covers.",
    .bytes = sizeof(Job),
    .fields = leather_fields,
    .field_count = sizeof leather_fields / sizeof leather_fields[0],
};

static void tolerance_begin(void *object)
{
    *(ToleranceTable *)object = tolerance_defaults();
}

static const Field tolerance_fields[] = {
    {.key = "flaws",
     .kind = FIELD_CHOICE,
     .offset = offsetof(ToleranceTable, flaw),
     .names = band_words,
     .name_count = BAND_WORD_COUNT,
     .each = flaw_kind_names,
     .each_count = FLAW_KIND_COUNT,
     .help = "For each kind of flaw the innermost band of a cover that it may lie in."},
    {.key = "margins",
     .kind = FIELD_LENGTH,
     .offset = offsetof(ToleranceTable, margin_mm),
     .limits = {{0, 200}, {0, 8}},
     .each = flaw_kind_names,
     .each_count = FLAW_KIND_COUNT,
     .help = "For each kind of flaw how far round it bands that do not tolerate it keep off."},
    {.key = "firmness",
     .kind = FIELD_CHOICE,
     .offset = offsetof(ToleranceTable, firmness),
     .names = band_words,
     .name_count = BAND_WORD_COUNT,
     .each = firmness_names,
     .each_count = FIRMNESS_COUNT,
     .help = "For each firmness of a region the innermost band that may lie there."},
    {.key = "rim",
     .kind = FIELD_CHOICE,
     .offset = offsetof(ToleranceTable, rim),
     .names = band_words,
     .name_count = BAND_WORD_COUNT,
     .help = "The innermost band that may lie in the hide's outermost rim."},
    {.key = "rim_width",
     .kind = FIELD_LENGTH,
     .offset = offsetof(ToleranceTable, rim_mm),
     .limits = {{0, 300}, {0, 12}},
     .help = "How wide that rim is."},
};

const ObjectType tolerance_type = {
    .name = "tolerance",
    .help = "What each band of a cover puts up with. The bands, from the middle out, are face, "
            "edge, turn and grip; `none` keeps the whole cover off.",
    .bytes = sizeof(ToleranceTable),
    .fields = tolerance_fields,
    .field_count = sizeof tolerance_fields / sizeof tolerance_fields[0],
    .begin = tolerance_begin,
};

static const Field laying_fields[] = {
    {.key = "turn_window",
     .kind = FIELD_DEGREES,
     .offset = offsetof(LayingRules, turn_window_rad),
     .limits = {{0, 90}, {0, 90}},
     .usual = {10, 10},
     .help = "How far a cover may be turned each way from the firm direction."},
    {.key = "either_way",
     .kind = FIELD_YES_NO,
     .offset = offsetof(LayingRules, either_way),
     .usual = {1, 1},
     .help = "Whether fronts may look to the butt or to the neck; else all look to the butt."},
    {.key = "gap",
     .kind = FIELD_LENGTH,
     .offset = offsetof(LayingRules, gap_mm),
     .limits = {{0, 50}, {0, 2}},
     .usual = {3, 0.125},
     .help = "Leather left between two covers."},
    {.key = "tolerance",
     .kind = FIELD_OBJECT,
     .offset = offsetof(LayingRules, table),
     .type = &tolerance_type,
     .help = "What each band of a cover puts up with."},
};

const ObjectType laying_type = {
    .name = "laying",
    .help = "How covers may lie on a hide.",
    .bytes = sizeof(LayingRules),
    .fields = laying_fields,
    .field_count = sizeof laying_fields / sizeof laying_fields[0],
};

static const Field search_fields[] = {
    {.key = "seed",
     .kind = FIELD_SEED,
     .offset = offsetof(LayoutOptions, seed),
     .limits = {{0, JOB_SEED_MAX}, {0, JOB_SEED_MAX}},
     .usual = {1, 1},
     .help = "Another number tries another way; the same number gives the same layout."},
    {.key = "work",
     .kind = FIELD_FACTOR,
     .offset = offsetof(LayoutOptions, work),
     .limits = {{0.01, 1000}, {0.01, 1000}},
     .usual = {1, 1},
     .help = "How long to look: 2 looks twice as long as 1."},
};

const ObjectType search_type = {
    .name = "search",
    .help = "How the program looks for a layout.",
    .bytes = sizeof(LayoutOptions),
    .fields = search_fields,
    .field_count = sizeof search_fields / sizeof search_fields[0],
    .flat = true,
};

static const Field job_fields[] = {
    {.key = "$schema",
     .kind = FIELD_SCHEMA,
     .help = "Where an editor finds the schema; the program reads over it."},
    {.key = "seatwright",
     .kind = FIELD_VERSION,
     .limits = {{JOB_VERSION, JOB_VERSION}, {JOB_VERSION, JOB_VERSION}},
     .needed = ALWAYS,
     .help = "Version of the document."},
    {.key = "name",
     .kind = FIELD_TEXT,
     .offset = offsetof(Job, name),
     .needed = ALWAYS,
     .help = "What the job is called."},
    {.key = "notes",
     .kind = FIELD_NOTES,
     .offset = offsetof(Job, notes),
     .help = "Whatever you want to remember."},
    {.key = "units",
     .kind = FIELD_UNITS,
     .offset = offsetof(Job, units),
     .needed = ALWAYS,
     .help = "Units of all numbers: \"in\" (inches, square feet, ounces), \"mm\" (millimetres, "
             "square metres, millimetres), or each by itself: {\"length\": \"in\", \"area\": "
             "\"ft2\", \"leather\": \"mm\"}."},
    {.key = "paper",
     .kind = FIELD_CHOICE,
     .offset = offsetof(Job, paper),
     .usual = {PAPER_A4, PAPER_LETTER},
     .names = job_paper_names,
     .name_count = JOB_PAPER_COUNT,
     .help = "The paper that the pack is printed on."},
    {.key = "leather",
     .kind = FIELD_OBJECT,
     .offset = 0,
     .type = &leather_type,
     .help = "The leather of the covers."},
    {.key = "seats",
     .kind = FIELD_LIST,
     .offset = offsetof(Job, seats),
     .count_offset = offsetof(Job, seat_count),
     .count_min = 1,
     .count_max = JOB_SEATS_MAX,
     .needed = ALWAYS,
     .type = &seat_type,
     .help = "The kinds of seat to be covered."},
    {.key = "hides",
     .kind = FIELD_LIST,
     .offset = offsetof(Job, hides),
     .count_offset = offsetof(Job, hide_count),
     .count_max = JOB_HIDES_MAX,
     .type = &hide_type,
     .help = "The hides on the table, if any."},
    {.key = "laying",
     .kind = FIELD_OBJECT,
     .offset = offsetof(Job, laying),
     .type = &laying_type,
     .help = "How covers may lie on a hide."},
    {.key = "search",
     .kind = FIELD_OBJECT,
     .offset = offsetof(Job, search),
     .type = &search_type,
     .help = "How the program looks for a layout."},
};

const ObjectType job_type = {
    .name = "job",
    .help = "A job: seats to be covered, and the hides to cut the covers from.",
    .bytes = sizeof(Job),
    .fields = job_fields,
    .field_count = sizeof job_fields / sizeof job_fields[0],
};

const ObjectType *const object_types[OBJECT_TYPE_COUNT] = {
    &job_type,     &leather_type, &seat_type,   &frame_type,  &notch_type,     &board_type,
    &padding_type, &layer_type,   &fixing_type, &chair_type,  &hide_type,      &station_type,
    &place_type,   &flaw_type,    &region_type, &laying_type, &tolerance_type, &search_type,
};
