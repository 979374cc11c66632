#include "base/problem.h"

#include <stdarg.h>

Problems *problems_in(Arena *keep)
{
    Problems *problems = ARENA_NEW(keep, Problems);
    problems->keep = keep;
    return problems;
}

bool problems_add(Problems *problems, Problem problem)
{
    if (problem.kind == PROBLEM_DOUBT) {
        problems->doubts++;
    } else {
        problems->mistakes++;
    }
    if (problems->count < PROBLEMS_MAX) {
        problems->items[problems->count++] = problem;
    }
    return false;
}

bool problems_say(Problems *problems, ProblemKind kind, const char *where, const char *format, ...)
{
    va_list values;
    va_start(values, format);
    const char *found = arena_text_list(problems->keep, format, values);
    va_end(values);
    return problems_add(
        problems,
        (Problem){.kind = kind, .where = arena_copy_text(problems->keep, where), .found = found});
}

static const char *copy_or_null(Arena *keep, const char *text)
{
    return text ? arena_copy_text(keep, text) : NULL;
}

bool problems_pass_on(const Problems *own, const char *of, Problems *problems)
{
    Arena *keep = problems->keep;
    for (int i = 0; i < own->count; i++) {
        const Problem *problem = &own->items[i];
        if (problem->kind == PROBLEM_DOUBT || problem->kind == PROBLEM_CANCELLED) {
            continue;
        }
        return problems_add(problems,
                            (Problem){.kind = problem->kind,
                                      .where = arena_copy_text(keep, problem->where),
                                      .found = of ? arena_text(keep, "%s (%s)", problem->found, of)
                                                  : arena_copy_text(keep, problem->found),
                                      .allowed = copy_or_null(keep, problem->allowed),
                                      .remedy = copy_or_null(keep, problem->remedy)});
    }
    return true;
}

bool problems_none(const Problems *problems)
{
    return problems->mistakes == 0;
}

int problems_exit_status(const Problems *problems)
{
    static const int statuses[] = {
        [PROBLEM_BAD_INPUT] = 2, [PROBLEM_NOT_FOUND] = 3,   [PROBLEM_CONFLICT] = 4,
        [PROBLEM_SYSTEM] = 1,    [PROBLEM_CANCELLED] = 130, [PROBLEM_DOUBT] = 0,
    };
    for (int i = 0; i < problems->count; i++) {
        if (problems->items[i].kind != PROBLEM_DOUBT) {
            return statuses[problems->items[i].kind];
        }
    }
    return problems->mistakes > 0 ? 2 : 0;
}
