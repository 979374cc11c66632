// What the files of long work share. Private to them.
#pragma once

#include "serve/work.h"

#include <pthread.h>
#include <stdio.h>

enum { WHAT_ROOM = 80 };

typedef struct Work {
    struct Work *next; ///< an older one
    Works *works;
    int64_t id;
    WorkOrder order; ///< its arena is gone when the work has ended
    pthread_t thread;
    bool threaded; ///< the thread has not been waited for

    // Under the works' lock:
    bool stop;
    WorkState state;
    char what[WHAT_ROOM];
    double share;
    int64_t begun_ms;
    int64_t told_ms;
    int improvements;
    char *so_far; ///< NULL: none yet
    char *result; ///< NULL: none
    int status;   ///< of HTTP, for the result
    int64_t number;
    Watcher *watchers;
    Arena *shelf;    ///< of its files; NULL: it has none
    int64_t shelved; ///< greater with each that came by some
    PackFiles files;
} Work;

struct Works {
    pthread_mutex_t lock;
    Work *first; ///< the newest
    int64_t last_id;
    int64_t number;
    int64_t shelved;
    int running;
    int watchers;
    bool stopped;
};

struct Watcher {
    Watcher *next;
    Work *work;
    void (*wake)(void *context);
    void *context;
    bool waiting;
    int64_t seen;     ///< number of the news that it has
    int improvements; ///< that it has
    bool ended;
    char *rest; ///< events on their way
    size_t rest_bytes;
    size_t rest_sent;
};

/// With the lock; NULL: there is none of that number.
Work *work_find(const Works *works, int64_t id);

/// With the lock.
WorkNews work_tell(const Work *work, WorkText text, Arena *keep);
