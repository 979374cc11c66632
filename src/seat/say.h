// What the seat module says of bad measures: the field behind the path it was
// given, and lengths in both units, since it does not know which the user reads.
#pragma once

#include "base/problem.h"

/// Where complaints go, and the path that all their fields stand behind.
typedef struct Say {
    Problems *problems;
    const char *where;
} Say;

/// A formatted text that lives as long as the problems.
#define SAY_TEXT(say, ...) arena_text((say).problems->keep, __VA_ARGS__)

/// One mistake at `where.field`. `allowed` and `remedy` may be NULL. Returns false.
bool say_mistake(Say say, const char *field, const char *found, const char *allowed,
                 const char *remedy);
/// The same as a doubt.
void say_doubt(Say say, const char *field, const char *found, const char *allowed,
               const char *remedy);

/// `457 mm (18 in)`.
const char *say_length(Say say, double mm);
/// `at most 203 mm (8 in)`: rounded down, so that the length named is allowed.
const char *say_at_most(Say say, double mm);
/// `at least 7 mm (5/16 in)`: rounded up.
const char *say_at_least(Say say, double mm);
