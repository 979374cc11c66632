#include "serve/refusal.h"

typedef struct Status {
    int number;
    ProblemKind kind;
    const char *title;
} Status;

// The first of each kind is what a problem of that kind comes to.
static const Status statuses[] = {
    {422, PROBLEM_BAD_INPUT, "there are mistakes in it"},
    {400, PROBLEM_BAD_INPUT, "the request cannot be understood"},
    {403, PROBLEM_BAD_INPUT, "not from here"},
    {405, PROBLEM_BAD_INPUT, "this cannot be done with it"},
    {413, PROBLEM_BAD_INPUT, "too large"},
    {415, PROBLEM_BAD_INPUT, "of the wrong kind"},
    {429, PROBLEM_BAD_INPUT, "too many tries"},
    {428, PROBLEM_BAD_INPUT, "the version that was edited is not named"},
    {404, PROBLEM_NOT_FOUND, "not found"},
    {409, PROBLEM_CONFLICT, "it clashes with something else"},
    {412, PROBLEM_CONFLICT, "somebody else has changed it meanwhile"},
    {409, PROBLEM_CANCELLED, "it was stopped"},
    {500, PROBLEM_SYSTEM, "the system refused"},
    {503, PROBLEM_SYSTEM, "too much to do at the moment"},
};
enum { STATUSES = sizeof statuses / sizeof statuses[0] };

static const Status *of_number(int number)
{
    for (int i = 0; i < STATUSES; i++) {
        if (statuses[i].number == number) {
            return &statuses[i];
        }
    }
    return number < 500 ? of_number(400) : of_number(500);
}

static const Status *of_kind(ProblemKind kind)
{
    for (int i = 0; i < STATUSES; i++) {
        if (statuses[i].kind == kind) {
            return &statuses[i];
        }
    }
    return of_number(500);
}

static const Status *of_problems(const Problems *problems)
{
    for (int i = 0; i < problems->count; i++) {
        if (problems->items[i].kind != PROBLEM_DOUBT) {
            return of_kind(problems->items[i].kind);
        }
    }
    return of_number(500);
}

const char *status_title(int status)
{
    return of_number(status)->title;
}

ProblemKind status_kind(int status)
{
    return of_number(status)->kind;
}

int problems_status(const Problems *problems)
{
    return of_problems(problems)->number;
}

int problems_refusal(const Problems *problems, Text *text)
{
    const Status *status = of_problems(problems);
    plan_refusal_json(&(Refusal){.status = status->number, .title = status->title}, problems, text);
    return status->number;
}
