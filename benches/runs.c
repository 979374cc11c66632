#include "runs.h"

#include <assert.h>
#include <errno.h>
#include <sys/types.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

// A pipe takes so much in one write.
enum { OUTCOME_BYTES_MAX = 4096 };

typedef struct Child {
    pid_t id;
    int run;
    int from; // the reading end of its pipe
} Child;

typedef struct Children {
    Child items[THREADS_MAX];
    int count;
} Children;

static void *outcome_of(const Runs *runs, int run)
{
    return (char *)runs->outcomes + (size_t)run * runs->outcome_bytes;
}

static bool take_in(const Runs *runs, Child child, Problems *problems)
{
    char outcome[OUTCOME_BYTES_MAX];
    const bool whole =
        read(child.from, outcome, runs->outcome_bytes) == (ssize_t)runs->outcome_bytes;
    (void)close(child.from);
    if (!whole) {
        return problems_say(problems, PROBLEM_SYSTEM, "runs", "run %d found no layout",
                            child.run + 1);
    }
    char *kept = outcome_of(runs, child.run);
    for (size_t i = 0; i < runs->outcome_bytes; i++) {
        kept[i] = outcome[i];
    }
    return runs->ended(runs->context, child.run, kept, problems);
}

// Takes in the next run that ends.
static bool collect(const Runs *runs, Children *children, Problems *problems)
{
    int status = 0;
    pid_t id;
    do {
        id = waitpid(-1, &status, 0);
    } while (id < 0 && errno == EINTR);
    for (int i = 0; i < children->count; i++) {
        const Child child = children->items[i];
        if (child.id == id) {
            children->items[i] = children->items[--children->count];
            return take_in(runs, child, problems);
        }
    }
    children->count = 0;
    return problems_say(problems, PROBLEM_SYSTEM, "runs", "lost track of the processes");
}

static bool begin(const Runs *runs, Children *children, int run, Problems *problems)
{
    int ends[2];
    if (pipe(ends) != 0) {
        return problems_say(problems, PROBLEM_SYSTEM, "runs", "no pipe to a process");
    }
    const pid_t id = fork();
    if (id == 0) {
        Problems *own = problems_in(problems->keep);
        void *outcome = outcome_of(runs, run);
        const bool measured = runs->measure(runs->context, run, outcome, own);
        (void)problems_print(own);
        _exit(measured &&
                      write(ends[1], outcome, runs->outcome_bytes) == (ssize_t)runs->outcome_bytes
                  ? 0
                  : 1);
    }
    (void)close(ends[1]);
    if (id < 0) {
        (void)close(ends[0]);
        return problems_say(problems, PROBLEM_SYSTEM, "runs", "no new process");
    }
    children->items[children->count++] = (Child){id, run, ends[0]};
    return true;
}

bool runs_all(const Runs *runs, Problems *problems)
{
    assert(runs->outcome_bytes <= OUTCOME_BYTES_MAX && runs->at_once <= THREADS_MAX);
    Children children = {.count = 0};
    bool good = true;
    for (int run = 0; run < runs->count; run++) {
        if (children.count == runs->at_once) {
            good &= collect(runs, &children, problems);
        }
        good &= begin(runs, &children, run, problems);
    }
    while (children.count > 0) {
        good &= collect(runs, &children, problems);
    }
    return good;
}

static double now_s(clockid_t clock)
{
    struct timespec now;
    (void)clock_gettime(clock, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

Stopwatch stopwatch_begin(void)
{
    return (Stopwatch){now_s(CLOCK_MONOTONIC), now_s(CLOCK_PROCESS_CPUTIME_ID)};
}

Stopwatch stopwatch_since(Stopwatch begun)
{
    const Stopwatch now = stopwatch_begin();
    return (Stopwatch){now.wall_s - begun.wall_s, now.cpu_s - begun.cpu_s};
}
