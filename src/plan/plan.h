// What a person asks for, one function for each: read and check a job, make its
// covers and hides, lay them, print the pack. The command line and the server call
// these and nothing else, so they cannot differ.
//
// This is the one module below the doors that touches files. A file is written
// aside and renamed, so that a stop at any moment leaves whole files only.
#pragma once

#include "base/progress.h"
#include "cutting/fit.h"
#include "job/job.h"

/// A job with all that follows from it before anything is laid.
typedef struct Derived {
    const char *text; ///< the document, as it was read
    size_t text_bytes;
    Job job;
    CoverDemand *demands; ///< one for each distinct cover; names A, B, ...
    int demand_count;
    Hide *hides;
    int hide_count;
} Derived;

/// Reads, checks and derives. All mistakes and doubts of document and geometry are
/// in `problems`; false when there was any mistake.
///
/// `path` may be "-" for standard input.
MUST_CHECK bool plan_derive(const char *path, Arena *keep, Arena *scratch, Derived *derived,
                            Problems *problems);

/// The same from a text that is at hand; `source` names it in messages. `text` must live as long
/// as the result.
MUST_CHECK bool plan_derive_text(const char *text, size_t bytes, const char *source, Arena *keep,
                                 Arena *scratch, Derived *derived, Problems *problems);

/// Lays the covers on the hides. Errors as cutting_lay(); a job without a hide is one.
MUST_CHECK bool plan_lay(const Derived *derived, const Progress *progress, Arena *keep,
                         Arena *scratch, CutPlan *plan, Problems *problems);

/// What is to be made to fit, and how much may be spent on it.
typedef struct FitWish {
    const CutPlan *plan; ///< with unplaced covers
    double times;        ///< of the search's work; 0: only the bound
} FitWish;

/// What would make a plan with unplaced covers complete, and what no plan can exceed.
/// A stop keeps what is known. Errors as cutting_fit().
MUST_CHECK bool plan_fit(const Derived *derived, const FitWish *wish, const Progress *progress,
                         Arena *keep, Arena *scratch, Fit *fit, Problems *problems);

/// A change in words: `turn covers up to 14° off the firm direction (now 10°)`.
const char *plan_fit_text(const Derived *derived, const FitChange *change, Arena *keep);

/// One file of a pack.
typedef struct PackFile {
    const char *name; ///< in the pack's folder: `pack.pdf`, `pages/page-001.svg`
    const char *path; ///< where it was written; NULL: nowhere
    const char *what;
    const char *type; ///< media type
    const char *data;
    size_t bytes;
    double width_mm; ///< of a drawing; else 0
    double height_mm;
} PackFile;

typedef struct PackFiles {
    PackFile *items;
    int count;
    int room;
    int pages; ///< of the printed pack
} PackFiles;

/// Where the pack goes and what is said on it.
typedef struct PackOrder {
    const char *folder;               ///< made if absent; NULL: nothing is written
    const char *date;                 ///< ISO 8601, printed on the pages
    const Problems *doubts;           ///< printed among the cautions; or NULL
    const struct BuyingKnown *buying; ///< plan/print.h; NULL: pages of leather and shop only
} PackOrder;

/// The paper of a name, in capitals or not. False: none.
bool plan_paper_named(const char *name, JobPaper *paper);

/// Makes the pack and writes it; files of the same names in the folder are replaced, others left
/// alone. Same job and date: the same bytes, written or not.
/// Errors   a folder or file that cannot be made, with the system's reason; stopped.
MUST_CHECK bool plan_pack(const Derived *derived, const CutPlan *plan, const PackOrder *order,
                          const Progress *progress, Arena *keep, PackFiles *files,
                          Problems *problems);

/// Documents for other programs; described in docs/json.md and stable.
void plan_problems_json(const char *path, const Problems *problems, Text *text);
void plan_covers_json(const Derived *derived, Text *text);
/// `fit` may be NULL: not asked for.
void plan_lay_json(const Derived *derived, const CutPlan *plan, const Fit *fit, Text *text);

/// Totals for the summary.
typedef struct PlanTotals {
    int wanted;
    int placed;
    int hides_cut;  ///< hides that any cover lies on
    double cut_mm2; ///< of these together
    double used_mm2;
    double price; ///< of these together; 0: not given
} PlanTotals;
PlanTotals plan_totals(const Derived *derived, const CutPlan *plan);

/// Units of work for the search: what the job says, more when there are many hides.
double plan_work(const Derived *derived);

/// The hides that no cover lies on, by name: `rack 5, rack 7`; "" when there are none.
const char *plan_left_whole_text(const Derived *derived, const CutPlan *plan, Arena *keep);
