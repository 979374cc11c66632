#include "serve/crew.h"

#include <stdlib.h>

// As much as the command line has: what a job may need is limited where it is read.
static const size_t KEEP_BYTES = (size_t)2 << 30;
static const size_t SCRATCH_BYTES = (size_t)1 << 30;

typedef struct Hand {
    Crew *crew;
    pthread_t thread;
    Desk desk;
} Hand;

struct Crew {
    pthread_mutex_t lock;
    pthread_cond_t more;
    Task *first;
    Task **end; // where the next one is put
    int waiting;
    int guests_waiting;
    int guests_at_work; // hands that answer guests
    int guests_most;    // of them
    bool stop;
    int hand_count; // that have begun
    Hand *hands;
};

// With the lock: takes the first task that may be done now off the list; NULL: there is none. In
// the end all are done, so that no hand need wait for another.
static Task *take_task(Crew *crew)
{
    const bool full = crew->guests_at_work >= crew->guests_most && !crew->stop;
    Task **at = &crew->first;
    while (*at && (*at)->guest && full) {
        at = &(*at)->next;
    }
    Task *task = *at;
    if (task) {
        *at = task->next;
        crew->end = *at ? crew->end : at;
        crew->waiting--;
        crew->guests_waiting -= task->guest;
        crew->guests_at_work += task->guest;
    }
    return task;
}

// The next task; NULL when there will be none any more. `guest`: the last one was a guest's.
static Task *next_task(Crew *crew, bool guest)
{
    (void)pthread_mutex_lock(&crew->lock);
    crew->guests_at_work -= guest;
    Task *task = take_task(crew);
    while (!task && !crew->stop) {
        (void)pthread_cond_wait(&crew->more, &crew->lock);
        task = take_task(crew);
    }
    (void)pthread_mutex_unlock(&crew->lock);
    return task;
}

static void *work(void *context)
{
    Hand *hand = context;
    Desk *desk = &hand->desk;
    const ArenaMark keep = arena_mark(desk->keep);
    const ArenaMark scratch = arena_mark(desk->scratch);
    bool guest = false;
    for (Task *task = next_task(hand->crew, guest); task; task = next_task(hand->crew, guest)) {
        guest = task->guest; // the task is gone once it has run
        desk->problems = problems_in(desk->keep);
        task->run(task, desk);
        arena_rewind(desk->keep, keep);
        arena_rewind(desk->scratch, scratch);
    }
    return NULL;
}

static bool set_up(Hand *hand, const CrewOptions *options, bool trusted, Problems *problems)
{
    const StoreOptions opening = {.trusted = trusted, .keep_log = true};
    hand->desk = (Desk){.keep = arena_create("answers", KEEP_BYTES),
                        .scratch = arena_create("answers' scratch", SCRATCH_BYTES),
                        .works = options->works,
                        .tables = options->tables,
                        .share = options->share,
                        .writing = options->writing};
    if (!hand->desk.keep || !hand->desk.scratch) {
        return problems_say(problems, PROBLEM_SYSTEM, "serve", "there is no memory");
    }
    hand->desk.store = store_open(options->workshop, &opening, problems);
    return hand->desk.store != NULL;
}

static void tear_down(Hand *hand)
{
    store_close(hand->desk.store);
    arena_destroy(hand->desk.keep);
    arena_destroy(hand->desk.scratch);
}

// Each hand that has begun is counted, so that crew_end() ends just these.
static bool begin_hands(Crew *crew, const CrewOptions *options, Problems *problems)
{
    for (int i = 0; i < options->hands; i++) {
        Hand *hand = &crew->hands[i];
        hand->crew = crew;
        if (!set_up(hand, options, i > 0, problems)) {
            tear_down(hand);
            return false;
        }
        if (pthread_create(&hand->thread, NULL, work, hand) != 0) {
            tear_down(hand);
            return problems_say(problems, PROBLEM_SYSTEM, "serve", "the system gives no thread");
        }
        crew->hand_count++;
    }
    return true;
}

Crew *crew_begin(const CrewOptions *options, Problems *problems)
{
    Crew *crew = calloc(1, sizeof *crew);
    Hand *hands = calloc((size_t)options->hands, sizeof *hands);
    if (!crew || !hands) {
        free(crew);
        free(hands);
        (void)problems_say(problems, PROBLEM_SYSTEM, "serve", "there is no memory");
        return NULL;
    }
    crew->hands = hands;
    crew->end = &crew->first;
    crew->guests_most = options->hands > 1 ? options->hands / 2 : 1;
    (void)pthread_mutex_init(&crew->lock, NULL);
    (void)pthread_cond_init(&crew->more, NULL);
    if (!begin_hands(crew, options, problems)) {
        crew_end(crew);
        return NULL;
    }
    return crew;
}

bool crew_take(Crew *crew, Task *task)
{
    (void)pthread_mutex_lock(&crew->lock);
    const bool room = crew->waiting < CREW_WAITING_MAX &&
                      (!task->guest || crew->guests_waiting < CREW_GUESTS_WAITING_MAX);
    const bool taken = !crew->stop && room;
    if (taken) {
        task->next = NULL;
        *crew->end = task;
        crew->end = &task->next;
        crew->waiting++;
        crew->guests_waiting += task->guest;
        (void)pthread_cond_signal(&crew->more);
    }
    (void)pthread_mutex_unlock(&crew->lock);
    return taken;
}

void crew_stop(Crew *crew)
{
    if (!crew) {
        return;
    }
    (void)pthread_mutex_lock(&crew->lock);
    crew->stop = true;
    (void)pthread_cond_broadcast(&crew->more);
    (void)pthread_mutex_unlock(&crew->lock);
    for (int i = 0; i < crew->hand_count; i++) {
        (void)pthread_join(crew->hands[i].thread, NULL);
        tear_down(&crew->hands[i]);
    }
    crew->hand_count = 0;
}

void crew_end(Crew *crew)
{
    if (!crew) {
        return;
    }
    crew_stop(crew);
    (void)pthread_cond_destroy(&crew->more);
    (void)pthread_mutex_destroy(&crew->lock);
    free(crew->hands);
    free(crew);
}
