// One stream of the search: passes on ever finer cells, each from the best layout of the
// pass before (docs/layout.md; ours). Streams differ in their random numbers only and know nothing
// of each other.
#pragma once

#include "layout/tries.h"

typedef struct Stream {
    Model model;
    Tries tries;
    const LayoutTask *task;
    ModelView view;
    Motion *motions;        ///< of the best layout
    const Placement *start; ///< to begin with, or NULL
    int start_count;
    Work work;
    double cell_mm;
    /// Called when the best layout has become better; NULL: nobody wants to know.
    void (*improved)(void *context, const struct Stream *stream);
    void *improved_context;
} Stream;

/// Spends stream->work. Nothing is found when it was stopped before any layout.
void stream_run(Stream *stream, Arena *scratch);
