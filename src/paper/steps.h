// The work at the bench step by step: what to check before the first cut, each mark with its
// readings, each cut, and the order of fastening.
//
// The words stand here once: the printed pages (cut_order.c, chalk_marks.c) and whatever shows
// one step after the other take them from here, in the same order.
#pragma once

#include "paper/pack.h"

/// Sentences that are ticked one by one.
typedef struct StepTexts {
    const char *const *items;
    int count;
} StepTexts;

/// Places in steps_before() and steps_fasten().
enum { BEFORE_FLAWS = 3, BEFORE_CHALK = 4, STEPS_BEFORE_COUNT = 9 };
enum {
    FASTEN_LAY,
    FASTEN_FRONT,
    FASTEN_BACK,
    FASTEN_SIDES,
    FASTEN_OUT,
    FASTEN_CORNERS,
    FASTEN_TRIM,
    STEPS_FASTEN_COUNT
};

extern const char steps_before_heading[];
extern const char steps_cutting_heading[];
extern const char steps_after_heading[];
extern const char steps_fasten_heading[];
extern const char steps_knife_caution[];
extern const char steps_stapler_caution[];

StepTexts steps_before(void);
/// What is left of each hide, and what to do with it.
StepTexts steps_after(const PackMatter *matter, Arena *keep);
/// The order in which a cover is fastened (`common practice`).
StepTexts steps_fasten(LengthUnit unit, Arena *keep);

/// `A2: side chair, number 4`.
const char *steps_cover_heading(const PackMatter *matter, const PlacedCover *cover, Arena *keep);

/// What to know of a cover before it is cut, a line for each; "" when nothing.
const char *steps_cover_notes(const PackMatter *matter, const PlacedCover *cover, Arena *keep);

typedef enum StepKind {
    STEP_CHECK,     ///< before the first cut
    STEP_MARK,      ///< one mark of a cover to chalk
    STEP_DIAGONALS, ///< its diagonals to measure
    STEP_CUT,       ///< one cover to cut out
    STEP_AFTER,     ///< after the last cut
    STEP_FASTEN,    ///< one kind of cover on its frames
    STEP_KIND_COUNT
} StepKind;

extern const char *const step_kind_names[STEP_KIND_COUNT]; ///< check, mark, ...

/// What a tape or rule must show.
typedef struct StepReading {
    const char *name; ///< `up the backbone`
    const char *value;
} StepReading;

typedef struct BenchStep {
    StepKind kind;
    const char *id; ///< `mark-` and 16 hexadecimal digits: of what it says, so that a tick holds
                    ///< as long as the step says the same
    const char *part;
    const char *say;
    const StepReading *readings;
    int reading_count;
    const char *notes;   ///< lines, or ""
    const char *caution; ///< or NULL
    int hide;            ///< index into the matter's hides, or -1
    int cover;           ///< index into the plan's covers, or -1
    int mark;            ///< index into the cover's marks, or -1
    int demand;          ///< index into the demands, or -1
    unsigned sides;      ///< bits of the sides that are fastened now
} BenchStep;

typedef struct BenchSteps {
    BenchStep *items;
    int count;
    int room;
} BenchSteps;

/// All of them in the order of the work: the checks, at their place among them each cover's
/// marks, then the cuts, what is left, and each kind of cover on its frames.
BenchSteps bench_steps(const PackMatter *matter, Arena *keep);
