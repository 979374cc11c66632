// What can hurt, and what the law may ask. Said in general and dated: the maker's
// instructions, local rules and licensed practice decide.
#include "paper/steps.h"
#include "paper/summary.h"

#include "buying/advise.h"

void summary_doubts(Flow *flow)
{
    const Problems *doubts = flow->matter->doubts;
    Arena *keep = flow->pages->keep;
    bool begun = false;
    for (int i = 0; doubts && i < doubts->count; i++) {
        const Problem *doubt = &doubts->items[i];
        if (doubt->kind != PROBLEM_DOUBT) {
            continue;
        }
        if (!begun) {
            flow_heading(flow, "Doubts: look at these before you buy or cut", 16);
            begun = true;
        }
        flow_check(flow, doubt->remedy ? arena_text(keep, "%s: %s; %s.", doubt->where, doubt->found,
                                                    doubt->remedy)
                                       : arena_text(keep, "%s: %s.", doubt->where, doubt->found));
    }
}

void summary_cautions(Flow *flow)
{
    const char *const cautions[] = {
        "Knives and shears: cut away from the hand that holds the leather, on a mat, and cover "
        "blades that are not in use.",
        steps_stapler_caution,
        "Spray adhesive: outdoors or with moving air, away from flame and sparks, as the can says. "
        "Water-based glue is the milder choice; leave glues with dichloromethane or 1-bromopropane "
        "alone.",
        "Old seats: strip them outdoors with a dust mask (P2, P3 or N95). Old hair and flock can "
        "hold dust, moths and mould."};
    Arena *keep = flow->pages->keep;
    flow_heading(flow, arena_text(keep, "Cautions, as of %s", flow->matter->date), 20);
    for (size_t i = 0; i < sizeof cautions / sizeof cautions[0]; i++) {
        flow_item(flow, "–", cautions[i]);
    }
    for (int i = 0; i < FIRE_CAUTION_COUNT; i++) {
        flow_item(flow, "–", fire_cautions[i]);
    }
}
