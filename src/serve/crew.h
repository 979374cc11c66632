// The crew: some threads, each with a desk of its own, that take tasks in the order they came.
// Of the threads, and of the places to wait, half are kept free of what comes over the network.
#pragma once

#include "serve/request.h"

/// Something to be answered; a part of whatever waits for it.
typedef struct Task {
    struct Task *next;
    bool guest; ///< it came over the network
    /// Called once, on a thread of the crew, with nothing in the desk's memory.
    void (*run)(struct Task *task, Desk *desk);
} Task;

typedef struct Crew Crew;

enum {
    CREW_WAITING_MAX = 128, ///< tasks that wait
    CREW_GUESTS_WAITING_MAX = CREW_WAITING_MAX / 2,
};

typedef struct CrewOptions {
    const char *workshop;
    int hands;
    struct Works *works;
    struct Tables *tables;
    struct Share *share;
    pthread_mutex_t *writing; ///< as Desk has it
} CrewOptions;

/// Opens and checks the workshop file, then begins. Errors   NULL: as store_open().
MUST_CHECK Crew *crew_begin(const CrewOptions *options, Problems *problems);

/// False when too many wait already; the task is not taken then.
MUST_CHECK bool crew_take(Crew *crew, Task *task);

/// Does what was taken, then stops; nothing is taken from here on. Accepts NULL.
void crew_stop(Crew *crew);

/// As crew_stop(), and gives the memory back: nobody may ask the crew any more. Accepts NULL.
void crew_end(Crew *crew);
