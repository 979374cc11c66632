#include "seat/say.h"

#include "base/units.h"

#include <math.h>

static Problem problem_at(Say say, ProblemKind kind, const char *field)
{
    return (Problem){.kind = kind, .where = SAY_TEXT(say, "%s.%s", say.where, field)};
}

bool say_mistake(Say say, const char *field, const char *found, const char *allowed,
                 const char *remedy)
{
    Problem problem = problem_at(say, PROBLEM_BAD_INPUT, field);
    problem.found = found;
    problem.allowed = allowed;
    problem.remedy = remedy;
    return problems_add(say.problems, problem);
}

void say_doubt(Say say, const char *field, const char *found, const char *allowed,
               const char *remedy)
{
    Problem problem = problem_at(say, PROBLEM_DOUBT, field);
    problem.found = found;
    problem.allowed = allowed;
    problem.remedy = remedy;
    (void)problems_add(say.problems, problem);
}

static const char *in_both(Say say, double mm, double in_as_mm)
{
    return SAY_TEXT(say, "%s (%s)", length_text(mm, LENGTH_MM, say.problems->keep),
                    length_text(in_as_mm, LENGTH_IN, say.problems->keep));
}

const char *say_length(Say say, double mm)
{
    return in_both(say, mm, mm);
}

static const double SIXTEENTH_MM = MM_PER_IN / 16;

const char *say_at_most(Say say, double mm)
{
    const double in_as_mm = floor(mm / SIXTEENTH_MM + 1e-6) * SIXTEENTH_MM;
    return SAY_TEXT(say, "at most %s", in_both(say, floor(mm + 1e-6), in_as_mm));
}

const char *say_at_least(Say say, double mm)
{
    const double in_as_mm = ceil(mm / SIXTEENTH_MM - 1e-6) * SIXTEENTH_MM;
    return SAY_TEXT(say, "at least %s", in_both(say, ceil(mm - 1e-6), in_as_mm));
}
