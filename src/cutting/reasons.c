#include "cutting/parts.h"

bool find_reason(const LayoutTask *task, const Layout *layout, int demand, const Progress *progress,
                 Arena *scratch, const char **reason, Problems *problems)
{
    const bool one = task->sheet_count == 1;
    LayoutHold all = {0};
    for (int sheet = 0; sheet < task->sheet_count; sheet++) {
        if (!progress_report(progress, "asking what holds the others", 0)) {
            break;
        }
        LayoutHold hold;
        if (!layout_what_holds(task, layout, demand, sheet, scratch, &hold, problems)) {
            return false;
        }
        all.fits_bare_sheet |= hold.fits_bare_sheet;
        all.fits_with_forbidden |= hold.fits_with_forbidden;
        all.fits_now |= hold.fits_now;
    }
    if (task->sheet_count == 0) {
        *reason = "there is no hide to cut it from";
    } else if (!all.fits_bare_sheet) {
        *reason = one ? "is larger than the hide allows in its turn window"
                      : "is larger than any of the hides allows in its turn window";
    } else if (!all.fits_with_forbidden) {
        *reason = one ? "would fit the bare hide, but flaws and soft leather leave no place for "
                        "its face"
                      : "would fit a bare hide, but on each of them flaws and soft leather leave "
                        "no place for its face";
    } else if (!all.fits_now) {
        *reason = "no room left beside the others; it would fit an empty hide";
    } else {
        *reason = "there is room for it, but the search ended before it was laid";
    }
    return true;
}
