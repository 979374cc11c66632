// Long work: layouts that are looked for on threads of their own, while anybody may watch, and
// stop them.
//
// Of each work only its latest news are kept: a watcher who is slow misses steps in between,
// never the end. A few run at once, and the last that ended are remembered.
#pragma once

#include "plan/served.h"

enum {
    WORKS_RUNNING_MAX = 4,
    WORKS_KEPT = 32, ///< running or ended
    WATCHERS_MAX = 64,
};

typedef enum WorkState { WORK_RUNNING, WORK_DONE, WORK_STOPPED, WORK_FAILED } WorkState;

extern const char *const work_state_names[]; ///< running, done, stopped, failed

typedef struct Works Works;

/// What is to be done; texts are copied.
typedef struct WorkOrder {
    int64_t job;
    int64_t version;
    Document document; ///< of the job
    double times;      ///< how many times the work that the job says
} WorkOrder;

/// One work as it stands at a moment; texts lie in the arena of who asked.
typedef struct WorkNews {
    int64_t id;
    int64_t job;
    int64_t version;
    const char *what; ///< is being done
    double share;     ///< 0 to 1
    int64_t begun_ms;
    WorkState state;
    int improvements;   ///< layouts that were better than all before
    const char *layout; ///< the best so far, as JSON; NULL: none yet
    const char *result; ///< of work that has ended: the answer or the refusal; NULL: none
    int status;         ///< of HTTP, for the result
    int64_t number;     ///< of the news: greater each time
} WorkNews;

/// NULL when the system refuses.
MUST_CHECK Works *works_begin(void);

/// Stops all work and waits for it; watchers are told. Nothing new is taken from then on.
void works_stop(Works *works);
/// When nobody watches any more. Accepts NULL.
void works_end(Works *works);

/// Begins; *id is its number. Errors   false: too much is running already (a conflict of kind
/// system), or the system gives no thread.
MUST_CHECK bool work_begin(Works *works, const WorkOrder *order, int64_t *id, Problems *problems);

/// The news of a work; false: there is none of that number.
MUST_CHECK bool work_news(Works *works, int64_t id, Arena *keep, WorkNews *news);

/// All, the newest first: how many were written.
int works_list(Works *works, Arena *keep, WorkNews *news, int room);

/// Asks a running work to stop; nothing happens to one that has ended. False: none of that number.
bool work_stop(Works *works, int64_t id);

/// Somebody who watches one work.
typedef struct Watcher Watcher;

/// NULL: no such work, or too many watch. `wake` is called when there may be news after
/// watcher_wait(), with the works' lock held, from any thread.
MUST_CHECK Watcher *watcher_begin(Works *works, int64_t id, void (*wake)(void *context));
void watcher_end(Watcher *watcher);

/// Bytes of the stream of events (HTML Living Standard, section 9.2, server-sent events), as many
/// as there are and fit; -1: it has ended. With 0 `hold` was called, under the works' lock, and
/// `wake` will be.
long watcher_read(Watcher *watcher, char *bytes, size_t room, void (*hold)(void *context),
                  void *context);
