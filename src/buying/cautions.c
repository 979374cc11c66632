// What to look out for. The law is told in general: local rules and licensed practice decide.
#include "buying/advise.h"

const char *const fire_cautions[FIRE_CAUTION_COUNT] = {
    "Fire, United States: 16 CFR part 1640, which takes up California's TB 117-2013, has held "
    "since 25 June 2021 for upholstered furniture that is made, imported or reupholstered, and "
    "its label since 25 June 2022. Work for the owner's own use may be outside it.",
    "Fire, United Kingdom: the Furniture and Furnishings (Fire) (Safety) Regulations 1988 and "
    "their changes ask for match-resistant covers, also of whoever reupholsters a chair made "
    "since 1950. Ask the tannery for its certificate.",
    ("Fire, elsewhere: ask before you sell. Local rules and licensed practice decide; this page "
     "is information, not legal advice.")};

// EN 15987: a coat of at most 0.15 mm is leather, a thicker one is coated leather, and what has
// lost its grain is split; shredded fibre is none of these.
const char *const leather_cautions[LEATHER_CAUTION_COUNT] = {
    "Never plain split for a seat, however it is embossed: without its grain it stretches and "
    "tears. Ask whether the grain is there; leather without it must be called split (EN 15987).",
    "A coat of more than 0.15 mm must be declared as coated leather, and bonded fibre is no "
    "leather at all (EN 15987).",
    "Ask for all leather of the set from one hide or one dye lot, and see a sample of that lot by "
    "daylight before you pay.",
};
