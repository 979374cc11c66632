// The papers of a job for the workshop's pages: the pack of `seatwright pack`, in memory.
#pragma once

#include "plan/plan.h"
#include "plan/print.h"
#include "store/store.h"

/// What papers are asked for.
typedef struct PapersAsked {
    int paper;        ///< one more than the JobPaper; 0: as the job says
    const char *date; ///< ISO 8601, printed on the pages
    bool buying;      ///< with what trials tell, as `buying_order` asks for
    BuyOrder buying_order;
    Document layout; ///< a kept or found layout, as plan_laid() reads; no bytes: it is looked for
} PapersAsked;

typedef struct PapersMade {
    PackFiles files; ///< in `keep`
    int unplaced;    ///< covers without a place
} PapersMade;

/// Makes them; a layout that is looked for is that of `pack`. `problems` hold what was doubted when
/// the job was derived; those doubts are printed.
/// Errors   as plan_lay(), plan_laid(), plan_buying_known() and plan_pack(). A search that was
///          stopped is one too: nobody wants papers of half a search.
MUST_CHECK bool plan_papers(Derived *derived, const PapersAsked *asked, const Progress *progress,
                            Arena *keep, Arena *scratch, PapersMade *made, Problems *problems);

/// What was made, without the bytes: `pages`, each with its title and size, and `files`.
void plan_papers_json(const Derived *derived, const PapersAsked *asked, const PapersMade *made,
                      Text *text);

/// A file's name without the folder within the pack: `page-001.svg`.
const char *plan_paper_name(const PackFile *file);

/// Today's date here, ISO 8601.
const char *plan_today(Arena *keep);
/// Whether a text is a date of this form: `2026-01-31`.
bool plan_is_date(const char *text);
