// Work in parts: some jobs on some threads, and one report of progress for all of them.
//
// Each job has its own memory and its own random stream, so that what comes out does not
// depend on how many threads there are; only who waits how long does.
#pragma once

#include "base/arena.h"
#include "base/progress.h"

/// Runs job 0 to `jobs` - 1, each once, on up to `threads` threads (less than 2: on this
/// one, in order). Returns when all are done. Where the system gives no thread, the work
/// is done by those that there are.
void workers_run(int jobs, int threads, void (*job)(void *context, int index), void *context);

/// Threads are limited to so many.
enum { WORKERS_MAX = 65 };

/// The same for jobs that use what a thread keeps from one to the next: `worker` is 0 to
/// WORKERS_MAX - 1 and less than `threads` (at least 1), another one on each thread.
void workers_run_each(int jobs, int threads, void (*job)(void *context, int worker, int index),
                      void *context);

/// The progress of several jobs, told as one: the mean of their shares. Calls never
/// overlap; they come from any of the threads. Once stopped, all jobs are told so.
typedef struct SharedProgress SharedProgress;

/// `whole` may be NULL. Ended by shared_progress_end().
SharedProgress *shared_progress_begin(const Progress *whole, int jobs, Arena *keep);
void shared_progress_end(SharedProgress *shared);

/// What job `index` reports to.
const Progress *shared_progress_of(SharedProgress *shared, int index);

/// Between these two no report is made and no other thread is between them.
void shared_progress_lock(SharedProgress *shared);
void shared_progress_unlock(SharedProgress *shared);
