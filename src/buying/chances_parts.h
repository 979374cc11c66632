// The parts of chances that its files share.
#pragma once

#include "buying/chances.h"

// What is asked of drawn hides: pieces of certain sizes in a certain order.
typedef struct Question {
    HideForm form;
    const HideGrade *grade;
    int count;
    double stamped_mm2[CHANCE_HIDES_MAX];
    const ChanceStudy *study; // that knows it; NULL: it takes trials of its own
    bool none;                // there is less leather than covers
    int wanted;               // trials
    int trials;               // done
    int happened;             // of these had room
    bool *room;               // for each trial
    struct Question *next;    // in the order in which they were asked
} Question;

// How many panels of a size are needed.
typedef struct PanelSize {
    double length_mm;
    double width_mm;
    int needed; // 0: none would do
    bool known;
    struct PanelSize *next;
} PanelSize;

struct Chances {
    const ChanceTask *task;
    double cut_mm2;
    Question *questions;
    PanelSize *sizes;
    int drawn;
    bool stopped;
    bool failed;
    bool missed;
    const char *what;  // the trials are for
    const char *doing; // what and how many are tried
    double goal;       // of the progress, for these
    ProgressPart part; // of the progress, for a batch
    Arena *keep;
    Problems *problems;
};

/// Whether room on the pieces of `small` is room on those of `large`: each of them is there in
/// at least its size, drawn as the same animal.
bool question_is_within(const Question *small, const Question *large);

/// Makes the trials that are wanted of a question, and those that its chance takes to be decided.
void question_try(Chances *chances, Question *question);

/// For work of which nobody knows how much will follow: a part of what is left of the progress.
/// Valid until the next.
Progress chances_progress(Chances *chances, const char *doing);
