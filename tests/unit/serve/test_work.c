#include "serve/work_kinds.h"

#include "support/check.h"

#include <pthread.h>

// A job without a hide: looking for a layout fails at once.
static const char bare[] = "{\"seatwright\": 1, \"name\": \"bare\", \"units\": \"mm\"}";

// To lay the job's covers, in memory that the work takes over.
static WorkOrder order_of(const char *text)
{
    WorkOrder order;
    assert_true(work_order(&work_layout, 1, 1, (Document){text, strlen(text)}, &order, NULL));
    LayWork *options = ARENA_NEW(order.keep, LayWork);
    options->times = 1;
    order.options = options;
    return order;
}

// Threads that wait for news.
typedef struct Waiting {
    pthread_mutex_t lock;
    pthread_cond_t news;
    int holds;
    int wakes;
} Waiting;

static Waiting waiting = {PTHREAD_MUTEX_INITIALIZER, PTHREAD_COND_INITIALIZER, 0, 0};

static void hold(void *context)
{
    Waiting *mine = context;
    (void)pthread_mutex_lock(&mine->lock);
    mine->holds++;
    (void)pthread_mutex_unlock(&mine->lock);
}

static void wake(void *context)
{
    Waiting *mine = context;
    (void)pthread_mutex_lock(&mine->lock);
    mine->wakes++;
    (void)pthread_cond_broadcast(&mine->news);
    (void)pthread_mutex_unlock(&mine->lock);
}

static void wait_for_wake(void)
{
    (void)pthread_mutex_lock(&waiting.lock);
    while (waiting.wakes < waiting.holds) {
        (void)pthread_cond_wait(&waiting.news, &waiting.lock);
    }
    (void)pthread_mutex_unlock(&waiting.lock);
}

static const char *watch_to_the_end(Works *works, int64_t id, size_t room, Arena *keep)
{
    Watcher *watcher = watcher_begin(works, id, wake);
    assert_non_null(watcher);
    Text said = {.keep = keep};
    char bytes[512];
    long count = 0;
    while ((count = watcher_read(watcher, bytes, room, hold, &waiting)) >= 0) {
        assert_true(count <= (long)room);
        text_add_bytes(&said, bytes, (size_t)count);
        if (count == 0) {
            wait_for_wake();
        }
    }
    watcher_end(watcher);
    return text_string(&said);
}

static void events_are_whole_however_small_the_bites(void **state)
{
    Works *works = works_begin();
    assert_non_null(works);
    int64_t id = 0;
    const WorkOrder order = order_of(bare);
    assert_true(work_begin(works, &order, &id, problems_in(*state)));
    (void)watch_to_the_end(works, id, 512, *state);
    // Now that it has ended, both see the same.
    const char *at_once = watch_to_the_end(works, id, 512, *state);
    const char *in_bites = watch_to_the_end(works, id, 1, *state);
    assert_string_equal(at_once, in_bites);
    assert_non_null(strstr(at_once, "event: end\ndata: {\ndata:   \"work\": 1,"));
    assert_string_equal(at_once + strlen(at_once) - 2, "\n\n");
    WorkNews news;
    assert_true(work_news(works, id, WORK_RESULT, *state, &news));
    assert_int_equal(news.state, WORK_FAILED);
    assert_int_equal(news.status, 422);
    assert_non_null(strstr(news.result, "\"problems\""));
    works_stop(works);
    works_end(works);
}

static void nothing_is_taken_once_it_is_stopped(void **state)
{
    Works *works = works_begin();
    assert_non_null(works);
    works_stop(works);
    int64_t id = 0;
    Problems *problems = problems_in(*state);
    const WorkOrder order = order_of(bare);
    assert_false(work_begin(works, &order, &id, problems));
    assert_int_equal(problems->items[0].kind, PROBLEM_SYSTEM);
    works_end(works);
}

static void only_the_last_are_remembered(void **state)
{
    Works *works = works_begin();
    assert_non_null(works);
    Watcher *first = NULL;
    for (int i = 0; i < WORKS_KEPT + 10; i++) {
        int64_t id = 0;
        const WorkOrder order = order_of(bare);
        assert_true(work_begin(works, &order, &id, problems_in(*state)));
        assert_int_equal(id, i + 1);
        (void)watch_to_the_end(works, id, 512, *state);
        first = first ? first : watcher_begin(works, id, wake);
    }
    WorkNews news[WORKS_KEPT + 10];
    assert_int_equal(works_list(works, *state, news, WORKS_KEPT + 10), WORKS_KEPT);
    assert_int_equal(news[0].id, WORKS_KEPT + 10);
    // The first is watched, so it stays; the second has gone.
    assert_true(work_news(works, 1, WORK_NO_TEXT, *state, news));
    assert_false(work_news(works, 2, WORK_NO_TEXT, *state, news));
    assert_false(work_stop(works, 2));
    assert_null(watcher_begin(works, 2, wake));
    watcher_end(first);
    works_stop(works);
    works_end(works);
}

// Holds work back until it is opened.
typedef struct Gate {
    pthread_mutex_t lock;
    pthread_cond_t opened;
    bool open;
} Gate;

// Makes one file, once its gate is open.
static bool make_file(WorkRun *run)
{
    Gate *const *held = run->order->options;
    Gate *gate = *held;
    if (gate) {
        (void)pthread_mutex_lock(&gate->lock);
        while (!gate->open) {
            (void)pthread_cond_wait(&gate->opened, &gate->lock);
        }
        (void)pthread_mutex_unlock(&gate->lock);
    }
    PackFile file = {.name = "pages.pdf", .what = "", .data = "%PDF", .bytes = 4};
    return work_shelve(run, &(PackFiles){.items = &file, .count = 1});
}

static int64_t begin_making(Works *works, Gate *gate, Arena *keep)
{
    static const WorkKind making = {.name = "making", .run = make_file};
    int64_t id = 0;
    WorkOrder order;
    assert_true(work_order(&making, 1, 1, (Document){bare, strlen(bare)}, &order, NULL));
    Gate **held = ARENA_NEW(order.keep, Gate *);
    *held = gate;
    order.options = held;
    assert_true(work_begin(works, &order, &id, problems_in(keep)));
    return id;
}

// Work that began first and ended last has made its files last.
static void files_are_kept_by_when_they_were_made(void **state)
{
    Gate gate = {PTHREAD_MUTEX_INITIALIZER, PTHREAD_COND_INITIALIZER, false};
    PackFile file;
    Works *works = works_begin();
    assert_non_null(works);
    const int64_t slow = begin_making(works, &gate, *state);
    int64_t quick[WORKS_WITH_FILES];
    for (int i = 0; i < WORKS_WITH_FILES; i++) {
        quick[i] = begin_making(works, NULL, *state);
        (void)watch_to_the_end(works, quick[i], 512, *state);
        assert_true(work_file(works, quick[i], "pages.pdf", *state, &file));
    }
    assert_false(work_file(works, slow, "pages.pdf", *state, &file));
    (void)pthread_mutex_lock(&gate.lock);
    gate.open = true;
    (void)pthread_cond_broadcast(&gate.opened);
    (void)pthread_mutex_unlock(&gate.lock);
    (void)watch_to_the_end(works, slow, 512, *state);
    assert_true(work_file(works, slow, "pages.pdf", *state, &file));
    assert_int_equal(file.bytes, 4);
    assert_false(work_file(works, quick[0], "pages.pdf", *state, &file));
    for (int i = 1; i < WORKS_WITH_FILES; i++) {
        assert_true(work_file(works, quick[i], "pages.pdf", *state, &file));
    }
    works_stop(works);
    works_end(works);
}

static void so_many_may_watch(void **state)
{
    Works *works = works_begin();
    assert_non_null(works);
    int64_t id = 0;
    const WorkOrder order = order_of(bare);
    assert_true(work_begin(works, &order, &id, problems_in(*state)));
    Watcher *watchers[WATCHERS_MAX];
    for (int i = 0; i < WATCHERS_MAX; i++) {
        watchers[i] = watcher_begin(works, id, wake);
        assert_non_null(watchers[i]);
    }
    assert_null(watcher_begin(works, id, wake));
    for (int i = 0; i < WATCHERS_MAX; i++) {
        watcher_end(watchers[i]);
    }
    Watcher *again = watcher_begin(works, id, wake);
    assert_non_null(again);
    watcher_end(again);
    works_stop(works);
    works_end(works);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(events_are_whole_however_small_the_bites),
        TEST_IN_ARENA(nothing_is_taken_once_it_is_stopped),
        TEST_IN_ARENA(only_the_last_are_remembered),
        TEST_IN_ARENA(files_are_kept_by_when_they_were_made),
        TEST_IN_ARENA(so_many_may_watch),
    };
    return cmocka_run_group_tests_name("serve/work", tests, NULL, NULL);
}
