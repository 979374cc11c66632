// The pages for buying. A part of plan/plan.h's face.
#pragma once

#include "buying/choose.h"
#include "plan/buy.h"
#include "plan/buying.h"

/// What is known for the pages for buying beyond the job itself.
typedef struct BuyingKnown {
    const BuyAnswer *answer;   ///< of trials, or NULL: none were made
    const OfferChoice *offers; ///< or NULL: none were compared
} BuyingKnown;

/// All that trials tell, for the pages: the answer, and the job's offers with its chances where it
/// has any. Errors as plan_buy().
MUST_CHECK bool plan_buying_known(const Derived *derived, const BuyOrder *order,
                                  const Progress *progress, Arena *keep, Arena *scratch,
                                  BuyingKnown *known, Problems *problems);

typedef struct PrintOrder {
    const char *path; ///< of the PDF
    const char *date; ///< ISO 8601, printed on the pages
    BuyingKnown known;
} PrintOrder;

/// Writes the pages for buying as a PDF: what to ask for, which leather, offers, and what to
/// look at in the shop; those for which nothing is known are left out. Needs no hide. A file of
/// the same name is replaced, its folder made if absent. Same job and date: the same bytes.
///
/// Result   the number of pages in *pages.
/// Errors   a file that cannot be written, with the system's reason; cancelled.
MUST_CHECK bool plan_print_buying(const Derived *derived, const PrintOrder *order,
                                  const Progress *progress, Arena *keep, int *pages,
                                  Problems *problems);
