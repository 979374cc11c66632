// How much leather to buy for a job: what the doors ask for. A part of plan/plan.h's face.
#pragma once

#include "buying/draw.h"
#include "buying/thumb.h"
#include "plan/plan.h"

/// What is asked. Zeros and NULL: as the job or the trade has it.
typedef struct BuyOrder {
    const char *grade; ///< its name; NULL: an ordinary good hide
    HideForm form;     ///< whole or side
    int pieces;        ///< hides or sides together; 0: the fewest that are likely enough
    double comfort;    ///< 0: the job's, usually 0.95
    int trials;        ///< 0: until it is precise, at most BUY_TRIALS_MAX
    double precision;  ///< how far off the area may be, as a share of it; 0: 0.04
    int threads;
    int shard;               ///< from 1: only this part of the trials is run (plan/buy_shard.h)
    int shards;              ///< 0: all of them
    const StudyWatch *watch; ///< of the trials of plan_buy(); NULL: nobody
} BuyOrder;

/// Reads an option as the command line and the server take it: `grade`, `form`, `pieces`,
/// `comfort`, `trials`, `precision`, `threads`, `shard`.
///
/// Result   NULL, or what is allowed; the order is then untouched. A grade is kept as the value
/// that
///          was given; plan_buy_begin() says whether there is one of that name.
const char *plan_buy_option(const char *name, const char *value, BuyOrder *order);

struct BuyBeside; // plan/buy_offers.h

enum { BUY_TRIALS_MAX = 2000, BUY_THREADS_MAX = 64 };

typedef struct BuyAnswer {
    BuyOrder order; ///< with all that was left open
    int covers;
    double cut_mm2; ///< of all covers
    StudyAnswer study;
    Thumb thumbs[THUMBS_MAX];
    int thumb_count;
} BuyAnswer;

/// Tries the job's covers on hides drawn at random.
///
/// Result   the same for the same job, order and seed of the job, on any number of threads.
/// Errors   as study_run(); a job without covers, and a grade that there is not.
MUST_CHECK bool plan_buy(const Derived *derived, const BuyOrder *order, const Progress *progress,
                         Arena *keep, Arena *scratch, BuyAnswer *answer, Problems *problems);

/// All of an answer that needs no trials: the order with what was left open but for `pieces`,
/// the covers and the usual rules. Errors as plan_buy(), none of the trials among them.
MUST_CHECK bool plan_buy_begin(const Derived *derived, const BuyOrder *order, Arena *keep,
                               BuyAnswer *answer, Problems *problems);

/// How many pieces together an order that leaves it open takes: the fewest of a size that is easily
/// had (plan_buy_easy_step()), as a first look tells. Errors as plan_buy(), or too many covers.
MUST_CHECK bool plan_buy_pieces(const Derived *derived, double cut_mm2, const Progress *progress,
                                Arena *scratch, BuyOrder *order, Problems *problems);

/// No larger hide of a form is easily had.
int plan_buy_easy_step(HideForm form);

/// The study of an order that says everything.
Study plan_buy_study(const Derived *derived, const BuyOrder *order);

/// The grade of an order that plan_buy_begin() took.
const HideGrade *plan_buy_grade(const Derived *derived, const BuyOrder *order);

/// The chance that a step of area is enough, with its interval of 95 % confidence.
Chance plan_buy_chance(const BuyAnswer *answer, int step);

/// The same for what one of the usual rules asks for.
Chance plan_buy_rule_chance(const BuyAnswer *answer, int rule);

/// How much more leather than the trials a usual rule asks for, as a share: -0.1 is a tenth less.
/// NaN where no area is large enough.
double plan_buy_rule_against(const BuyAnswer *answer, int rule);

/// The steps of a curve worth showing, from hardly ever to practically always, evenly: at most
/// `most`; the number is the result.
int plan_buy_steps(const BuyAnswer *answer, int most, int *steps);

/// How far the area is known either way, as a share of it; infinite when there is no upper end.
double plan_buy_precision(const BuyAnswer *answer);

/// About how many trials tell the area to the precision that was asked for, in two digits; 0: those
/// that were run do, or nobody can say yet.
int plan_buy_trials_needed(const BuyAnswer *answer);

/// An area of the study as a member of a document, in mm2; null where no area is large enough.
void plan_buy_area_json(Json *json, const char *key, int step);

/// `a whole hide`, `two sides`.
const char *plan_buy_pieces_text(const BuyOrder *order, Arena *keep);

/// What to ask a seller for, as sentences: `Ask for a whole hide of at least 52 ft²; ...`.
const char *plan_buy_advice(const BuyAnswer *answer, AreaUnit unit, Arena *keep);

/// The document of `buy --json`. `beside` may be NULL.
void plan_buy_json(const Derived *derived, const BuyAnswer *answer, const struct BuyBeside *beside,
                   Text *text);
