// Problems: what is wrong, said so that a person can mend it.
//
// Every problem says where it is, what was found, what is allowed and what is
// likely meant. A reader collects as many as it can, so that a file is repaired
// in one go. Doubts are legal but odd (a slip of the tape, perhaps); they are
// reported in the same form and stop nothing.
#pragma once

#include "base/arena.h"

#include <stdbool.h>

typedef enum ProblemKind {
    PROBLEM_BAD_INPUT, ///< the user's file, form or command line is wrong; exit status 2
    PROBLEM_NOT_FOUND, ///< the named thing does not exist; exit status 3
    PROBLEM_CONFLICT,  ///< valid by itself, but clashes with something else; exit status 4
    PROBLEM_SYSTEM,    ///< disk, memory or network refused; exit status 1
    PROBLEM_CANCELLED, ///< the user stopped it; exit status 130
    PROBLEM_DOUBT,     ///< legal, but likely a slip; changes no exit status
} ProblemKind;

typedef struct Problem {
    ProblemKind kind;
    const char *where;   ///< path in the document (`seats[2].frame.front`), file or option
    const char *found;   ///< what is there; starts in lower case, no full stop
    const char *allowed; ///< what may stand there, or NULL
    const char *remedy;  ///< what is likely meant or to be done, or NULL
} Problem;

enum { PROBLEMS_MAX = 200 }; ///< kept of one document; more are counted, not kept

/// A list that grows in `keep`. Begin with problems_in().
typedef struct Problems {
    Arena *keep;
    Problem items[PROBLEMS_MAX];
    int count;    ///< items kept
    int mistakes; ///< all that are not doubts, kept or not
    int doubts;   ///< all doubts, kept or not
} Problems;

/// A new empty list, in `keep`. Texts of its problems live there too.
Problems *problems_in(Arena *keep);

/// Adds one. Texts must live as long as the list: use problems->keep.
/// Returns false, so that a reader can end with `return problems_add(...)`.
bool problems_add(Problems *problems, Problem problem);

/// One formatted bad-input problem without allowed values. Returns false.
bool problems_say(Problems *problems, ProblemKind kind, const char *where, const char *format, ...)
    PRINTF_LIKE(4, 5);

/// Passes work's own problems on to the user: the first mistake that is no stop, its words
/// followed by ` (of)` unless `of` is NULL. Returns false when there was one.
bool problems_pass_on(const Problems *own, const char *of, Problems *problems);

/// True when no mistake (doubts aside) has been added.
bool problems_none(const Problems *problems);

/// The exit status of the first mistake: 0, 1, 2, 3, 4 or 130.
int problems_exit_status(const Problems *problems);
