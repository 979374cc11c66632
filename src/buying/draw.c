#include "buying/draw.h"

bool draw_of_grade(void *context, const HideAsked *asked, Arena *keep, Arena *scratch, Hide *hide,
                   Problems *problems)
{
    (void)context;
    (void)problems;
    const HideAsk ask = {.form = asked->form, .area_mm2 = asked->stamped_mm2};
    // No two hides of a study are the same animal's.
    const HideTrial trial = {asked->seed, asked->trial * STUDY_HIDES_MAX + (uint64_t)asked->number};
    *hide = hide_draw(asked->grade, ask, trial, keep, scratch).hide;
    return true;
}
