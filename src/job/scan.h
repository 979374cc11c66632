// Looks through the text of a JSON document for what the JSON library does not
// tell: how deep it goes, and where keys are repeated.
//
// It only follows brackets, strings and commas, so it needs no tree; nothing is
// assumed of a text but that it may be JSON.
#pragma once

#include "base/problem.h"

#include <stddef.h>

/// A place in a text, both from 1; columns in characters, as editors count.
typedef struct TextPlace {
    int line;
    int column;
} TextPlace;

/// False when objects and lists stand deeper in one another than `depth_max`;
/// then *place is the bracket that went too far.
bool scan_depth(const char *text, size_t bytes, int depth_max, TextPlace *place);

/// Adds a problem for every key that stands again in the same object.
///
/// Shapes   valid JSON, no deeper than `depth_max`. Of each object the first 64 keys
///          are looked at; none of ours has as many.
/// Result   how many problems were added.
int scan_repeated_keys(const char *text, size_t bytes, int depth_max, Problems *problems);
