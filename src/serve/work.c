#include "serve/work.h"

#include "serve/clock.h"
#include "serve/refusal.h"
#include "serve/work_parts.h"

#include <stdlib.h>
#include <string.h>

static const size_t KEEP_BYTES = (size_t)2 << 30;
static const size_t SCRATCH_BYTES = (size_t)1 << 30;
static const int64_t NEWS_EVERY_MS = 200; // more often nobody can look

const char *const work_state_names[] = {[WORK_RUNNING] = "running",
                                        [WORK_DONE] = "done",
                                        [WORK_STOPPED] = "stopped",
                                        [WORK_FAILED] = "failed"};

ServedWork work_served(const WorkNews *news)
{
    return (ServedWork){.id = news->id,
                        .kind = news->kind->name,
                        .job = news->job,
                        .version = news->version,
                        .state = work_state_names[news->state],
                        .what = news->what,
                        .share = news->share,
                        .begun_ms = news->begun_ms,
                        .improvements = news->improvements};
}

// With the lock: there is something new to tell.
static void tell(Work *work)
{
    work->number = ++work->works->number;
    for (Watcher *watcher = work->watchers; watcher; watcher = watcher->next) {
        if (watcher->waiting) {
            watcher->waiting = false;
            watcher->wake(watcher->context);
        }
    }
}

static void lock(Works *works)
{
    (void)pthread_mutex_lock(&works->lock);
}

static void unlock(Works *works)
{
    (void)pthread_mutex_unlock(&works->lock);
}

static bool on_progress(void *context, const char *what, double share)
{
    Work *work = context;
    const int64_t now = steady_ms();
    lock(work->works);
    (void)snprintf(work->what, sizeof work->what, "%s", what);
    work->share = share;
    const bool go_on = !work->stop;
    if (now - work->told_ms >= NEWS_EVERY_MS) {
        work->told_ms = now;
        tell(work);
    }
    unlock(work->works);
    return go_on;
}

// Takes the place of a text that is told; without memory the older one stays. The copy is made
// before the lock is taken, and what it replaces is given back.
static char *replace(char **text, char *copy)
{
    char *before = copy ? *text : NULL;
    *text = copy ? copy : *text;
    return before;
}

void work_better(const WorkRun *run, const char *json)
{
    Work *work = run->work;
    char *copy = strdup(json);
    lock(work->works);
    char *before = replace(&work->so_far, copy);
    work->improvements++;
    tell(work);
    unlock(work->works);
    free(before);
}

static void end(Work *work, WorkState state, int status, const char *result)
{
    char *copy = strdup(result);
    lock(work->works);
    char *before = replace(&work->result, copy);
    work->state = state;
    work->status = status;
    work->share = state == WORK_DONE ? 1 : work->share;
    work->works->running--;
    tell(work);
    unlock(work->works);
    free(before);
}

// The result, or why there is none.
static void finish(Work *work, WorkRun *run, bool done)
{
    if (done) {
        end(work, run->stopped ? WORK_STOPPED : WORK_DONE, 200, text_string(&run->result));
        return;
    }
    const bool stopped = problems_exit_status(run->problems) == 130;
    Text text = {.keep = run->keep};
    const int status = problems_refusal(run->problems, &text);
    end(work, stopped ? WORK_STOPPED : WORK_FAILED, status, text_string(&text));
}

static void *run(void *context)
{
    Work *work = context;
    Arena *keep = work->order.keep;
    Arena *scratch = arena_create("work's scratch", SCRATCH_BYTES);
    if (scratch) {
        const Progress progress = {on_progress, work};
        WorkRun run = {.order = &work->order,
                       .progress = &progress,
                       .keep = keep,
                       .scratch = scratch,
                       .problems = problems_in(keep),
                       .result = {.keep = keep},
                       .work = work};
        finish(work, &run, work->order.kind->run(&run));
    } else {
        end(work, WORK_FAILED, 500,
            "{\"title\": \"the system refused\", \"status\": 500, "
            "\"detail\": \"there is no memory\", \"problems\": []}");
    }
    arena_destroy(keep);
    arena_destroy(scratch);
    return NULL;
}

bool work_order(const WorkKind *kind, int64_t job, int64_t version, Document document,
                WorkOrder *order, Problems *problems)
{
    Arena *keep = arena_create("work", KEEP_BYTES);
    if (!keep) {
        return problems_say(problems, PROBLEM_SYSTEM, "work", "there is no memory");
    }
    char *copy = arena_alloc(keep, document.bytes + 1, 1);
    memcpy(copy, document.data, document.bytes);
    *order = (WorkOrder){.kind = kind,
                         .job = job,
                         .version = version,
                         .document = {copy, document.bytes},
                         .keep = keep};
    return true;
}

Works *works_begin(void)
{
    Works *works = calloc(1, sizeof *works);
    if (works) {
        (void)pthread_mutex_init(&works->lock, NULL);
    }
    return works;
}

// Without the lock: its thread has ended or is about to.
static void forget(Work *work)
{
    if (work->threaded) {
        (void)pthread_join(work->thread, NULL);
    }
    arena_destroy(work->shelf);
    free(work->so_far);
    free(work->result);
    free(work);
}

// With the lock: takes the oldest that has ended and that nobody watches off the list, when
// there are too many.
static Work *take_oldest(Works *works)
{
    Work **oldest = NULL;
    int count = 0;
    for (Work **at = &works->first; *at; at = &(*at)->next) {
        count++;
        oldest = (*at)->state != WORK_RUNNING && !(*at)->watchers ? at : oldest;
    }
    if (count < WORKS_KEPT || !oldest) {
        return NULL;
    }
    Work *taken = *oldest;
    *oldest = taken->next;
    return taken;
}

static Work *make(Works *works, const WorkOrder *order)
{
    Work *work = calloc(1, sizeof *work);
    if (work) {
        work->works = works;
        work->order = *order;
        work->begun_ms = date_ms();
        (void)snprintf(work->what, sizeof work->what, "%s", "beginning");
    }
    return work;
}

bool work_begin(Works *works, const WorkOrder *order, int64_t *id, Problems *problems)
{
    Work *work = make(works, order);
    if (!work) {
        arena_destroy(order->keep);
        return problems_say(problems, PROBLEM_SYSTEM, "work", "there is no memory");
    }
    lock(works);
    const bool room = !works->stopped && works->running < WORKS_RUNNING_MAX;
    const bool begun = room && pthread_create(&work->thread, NULL, run, work) == 0;
    Work *oldest = NULL;
    if (begun) {
        oldest = take_oldest(works);
        work->threaded = true;
        work->id = ++works->last_id;
        work->next = works->first;
        works->first = work;
        works->running++;
        work->number = ++works->number;
        *id = work->id;
    }
    unlock(works);
    if (oldest) {
        forget(oldest);
    }
    if (!begun) {
        arena_destroy(order->keep);
        forget(work);
        return problems_say(problems, PROBLEM_SYSTEM, "work", "%s",
                            room ? "the system gives no thread"
                                 : "as much work as may be is under way already");
    }
    return true;
}

// With the lock.
Work *work_find(const Works *works, int64_t id)
{
    Work *work = works->first;
    while (work && work->id != id) {
        work = work->next;
    }
    return work;
}

WorkNews work_tell(const Work *work, WorkText text, Arena *keep)
{
    return (WorkNews){.id = work->id,
                      .kind = work->order.kind,
                      .job = work->order.job,
                      .version = work->order.version,
                      .state = work->state,
                      .what = arena_copy_text(keep, work->what),
                      .share = work->share,
                      .begun_ms = work->begun_ms,
                      .improvements = work->improvements,
                      .so_far = arena_copy_text(keep, text == WORK_SO_FAR ? work->so_far : NULL),
                      .result = arena_copy_text(keep, text == WORK_RESULT ? work->result : NULL),
                      .status = work->status,
                      .number = work->number};
}

bool work_news(Works *works, int64_t id, WorkText text, Arena *keep, WorkNews *news)
{
    lock(works);
    const Work *work = work_find(works, id);
    if (work) {
        *news = work_tell(work, text, keep);
    }
    unlock(works);
    return work != NULL;
}

int works_list(Works *works, Arena *keep, WorkNews *news, int room)
{
    int count = 0;
    lock(works);
    for (const Work *work = works->first; work && count < room; work = work->next) {
        news[count++] = work_tell(work, WORK_NO_TEXT, keep);
    }
    unlock(works);
    return count;
}

bool work_stop(Works *works, int64_t id)
{
    lock(works);
    Work *work = work_find(works, id);
    if (work) {
        work->stop = true;
    }
    unlock(works);
    return work != NULL;
}

void works_stop(Works *works)
{
    lock(works);
    works->stopped = true;
    for (Work *work = works->first; work; work = work->next) {
        work->stop = true;
    }
    unlock(works);
    // Nothing is added or taken off any more.
    for (Work *work = works->first; work; work = work->next) {
        (void)pthread_join(work->thread, NULL);
        work->threaded = false;
    }
}

void works_end(Works *works)
{
    if (!works) {
        return;
    }
    while (works->first) {
        Work *work = works->first;
        works->first = work->next;
        forget(work);
    }
    (void)pthread_mutex_destroy(&works->lock);
    free(works);
}

Watcher *watcher_begin(Works *works, int64_t id, void (*wake)(void *context))
{
    Watcher *watcher = calloc(1, sizeof *watcher);
    lock(works);
    Work *work = watcher && works->watchers < WATCHERS_MAX ? work_find(works, id) : NULL;
    if (work) {
        *watcher = (Watcher){.work = work, .wake = wake, .next = work->watchers};
        work->watchers = watcher;
        works->watchers++;
    }
    unlock(works);
    if (!work) {
        free(watcher);
        watcher = NULL;
    }
    return watcher;
}

void watcher_end(Watcher *watcher)
{
    Works *works = watcher->work->works;
    lock(works);
    Watcher **at = &watcher->work->watchers;
    while (*at != watcher) {
        at = &(*at)->next;
    }
    *at = watcher->next;
    works->watchers--;
    unlock(works);
    free(watcher->rest);
    free(watcher);
}
