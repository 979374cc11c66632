#include "buying/leather.h"

#include <stddef.h>

const char *const leather_kind_names[LEATHER_KIND_COUNT] = {"pigmented", "semi-aniline", "aniline",
                                                            "nubuck"};

const char *const leather_kind_meanings[LEATHER_KIND_COUNT] = {
    "an opaque coat of pigment over the grain; wears and cleans best",
    "dyed through, with a thin coat; between the two",
    "dyed through, without a covering coat; the softest, marks and fades most easily",
    "grain buffed to a nap, without a coat; takes up whatever is spilt",
};

const char *const leather_grain_names[LEATHER_GRAIN_COUNT] = {"full", "corrected"};

const char *const leather_tests_source =
    "EN 13336, as in Decision (EU) 2016/1332, Appendix II, for furniture leather";

// In the order of LeatherKind: pigmented, semi-aniline, aniline, nubuck. The source has
// one column for nubuck and aniline.
#define ALIKE(least) least, least, least, least
#define BY_FINISH(pigmented, semi_aniline, open) pigmented, semi_aniline, open, open

const LeatherTest leather_tests[LEATHER_TEST_COUNT] = {
    {"acidity (pH of an extract)",
     "EN ISO 4045",
     "too sour a leather rots and eats tacks",
     {ALIKE("3.5 or more; below 4.0 a difference figure of 0.7 or less")}},
    {"tear load, average",
     "EN ISO 3377-1",
     "a tack hole or a relief cut does not run on",
     {ALIKE("more than 20 N")}},
    {"colour fastness to rubbing, dry felt",
     "EN ISO 11640",
     "what dry clothes take off or leave behind",
     {BY_FINISH("500 cycles, grey scale 4 or better", "500 cycles, grey scale 4 or better",
                "50 cycles, grey scale 3 or better")}},
    {"colour fastness to rubbing, wet felt",
     "EN ISO 11640",
     "wiping up, damp clothes",
     {BY_FINISH("250 cycles, grey scale 3/4 or better", "80 cycles, grey scale 3/4 or better",
                "20 cycles, grey scale 3 or better")}},
    {"colour fastness to rubbing, felt with alkaline sweat",
     "EN ISO 11640, solution of EN ISO 11641",
     "bare legs in summer",
     {BY_FINISH("80 cycles, grey scale 3/4 or better", "50 cycles, grey scale 3/4 or better",
                "20 cycles, grey scale 3 or better")}},
    {"colour fastness to light",
     "EN ISO 105-B02, method 3",
     "how soon sunshine bleaches it",
     {BY_FINISH("blue scale 5 or better", "blue scale 4 or better", "blue scale 3 or better")}},
    {"adhesion of the finish, dry",
     "EN ISO 11644",
     "the coat does not peel",
     {BY_FINISH("2 N per 10 mm or more", "2 N per 10 mm or more", NULL)}},
    {"flexing, dry",
     "EN ISO 5402-1",
     "the coat does not crack where the seat gives",
     {"50 000 bends without damage", "50 000 bends without damage",
      "20 000 bends without damage, if it has a finish without pigment", NULL}},
    {"water spotting",
     "EN ISO 15700",
     "a drop that dries leaves no ring",
     {ALIKE("grey scale 3 or better, no lasting swelling")}},
    {"cold crack of the finish",
     "EN ISO 17233",
     "a chair in an unheated room or van",
     {BY_FINISH("no crack at -15 °C", "no crack at -15 °C", NULL)}},
    {"fire",
     "EN 1021, or the rule of your country",
     "ask for the certificate before you buy; local law and licensed practice decide",
     {ALIKE("pass")}},
};
