// What would make all covers fit, in the trade's terms: single changes of what is asked
// of covers and leather, each tried for real, from the least to the greatest harm.
//
// Which changes are offered, how far, and which does the more harm is decided here and
// told in docs/tolerance.md. Nothing is offered that lets a cover part: holes, flay cuts,
// open scars and thin spots keep their distance.
#pragma once

#include "cutting/cutting.h"
#include "layout/bound.h"

typedef enum FitKind {
    FIT_FOLLOWING,  ///< covers cut along their outline instead of straight
    FIT_EITHER_WAY, ///< fronts to the butt or to the neck
    FIT_TURN,       ///< a wider turn window
    FIT_GRIP,       ///< a shorter grip on some sides
    FIT_FLAW,       ///< a kind of flaw allowed in the next band inward
    FIT_FIRMNESS,   ///< leather of a firmness allowed in the next band inward
    FIT_LARGER,     ///< hides of the same shape, larger
    FIT_FEWER,      ///< the covers that found no place left out
    FIT_KIND_COUNT
} FitKind;
extern const char *const fit_kind_names[FIT_KIND_COUNT];

/// One change. Only what belongs to its kind is set.
typedef struct FitChange {
    FitKind kind;
    double turn_window_rad; ///< turn: the new window
    double shorter_mm;      ///< grip: as far as FIT_LEAST_GRIP_MM allows
    bool sides[SIDE_COUNT]; ///< grip: where
    FlawKind flaw;          ///< flaw
    Firmness firmness;      ///< firmness
    Tolerance allowed;      ///< flaw, firmness: the new innermost band
    Tolerance allowed_now;  ///< and the present one
    double larger;          ///< larger: share of the area, 0.06 is 6 %
    int fewer;              ///< fewer: how many
} FitChange;

#define FIT_LEAST_GRIP_MM 10.0 ///< what pliers still hold: common practice

/// The grips of a cover after a change of the grip; of any other change, as they are.
Sides fit_grips_mm(const FitChange *change, const Sides *now_mm);

/// From 0, the least harm. `words` gets what it costs, as said to the user.
int fit_harm(const FitChange *change, const char **words);

/// A change that does, with the layout that proves it.
typedef struct FitAnswer {
    FitChange change;
    Laying laying; ///< demands, hides and rules with the change made
    CutPlan plan;  ///< all covers of `laying`
} FitAnswer;

typedef struct Fit {
    LayoutBound bound;  ///< no method can lay more; depth 0 is the whole cover, 3 the face
    FitAnswer *answers; ///< from the least harm to the greatest
    int answer_count;
    FitChange *failed; ///< tried this far, and found no layout
    int failed_count;
    bool stopped; ///< asked to stop before all was tried
} Fit;

/// What is to be made complete, and how much may be spent on it.
typedef struct FitOrder {
    const Laying *laying;
    const CutPlan *plan; ///< of that laying; the best so far
    uint64_t seed;
    double work;         ///< units for all tries together; 0: only the bound
    double grip_step_mm; ///< 0: 5 mm
} FitOrder;

/// Looks for what would make a plan with unplaced covers complete.
///
/// Result   a stop keeps what is known so far.
/// Errors   as cutting_lay(), but for the stop.
MUST_CHECK bool cutting_fit(const FitOrder *order, const Progress *progress, Arena *keep,
                            Arena *scratch, Fit *fit, Problems *problems);
