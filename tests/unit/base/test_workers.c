#include "base/workers.h"

#include "support/check.h"

enum { JOBS = 40 };

typedef struct Tally {
    int done[JOBS];
    long sums[JOBS];
} Tally;

static void add_up(void *context, int index)
{
    Tally *tally = context;
    tally->done[index]++;
    for (long i = 0; i <= 1000L * index; i++) {
        tally->sums[index] += i;
    }
}

static void each_job_runs_once(void **state)
{
    (void)state;
    for (int threads = 0; threads <= 9; threads++) {
        Tally tally = {.done = {0}};
        workers_run(JOBS, threads, add_up, &tally);
        for (long i = 0; i < JOBS; i++) {
            assert_int_equal(tally.done[i], 1);
            assert_int_equal(tally.sums[i], 1000 * i * (1000 * i + 1) / 2);
        }
    }
    workers_run(0, 3, add_up, NULL);
}

enum { THREADS = 5 };

typedef struct Benches {
    bool taken[THREADS]; // only one job at a time is done by a worker
    long sums[THREADS];
} Benches;

static void add_on_bench(void *context, int worker, int index)
{
    Benches *benches = context;
    assert_in_range(worker, 0, THREADS - 1);
    assert_false(benches->taken[worker]);
    benches->taken[worker] = true;
    for (int i = 0; i < 1000; i++) {
        benches->sums[worker] += index;
    }
    benches->taken[worker] = false;
}

static void each_thread_has_a_bench_of_its_own(void **state)
{
    (void)state;
    Benches benches = {.taken = {false}};
    workers_run_each(JOBS, THREADS, add_on_bench, &benches);
    long sum = 0;
    for (int i = 0; i < THREADS; i++) {
        sum += benches.sums[i];
    }
    assert_int_equal(sum, 1000L * JOBS * (JOBS - 1) / 2);
}

typedef struct Listener {
    int calls;
    int inside;
    double last_share;
    int allowed;
} Listener;

static bool listen(void *context, const char *what, double share)
{
    Listener *listener = context;
    assert_string_equal(what, "job");
    assert_int_equal(listener->inside++, 0); // never two at once
    assert_true(share >= listener->last_share && share <= 1);
    listener->last_share = share;
    listener->inside--;
    return ++listener->calls < listener->allowed;
}

typedef struct Reporting {
    SharedProgress *shared;
    int told[JOBS]; // how often each job was told to go on
} Reporting;

static void report_often(void *context, int index)
{
    Reporting *reporting = context;
    for (int i = 1; i <= 100; i++) {
        if (!progress_report(shared_progress_of(reporting->shared, index), "job", i / 100.0)) {
            return;
        }
        reporting->told[index]++;
    }
}

static void progress_is_told_as_one(void **state)
{
    for (int threads = 1; threads <= 4; threads++) {
        Listener listener = {.allowed = 1000000};
        const Progress whole = {listen, &listener};
        Reporting reporting = {.shared = shared_progress_begin(&whole, JOBS, *state)};
        workers_run(JOBS, threads, report_often, &reporting);
        assert_int_equal(listener.calls, 100 * JOBS);
        CHECK_NEAR(listener.last_share, 1, 1e-9);
        shared_progress_end(reporting.shared);
    }
}

static void a_stop_reaches_every_job(void **state)
{
    Listener listener = {.allowed = 150};
    const Progress whole = {listen, &listener};
    Reporting reporting = {.shared = shared_progress_begin(&whole, JOBS, *state)};
    workers_run(JOBS, 3, report_often, &reporting);
    assert_int_equal(listener.calls, 150); // nobody asks again
    int told = 0;
    for (int i = 0; i < JOBS; i++) {
        told += reporting.told[i];
    }
    assert_int_equal(told, 149);
    shared_progress_end(reporting.shared);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(each_job_runs_once),
        TEST_IN_ARENA(each_thread_has_a_bench_of_its_own),
        cmocka_unit_test(each_thread_has_a_bench_of_its_own),
        TEST_IN_ARENA(progress_is_told_as_one),
        TEST_IN_ARENA(a_stop_reaches_every_job),
    };
    return cmocka_run_group_tests_name("base/workers", tests, NULL, NULL);
}
