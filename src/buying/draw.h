// Hides of a grade for a study.
#pragma once

#include "buying/study.h"

/// A DrawHide without a context: of the grade asked for. A side is half of the same trial's
/// whole hide.
bool draw_of_grade(void *context, const HideAsked *asked, Arena *keep, Arena *scratch, Hide *hide,
                   Problems *problems);
