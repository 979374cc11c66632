// The pack: what goes to the bench on paper.
//
// Each function makes drawings of pages; drawing.h turns them into files. Pages are
// A4 or Letter as the job says, upright or lying.
#pragma once

#include "base/progress.h"
#include "cutting/cutting.h"
#include "job/job.h"
#include "paper/drawing.h"

/// All that a pack is made of; owned by the caller.
typedef struct PackMatter {
    const Job *job;
    const CoverDemand *demands;
    int demand_count;
    const Hide *hides;
    int hide_count;
    const CutPlan *plan;
    const Problems *doubts;   ///< doubts to print among the cautions, or NULL
    const char *date;         ///< ISO 8601
    const Progress *progress; ///< asked now and then; once it stops, pages stay unfinished
} PackMatter;

/// False when the work should stop.
static inline bool pack_goes_on(const PackMatter *matter)
{
    return progress_report(matter->progress, "drawing the pack", 0);
}

/// Whether a hide has a chalk map: of several, those that are left whole have none.
static inline bool pack_shows_hide(const PackMatter *matter, int hide)
{
    return matter->hide_count == 1 || !hide_is_left_whole(matter->plan, hide);
}

/// A growing list of pages.
typedef struct Pages {
    Arena *keep;
    Drawing **items;
    int count;
    int capacity;
} Pages;

void pages_add(Pages *pages, Drawing *drawing);

/// 1. Summary: the seats, the leather, the hide, what fits, used and left area,
/// allowance against the flat rules, cautions, and a one-look drawing.
void pack_summary(const PackMatter *matter, Pages *pages);

/// 2. Chalk map of one hide: grain side and flesh side (mirrored), and the table of
/// marks for each cover as tape readings with side lengths and diagonals.
void pack_chalk_map(const PackMatter *matter, int hide, Pages *pages);

/// 3. Full-size templates of each distinct cover, tiled, with a tile map.
void pack_templates(const PackMatter *matter, Pages *pages);

/// 4. Cut order, and the checks before the first cut.
void pack_cut_order(const PackMatter *matter, Pages *pages);

/// The chalk map as one drawing at 1:1 (hide millimetres), for plotters and cutting
/// machines. Layers by meaning; no text but the covers' names.
Drawing *pack_layout_full_size(const PackMatter *matter, int hide, Arena *keep);

/// One cover at 1:1, same purpose.
Drawing *pack_cover_full_size(const PackMatter *matter, int demand, Arena *keep);

/// The chalk map as one picture without a page's frame, for screens and the README.
Drawing *pack_chalk_picture(const PackMatter *matter, int hide, bool flesh_side, Arena *keep);
