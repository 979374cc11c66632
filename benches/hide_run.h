// One measured layout of pieces on hides.
#pragma once

#include "hide_task.h"

typedef struct HideOutcome {
    bool accepted;    ///< by the judge
    int missing;      ///< pieces not laid
    double used_mm2;  ///< by the pieces laid
    double hides_mm2; ///< of the hides that they lie on
    int hides;        ///< that they lie on
    double seconds;
    double cpu_seconds;
} HideOutcome;

/// What is to be laid on what.
typedef struct HideQuestion {
    const HideProblem *problem;
    const RealHide *const *stock; ///< the hides that may be used
    int stock_count;
    HideFlaws flaws;
    LayoutAim aim; ///< LAYOUT_PLACE_ALL or LAYOUT_FEWEST_SHEETS
} HideQuestion;

/// Searches, asks the judge, and writes the layout to `path`: every placed outline, so
/// that it can be verified without this program.
///
/// Errors   those of the search; a file that cannot be written.
MUST_CHECK bool hide_measure(const HideQuestion *question, LayoutOptions options, const char *path,
                             HideOutcome *outcome, Problems *problems);
