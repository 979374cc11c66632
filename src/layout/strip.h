// The shortest strip: what layout_search() does for LAYOUT_SHORTEST_STRIP.
#pragma once

#include "layout/layout.h"

/// Same contract as layout_search(); the task has passed task_check().
MUST_CHECK bool strip_run(const LayoutTask *task, LayoutOptions options, const Progress *progress,
                          Arena *keep, Arena *scratch, Layout *layout, Problems *problems);
