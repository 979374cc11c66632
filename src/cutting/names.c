#include "cutting/cutting.h"

#include <ctype.h>
#include <string.h>

const char *copy_number_text(const CoverDemand *demand, int copy, Arena *keep)
{
    if (demand->count <= 1) {
        return "";
    }
    const size_t length = strlen(demand->name);
    const bool digit = length > 0 && isdigit((unsigned char)demand->name[length - 1]);
    return arena_text(keep, "%s%d", digit ? "-" : "", copy + 1);
}

const char *chair_text(const CoverDemand *demand, Arena *keep)
{
    return demand->chair ? arena_text(keep, "%s, %s", demand->seat, demand->chair) : demand->seat;
}

const char *cover_name(const CoverDemand *demands, const PlacedCover *placed, Arena *keep)
{
    const CoverDemand *demand = &demands[placed->demand];
    return arena_text(keep, "%s%s", demand->name, copy_number_text(demand, placed->copy, keep));
}

const char *beside_text(const CoverDemand *demands, int count, int demand, Arena *keep)
{
    Text text = {.keep = keep};
    for (int i = 0; demands[demand].beside > 0 && i < count; i++) {
        if (i != demand && demands[i].beside == demands[demand].beside) {
            text_add(&text, "%s%s", text.length > 0 ? ", " : "", demands[i].name);
        }
    }
    return text_string(&text);
}
