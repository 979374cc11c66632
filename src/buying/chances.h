// Chances of purchases: whether the covers have room on what is bought.
//
// A trial draws the pieces of a purchase at random, each in its stamped size, and looks for room
// on all of them together. Trial k draws the same animals for every purchase, so that purchases
// differ by what is bought and not by luck. Panels are clean and of a known shape: one layout
// decides. How many trials there are: docs/buying.md.
#pragma once

#include "buying/offer.h"
#include "buying/study.h"

enum {
    CHANCE_BATCH = 32,                  ///< trials between two looks at what is known
    CHANCE_DECIDED = 256,               ///< no more to tell whether a purchase reaches the comfort
    CHANCE_HIDES_MAX = STUDY_HIDES_MAX, ///< of one purchase; more of them count as so many
};

/// What a study has found already: for so many pieces of one form, grade and stamped area.
typedef struct ChanceStudy {
    const Tally *tally;
    HideForm form;
    const HideGrade *grade;
    int hides;
} ChanceStudy;

typedef struct ChanceTask {
    const CoverDemand *demands;
    int demand_count;
    const LayingRules *rules;
    DrawHide *draw;
    void *context; ///< of `draw`
    const ChanceStudy *studies;
    int study_count;
    RoomCare care;
    double panel_work; ///< units of the engine's work for the layout on panels
    uint64_t seed;
    double comfort; ///< trials go on while they leave open whether a chance reaches it
    int trials;     ///< of one purchase, at most
    int threads;
    const Progress *progress;
} ChanceTask;

/// Where a chance comes from.
typedef enum ChanceFrom {
    CHANCE_UNKNOWN,   ///< stopped before the first trial was done
    CHANCE_BY_AREA,   ///< there is less leather than covers
    CHANCE_BY_TRIALS, ///< its own
    CHANCE_BY_STUDY,  ///< read off a study
    CHANCE_BY_LAYOUT, ///< of panels: found room, or not
    CHANCE_FROM_COUNT
} ChanceFrom;
extern const char *const chance_from_names[CHANCE_FROM_COUNT];

typedef struct ChanceTold {
    Chance chance; ///< its interval of 95 % confidence
    int trials;    ///< 0 where none were needed
    ChanceFrom from;
} ChanceTold;

typedef struct Chances Chances;

/// `task` and what it points to must outlive the chances, which live in `keep`.
/// Errors   as cutting_room(), in `problems`: chances_failed() is then true.
Chances *chances_begin(const ChanceTask *task, Arena *keep, Problems *problems);

/// A PurchaseChance whose context is a Chances.
///
/// Result   the same for the same questions in the same order, on any number of threads. Never
///          less for more or larger pieces of one form and grade as far as both were tried.
///          0 when it is not known: see chances_missed().
/// Method   trials until 95 % confidence says whether the chance reaches the comfort, at least
///          CHANCE_BATCH and at most CHANCE_DECIDED, or as many as chances_want() asked for.
///          What has room on some pieces has room on larger ones and on more of them, and is
///          not tried again. Stopped trials count up to the first that is not done.
double chances_of(void *context, const Purchase *purchase);

/// What is known of a purchase, without trying.
ChanceTold chances_told(const Chances *chances, const Purchase *purchase);

/// What the next trials are for (`offer 2 of 4`), and how far they bring the progress at most.
void chances_report(Chances *chances, const char *what, double share);

/// From now on the chance of a purchase has so many trials, at most those of the task.
/// False when it has them already, or takes none.
bool chances_want(Chances *chances, const Purchase *purchase, int trials);

/// True when the user wanted no more.
bool chances_stopped(const Chances *chances);
bool chances_failed(const Chances *chances);

/// Whether a chance was asked for, since the last call, that was not known.
bool chances_missed(Chances *chances);

/// Pieces drawn and looked at in trials so far.
int chances_drawn(const Chances *chances);
