// Long work: what is looked for on threads of its own, while anybody may watch, and stop it.
//
// Of each work only its latest news are kept: a watcher who is slow misses steps in between,
// never the end. A few run at once, and the last that ended are remembered.
#pragma once

#include "plan/served.h"
#include "store/store.h"

enum {
    WORKS_RUNNING_MAX = 4,
    WORKS_KEPT = 32, ///< running or ended
    WORKS_WITH_FILES = 4,
    WATCHERS_MAX = 64,
};

typedef enum WorkState { WORK_RUNNING, WORK_DONE, WORK_STOPPED, WORK_FAILED } WorkState;

extern const char *const work_state_names[]; ///< running, done, stopped, failed

typedef struct Works Works;
typedef struct WorkOrder WorkOrder;

/// A work under way, as its kind sees it.
typedef struct WorkRun {
    const WorkOrder *order;
    const Progress *progress; ///< false: somebody wants it stopped
    Arena *keep;              ///< the order's; until the work ends
    Arena *scratch;
    Problems *problems;
    Text result;  ///< what came of it, as JSON; in `keep`
    bool stopped; ///< the result is the best that was found by then
    struct Work *work;
} WorkRun;

/// What is to be done: serve/work_kinds.h has them all.
typedef struct WorkKind {
    const char *name;   ///< `layout`
    const char *so_far; ///< name of the event that carries what was found so far; NULL: none
    /// On a thread of its own. False: refused, or stopped before there was anything.
    bool (*run)(WorkRun *run);
} WorkKind;

struct WorkOrder {
    const WorkKind *kind;
    int64_t job;
    int64_t version;
    Document document;   ///< of the job; ends in 0 behind its bytes
    const void *options; ///< of the kind's own
    bool plain;          ///< nothing was asked but the job: as the command would do it
    Arena *keep;         ///< all that the order points to lies here
};

/// An order for a version of a job, in an arena of its own. Errors   no memory.
MUST_CHECK bool work_order(const WorkKind *kind, int64_t job, int64_t version, Document document,
                           WorkOrder *order, Problems *problems);

/// Which of the large texts is wanted too.
typedef enum WorkText { WORK_NO_TEXT, WORK_SO_FAR, WORK_RESULT } WorkText;

/// One work as it stands at a moment; texts lie in the arena of who asked.
typedef struct WorkNews {
    int64_t id;
    const WorkKind *kind;
    int64_t job;
    int64_t version;
    const char *what; ///< is being done
    double share;     ///< 0 to 1
    int64_t begun_ms;
    WorkState state;
    int improvements;   ///< what was found and better than all before
    const char *so_far; ///< the best so far, as JSON; NULL: none yet, or not wanted
    const char *result; ///< when it has ended, the answer or the refusal; NULL: none, not wanted
    int status;         ///< of HTTP, for the result
    int64_t number;     ///< of the news: greater each time
} WorkNews;

/// As it is told in documents.
ServedWork work_served(const WorkNews *news);

/// NULL when the system refuses.
MUST_CHECK Works *works_begin(void);

/// Stops all work and waits for it; watchers are told. Nothing new is taken from then on.
void works_stop(Works *works);
/// When nobody watches any more. Accepts NULL.
void works_end(Works *works);

/// Begins; *id is its number. The order's arena is the work's from then on, whatever comes of it.
/// Errors   false: too much is running already, or the system gives no memory or thread.
MUST_CHECK bool work_begin(Works *works, const WorkOrder *order, int64_t *id, Problems *problems);

/// Something better than all before was found: told to all who watch. From any thread of the run.
void work_better(const WorkRun *run, const char *json);

/// The news of a work; false: there is none of that number.
MUST_CHECK bool work_news(Works *works, int64_t id, WorkText text, Arena *keep, WorkNews *news);

/// The newest result of plain work of this kind for a version of a job. False: there is none.
MUST_CHECK bool work_done(Works *works, const WorkOrder *like, Arena *keep, const char **result);

/// Keeps a copy of files with the work, for whoever asks for them later. The last few works that
/// made files keep them. False: no memory.
MUST_CHECK bool work_shelve(const WorkRun *run, const PackFiles *files);

/// One of them, by its name without folder; copied. False: no such work or file any more.
MUST_CHECK bool work_file(Works *works, int64_t id, const char *name, Arena *keep, PackFile *file);

/// All, the newest first: how many were written.
int works_list(Works *works, Arena *keep, WorkNews *news, int room);

/// Asks a running work to stop; nothing happens to one that has ended. False: none of that number.
bool work_stop(Works *works, int64_t id);

/// Somebody who watches one work.
typedef struct Watcher Watcher;

/// NULL: no such work, or too many watch. After watcher_read() gave 0, `wake` is
/// called once there may be news, with the works' lock held, from any thread, with the context
/// that was given there.
MUST_CHECK Watcher *watcher_begin(Works *works, int64_t id, void (*wake)(void *context));
void watcher_end(Watcher *watcher);

/// Bytes of the stream of events (HTML Living Standard, section 9.2, server-sent events), as many
/// as there are and fit; -1: it has ended. With 0 `hold` was called, under the works' lock, and
/// `wake` will be.
long watcher_read(Watcher *watcher, char *bytes, size_t room, void (*hold)(void *context),
                  void *context);
