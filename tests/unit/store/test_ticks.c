#include "store/ticks.h"

#include "base/random.h"
#include "base/text.h"
#include "store/exchange.h"
#include "store/records.h"
#include "workshop.h"

static int64_t begin_job(Workshop *workshop, Store *store)
{
    int64_t id = 0;
    MUST(workshop, record_begin(store, RECORD_JOB, job_document("club", "", workshop->keep), &id,
                                workshop->problems));
    return id;
}

// All ticks of a job as one text.
static const char *ticks_text(Workshop *workshop, Store *store, int64_t job)
{
    Ticks ticks;
    Text text = {.keep = workshop->keep};
    MUST(workshop, ticks_list(store, job, workshop->keep, &ticks, workshop->problems));
    for (int i = 0; i < ticks.count; i++) {
        const Tick *tick = &ticks.items[i];
        text_add(&text, "%s %d %lld %s\n", tick->step, tick->done, (long long)tick->ticked_ms,
                 tick->device);
    }
    return text_string(&text);
}

static void put(Workshop *workshop, Store *store, int64_t job, Tick tick)
{
    MUST(workshop, ticks_put(store, job, (Ticks){&tick, 1}, workshop->problems));
}

static void the_later_tick_holds_whatever_came_first(void **state)
{
    Workshop *workshop = *state;
    Store *store = open_workshop(workshop);
    const int64_t job = begin_job(workshop, store);
    put(workshop, store, job, (Tick){"cut-a1", true, 200, "phone"});
    put(workshop, store, job, (Tick){"cut-a1", false, 100, "desk"});
    assert_string_equal(ticks_text(workshop, store, job), "cut-a1 1 200 phone\n");
    put(workshop, store, job, (Tick){"cut-a1", false, 300, "desk"});
    put(workshop, store, job, (Tick){"cut-a2", true, 1, ""});
    assert_string_equal(ticks_text(workshop, store, job), "cut-a1 0 300 desk\ncut-a2 1 1 \n");
    store_close(store);
}

// Property: any order, with repetitions, by any number of calls, comes to the same; that is worked
// out here anew by a look at all of them.
static void any_order_comes_to_the_same(void **state)
{
    Workshop *workshop = *state;
    enum { TICKS = 40, STEPS = 6, ROUNDS = 30 };
    static const char *const steps[STEPS] = {"a", "b", "c", "d", "e", "f"};
    static const char *const devices[] = {"", "desk", "phone"};
    Store *store = open_workshop(workshop);
    for (uint64_t seed = 1; seed <= ROUNDS; seed++) {
        Random random = random_begin(7, seed, 0);
        const int64_t job = begin_job(workshop, store);
        Tick ticks[TICKS];
        Tick best[STEPS] = {0};
        for (int i = 0; i < TICKS; i++) {
            const int step = random_below(&random, STEPS);
            ticks[i] = (Tick){steps[step], random_below(&random, 2) == 0, random_below(&random, 8),
                              devices[random_below(&random, 3)]};
            Tick *held = &best[step];
            const int by_device = held->step ? strcmp(ticks[i].device, held->device) : 1;
            const bool later = !held->step || ticks[i].ticked_ms > held->ticked_ms ||
                               (ticks[i].ticked_ms == held->ticked_ms &&
                                (by_device > 0 || (by_device == 0 && ticks[i].done > held->done)));
            *held = later ? ticks[i] : *held;
        }
        for (int i = 0; i < 2 * TICKS; i++) {
            put(workshop, store, job, ticks[random_below(&random, TICKS)]);
        }
        MUST(workshop, ticks_put(store, job, (Ticks){ticks, TICKS}, workshop->problems));
        Text wanted = {.keep = workshop->keep};
        for (int i = 0; i < STEPS; i++) {
            if (best[i].step) {
                text_add(&wanted, "%s %d %lld %s\n", best[i].step, best[i].done,
                         (long long)best[i].ticked_ms, best[i].device);
            }
        }
        assert_string_equal(ticks_text(workshop, store, job), text_string(&wanted));
    }
    store_close(store);
}

static void what_is_no_tick_is_refused_with_all_others(void **state)
{
    Workshop *workshop = *state;
    Store *store = open_workshop(workshop);
    const int64_t job = begin_job(workshop, store);
    char step[TICK_STEP_MAX + 2];
    char device[TICK_DEVICE_MAX + 2];
    memset(step, 'a', sizeof step);
    step[TICK_STEP_MAX + 1] = 0;
    memset(device, 'b', sizeof device);
    device[TICK_DEVICE_MAX + 1] = 0;
    const Tick bad[] = {{"", true, 1, ""},      {"Cut", true, 1, ""},
                        {"a b", true, 1, ""},   {step, true, 1, ""},
                        {"a", true, -1, ""},    {"a", true, 253402300800000, ""},
                        {"a", true, 1, device}, {"a", true, 1, "two\nlines"}};
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        Problems *problems = problems_in(workshop->keep);
        Tick both[] = {{"good", true, 1, "desk"}, bad[i]};
        assert_false(ticks_put(store, job, (Ticks){both, 2}, problems));
        assert_string_equal(problems->items[0].where, "ticks[1]");
        assert_string_equal(ticks_text(workshop, store, job), "");
    }
    step[TICK_STEP_MAX] = 0;
    device[TICK_DEVICE_MAX] = 0;
    put(workshop, store, job, (Tick){step, true, 253402300799999, device});
    Problems *problems = problems_in(workshop->keep);
    Tick tick = {"a", true, 1, ""};
    assert_false(ticks_put(store, job + 9, (Ticks){&tick, 1}, problems));
    assert_int_equal(problems->items[0].kind, PROBLEM_NOT_FOUND);
    store_close(store);
}

static void one_job_has_only_so_many(void **state)
{
    Workshop *workshop = *state;
    Store *store = open_workshop(workshop);
    const int64_t job = begin_job(workshop, store);
    Tick *ticks = ARENA_ARRAY(workshop->keep, Tick, TICKS_MAX + 1);
    for (int i = 0; i <= TICKS_MAX; i++) {
        ticks[i] = (Tick){arena_text(workshop->keep, "step-%d", i), true, 1, ""};
    }
    Problems *problems = problems_in(workshop->keep);
    assert_false(ticks_put(store, job, (Ticks){ticks, TICKS_MAX + 1}, problems));
    assert_string_equal(problems->items[0].where, "ticks");
    assert_string_equal(ticks_text(workshop, store, job), "");
    MUST(workshop, ticks_put(store, job, (Ticks){ticks, TICKS_MAX}, workshop->problems));
    MUST(workshop, ticks_put(store, job, (Ticks){ticks, 1}, workshop->problems));
    store_close(store);
}

// An export carries them, and an import takes them in as any other way would.
static void they_go_from_file_to_file(void **state)
{
    Workshop *workshop = *state;
    Arena *keep = workshop->keep;
    const StoreOptions options = workshop_options(workshop);
    const char *path = arena_text(keep, "%s/export.db", workshop->folder);
    Store *store = open_workshop(workshop);
    const int64_t job = begin_job(workshop, store);
    put(workshop, store, job, (Tick){"cut-a1", true, 100, "phone"});
    put(workshop, store, job, (Tick){"cut-a2", true, 100, "phone"});
    MUST(workshop, store_export(store, path, &job, 1, workshop->problems));
    Store *other =
        store_open(arena_text(keep, "%s/b.db", workshop->folder), &options, workshop->problems);
    MUST(workshop, other != NULL);
    ImportReport report;
    MUST(workshop, store_import(other, path, &report, workshop->problems));
    assert_string_equal(ticks_text(workshop, other, 1), ticks_text(workshop, store, job));
    put(workshop, other, 1, (Tick){"cut-a1", false, 300, "desk"});
    MUST(workshop, store_import(other, path, &report, workshop->problems));
    assert_string_equal(ticks_text(workshop, other, 1), "cut-a1 0 300 desk\ncut-a2 1 100 phone\n");
    run_sql(path, "UPDATE tick SET step = 'no name!' WHERE step = 'cut-a1'");
    Problems *problems = problems_in(keep);
    assert_false(store_import(other, path, &report, problems));
    assert_int_equal(problems->items[0].kind, PROBLEM_BAD_INPUT);
    store_close(other);
    store_close(store);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_WORKSHOP(the_later_tick_holds_whatever_came_first),
        TEST_IN_WORKSHOP(any_order_comes_to_the_same),
        TEST_IN_WORKSHOP(what_is_no_tick_is_refused_with_all_others),
        TEST_IN_WORKSHOP(one_job_has_only_so_many),
        TEST_IN_WORKSHOP(they_go_from_file_to_file),
    };
    return cmocka_run_group_tests_name("store/ticks", tests, NULL, NULL);
}
