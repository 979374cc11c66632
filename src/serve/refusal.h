// Refusals: which status, title and kind of problem belong together, said once for all answers.
// They go out as problem documents (RFC 9457).
#pragma once

#include "plan/served.h"

/// A status of HTTP in words, and the kind of problem that goes with it.
const char *status_title(int status);
ProblemKind status_kind(int status);

/// The status of a list of problems: that of its first mistake.
int problems_status(const Problems *problems);

/// All problems as a problem document with that status, which is returned.
int problems_refusal(const Problems *problems, Text *text);
