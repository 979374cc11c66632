#include "base/workers.h"

#include <pthread.h>

enum { HELPERS_MAX = WORKERS_MAX - 1 };

typedef struct Crew {
    pthread_mutex_t lock;
    int workers; // that have begun
    int next;    // job that nobody has taken
    int jobs;
    void (*job)(void *context, int worker, int index);
    void *context;
} Crew;

static void *work_on(void *crew_given)
{
    Crew *crew = crew_given;
    pthread_mutex_lock(&crew->lock);
    const int worker = crew->workers++;
    pthread_mutex_unlock(&crew->lock);
    for (;;) {
        pthread_mutex_lock(&crew->lock);
        const int index = crew->next < crew->jobs ? crew->next++ : -1;
        pthread_mutex_unlock(&crew->lock);
        if (index < 0) {
            return NULL;
        }
        crew->job(crew->context, worker, index);
    }
}

void workers_run_each(int jobs, int threads, void (*job)(void *context, int worker, int index),
                      void *context)
{
    Crew crew = {.lock = PTHREAD_MUTEX_INITIALIZER, .jobs = jobs, .job = job, .context = context};
    pthread_t helpers[HELPERS_MAX];
    int helper_count = 0;
    // This thread is one of them.
    while (helper_count + 1 < threads && helper_count + 1 < jobs && helper_count < HELPERS_MAX &&
           pthread_create(&helpers[helper_count], NULL, work_on, &crew) == 0) {
        helper_count++;
    }
    work_on(&crew);
    for (int i = 0; i < helper_count; i++) {
        pthread_join(helpers[i], NULL);
    }
    pthread_mutex_destroy(&crew.lock);
}

// Jobs that do not ask which worker they are done by.
typedef struct PlainJobs {
    void (*job)(void *context, int index);
    void *context;
} PlainJobs;

static void run_plain(void *plain_given, int worker, int index)
{
    (void)worker;
    const PlainJobs *plain = plain_given;
    plain->job(plain->context, index);
}

void workers_run(int jobs, int threads, void (*job)(void *context, int index), void *context)
{
    PlainJobs plain = {job, context};
    workers_run_each(jobs, threads, run_plain, &plain);
}

typedef struct JobProgress {
    SharedProgress *shared;
    Progress progress;
    double share;
} JobProgress;

struct SharedProgress {
    pthread_mutex_t lock;
    const Progress *whole;
    JobProgress *jobs;
    int job_count;
    bool stopped;
};

static bool report_job(void *context, const char *what, double share)
{
    JobProgress *job = context;
    SharedProgress *shared = job->shared;
    pthread_mutex_lock(&shared->lock);
    job->share = share;
    double all = 0;
    for (int i = 0; i < shared->job_count; i++) {
        all += shared->jobs[i].share / shared->job_count;
    }
    if (!shared->stopped) {
        shared->stopped = !progress_report(shared->whole, what, all < 1 ? all : 1);
    }
    const bool go_on = !shared->stopped;
    pthread_mutex_unlock(&shared->lock);
    return go_on;
}

SharedProgress *shared_progress_begin(const Progress *whole, int jobs, Arena *keep)
{
    SharedProgress *shared = ARENA_NEW(keep, SharedProgress);
    pthread_mutex_init(&shared->lock, NULL);
    shared->whole = whole;
    shared->job_count = jobs;
    shared->jobs = ARENA_ARRAY(keep, JobProgress, jobs);
    for (int i = 0; i < jobs; i++) {
        shared->jobs[i] = (JobProgress){shared, {report_job, &shared->jobs[i]}, 0};
    }
    return shared;
}

void shared_progress_end(SharedProgress *shared)
{
    pthread_mutex_destroy(&shared->lock);
}

const Progress *shared_progress_of(SharedProgress *shared, int index)
{
    return &shared->jobs[index].progress;
}

void shared_progress_lock(SharedProgress *shared)
{
    pthread_mutex_lock(&shared->lock);
}

void shared_progress_unlock(SharedProgress *shared)
{
    pthread_mutex_unlock(&shared->lock);
}
