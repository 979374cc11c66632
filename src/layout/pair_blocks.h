// The least overlap of blocks of places, with which most of a strip is ruled out before single
// places are looked at. Ours (docs/layout.md).
#pragma once

#include "layout/pair.h"

/// Finds `least` and `least_unit` from the severities of a pair.
void pair_find_blocks(Pair *pair, Arena *keep, Arena *scratch);
