// Studies of hides whose right answer is known: one square cover on rectangles.
#include "buying/study.h"
#include "rectangles.h"
#include "support/check.h"
#include "support/stop.h"

#include <math.h>

typedef struct Bench {
    Rectangles rectangles;
    Study study;
} Bench;

static Bench *bench_of(int covers, Arena *keep)
{
    Bench *bench = ARENA_NEW(keep, Bench);
    rectangles_begin(&bench->rectangles, covers, cover_mm, keep);
    bench->study = (Study){.demands = &bench->rectangles.demand,
                           .demand_count = 1,
                           .rules = &bench->rectangles.rules,
                           .form = HIDE_WHOLE,
                           .hides = 1,
                           .draw = draw_rectangle,
                           .care = room_care_default(),
                           .seed = 5,
                           .comfort = 0.9,
                           .trials = 64,
                           .threads = 2,
                           .shards = 1};
    // One cover on a rectangle takes no careful search.
    bench->study.care.careful_work = 0.01;
    return bench;
}

static StudyAnswer *answered(const Study *study, Arena *keep)
{
    StudyAnswer *answer = ARENA_NEW(keep, StudyAnswer);
    Problems *problems = problems_in(keep);
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    assert_true(study_run(study, NULL, scratch, answer, problems));
    arena_destroy(scratch);
    return answer;
}

static int step_of(double factor)
{
    return (int)ceil(cover_mm * cover_mm * factor / area_step_mm2);
}

static void each_trial_finds_its_own_area(void **state)
{
    Bench *bench = bench_of(1, *state);
    bench->study.trials = 32;
    const StudyAnswer *answer = answered(&bench->study, *state);
    assert_int_equal(answer->tally.trials, 32);
    double below = 0;
    const int step = step_of(exp(most_stretched));
    for (int i = 0; i < 32; i++) {
        const HideAsked asked = {.seed = 5, .trial = (uint64_t)i};
        below += step_of(exp(2 * stretched(&asked))) <= step ? 1 : 0;
    }
    // Brackets away from the answer span up to four steps, so only nearly.
    CHECK_NEAR(tally_chance(&answer->tally, step, 1.96).share, below / 32, 0.08);
}

static void the_area_is_the_one_known(void **state)
{
    Bench *bench = bench_of(1, *state);
    const StudyAnswer *answer = answered(&bench->study, *state);
    const int truth = step_of(exp(2 * most_stretched * 0.9));
    assert_true(answer->area.low <= truth && answer->area.high >= truth);
    assert_in_range(answer->area.step, truth - 1, truth + 1);
}

static void threads_do_not_change_the_answer(void **state)
{
    Bench *bench = bench_of(2, *state);
    bench->study.trials = 100; // behind the pilot too, and no whole number of batches
    bench->study.threads = 1;
    const StudyAnswer *one = answered(&bench->study, *state);
    bench->study.threads = 3;
    const StudyAnswer *three = answered(&bench->study, *state);
    assert_memory_equal(&one->tally, &three->tally, sizeof one->tally);
}

static void shards_together_are_the_whole(void **state)
{
    Bench *bench = bench_of(1, *state);
    bench->study.trials = 40;
    const StudyAnswer *whole = answered(&bench->study, *state);
    Tally *joined = ARENA_NEW(*state, Tally);
    bench->study.shards = 3;
    for (int shard = 0; shard < 3; shard++) {
        bench->study.shard = shard;
        tally_join(joined, &answered(&bench->study, *state)->tally);
    }
    assert_memory_equal(joined, &whole->tally, sizeof *joined);
}

static void it_ends_when_it_is_precise(void **state)
{
    Bench *bench = bench_of(1, *state);
    bench->study.precision = 0.15;
    bench->study.trials = 5000;
    const StudyAnswer *answer = answered(&bench->study, *state);
    assert_true(answer->precise);
    assert_true(answer->tally.trials < 1000);
    assert_true(answer->area.high - answer->area.low <= 2 * 0.15 * answer->area.step);
}

static void two_hides_hold_what_one_does_not(void **state)
{
    Bench *bench = bench_of(2, *state);
    bench->study.trials = 32;
    const StudyAnswer *one = answered(&bench->study, *state);
    bench->study.hides = 2;
    const StudyAnswer *two = answered(&bench->study, *state);
    // On each of two hides one cover; both must be large enough.
    const int truth = step_of(exp(2 * most_stretched * sqrt(0.9)));
    assert_in_range(two->area.step, truth - 3, truth + 2);
    assert_true(one->area.step > two->area.step);
}

// One look for each trial; no more of them than it takes to know that the area is not enough.
static void a_glance_looks_once(void **state)
{
    Bench *bench = bench_of(1, *state);
    int drawn = 0;
    bench->study.context = &drawn;
    bench->study.trials = 32;
    bench->study.threads = 1;
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    const double shares[] = {0.3, 0.6, 0.97};
    for (int i = 0; i < 3; i++) {
        const int step = step_of(exp(2 * most_stretched * shares[i]));
        StudyGlance glance;
        drawn = 0;
        assert_true(study_glance(&bench->study, step, NULL, scratch, &glance, problems_in(*state)));
        assert_int_equal(drawn, glance.trials);
        assert_int_equal(glance.decided, shares[i] < 0.9);
        assert_true(glance.decided ? glance.trials < 32 : glance.trials == 32);
        int room = 0;
        for (int k = 0; k < glance.trials; k++) {
            const HideAsked asked = {.seed = 5, .trial = (uint64_t)k};
            room += step_of(exp(2 * stretched(&asked))) <= step ? 1 : 0;
        }
        assert_in_range(glance.enough, room - 1, room);
    }
    arena_destroy(scratch);
}

static void a_stop_keeps_what_is_known(void **state)
{
    Bench *bench = bench_of(1, *state);
    bench->study.threads = 1;
    bench->study.trials = 5000;
    int behind_pilot = 0;
    for (int after = 0; after < 460; after += 45 * (STRIDE + 1)) {
        Stop stop = {0, after};
        const Progress progress = {stop_after, &stop};
        Problems *problems = problems_in(*state);
        Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
        StudyAnswer *answer = ARENA_NEW(*state, StudyAnswer);
        const bool any = study_run(&bench->study, &progress, scratch, answer, problems);
        arena_destroy(scratch);
        assert_int_equal(any, after > 0);
        if (any) {
            assert_true(answer->stopped);
            assert_in_range(answer->tally.trials, 1, 600);
            behind_pilot += answer->tally.trials > 32 ? 1 : 0;
        } else {
            assert_int_equal(problems->items[0].kind, PROBLEM_CANCELLED);
        }
    }
    assert_true(behind_pilot > 0);
}

// What a watcher was told.
typedef struct Told {
    int count;
    int trials;
    StudyAnswer *last;
} Told;

static void hear(void *context, const StudyAnswer *so_far)
{
    Told *told = context;
    assert_true(so_far->tally.trials >= told->trials);
    told->trials = so_far->tally.trials;
    told->count++;
    *told->last = *so_far;
}

static void who_looks_on_is_told_more_and_more(void **state)
{
    Bench *bench = bench_of(1, *state);
    const StudyAnswer *alone = answered(&bench->study, *state);
    Told told = {0, 0, ARENA_NEW(*state, StudyAnswer)};
    const StudyWatch watch = {hear, &told};
    bench->study.watch = &watch;
    const StudyAnswer *watched = answered(&bench->study, *state);
    assert_int_equal(told.count, 3); // coarse, the first batch, the second
    assert_memory_equal(&told.last->tally, &watched->tally, sizeof watched->tally);
    assert_memory_equal(&alone->tally, &watched->tally, sizeof watched->tally);
    assert_int_equal(told.last->area.step, watched->area.step);
}

static void a_stop_keeps_as_many_trials_as_were_told(void **state)
{
    Bench *bench = bench_of(1, *state);
    bench->study.threads = 1;
    Told told = {0, 0, ARENA_NEW(*state, StudyAnswer)};
    const StudyWatch watch = {hear, &told};
    bench->study.watch = &watch;
    int stopped_in_second_look = 0;
    for (int after = 20; after < 400; after += 40 * STRIDE) {
        Stop stop = {0, after};
        const Progress progress = {stop_after, &stop};
        Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
        StudyAnswer *answer = ARENA_NEW(*state, StudyAnswer);
        told.count = told.trials = 0;
        if (study_run(&bench->study, &progress, scratch, answer, problems_in(*state))) {
            assert_int_equal(answer->tally.trials, told.trials);
            stopped_in_second_look += answer->stopped && told.count == 2;
        }
        arena_destroy(scratch);
    }
    assert_true(stopped_in_second_look > 0);
}

static void a_hide_that_cannot_be_drawn_is_told(void **state)
{
    Bench *bench = bench_of(1, *state);
    bench->study.draw = draw_nothing;
    Problems *problems = problems_in(*state);
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    StudyAnswer *answer = ARENA_NEW(*state, StudyAnswer);
    assert_false(study_run(&bench->study, NULL, scratch, answer, problems));
    arena_destroy(scratch);
    assert_int_equal(problems->items[0].kind, PROBLEM_SYSTEM);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(each_trial_finds_its_own_area),
        TEST_IN_ARENA(the_area_is_the_one_known),
        TEST_IN_ARENA(threads_do_not_change_the_answer),
        TEST_IN_ARENA(shards_together_are_the_whole),
        TEST_IN_ARENA(it_ends_when_it_is_precise),
        TEST_IN_ARENA(two_hides_hold_what_one_does_not),
        TEST_IN_ARENA(a_glance_looks_once),
        TEST_IN_ARENA(a_stop_keeps_what_is_known),
        TEST_IN_ARENA(who_looks_on_is_told_more_and_more),
        TEST_IN_ARENA(a_stop_keeps_as_many_trials_as_were_told),
        TEST_IN_ARENA(a_hide_that_cannot_be_drawn_is_told),
    };
    return cmocka_run_group_tests_name("buying/study", tests, NULL, NULL);
}
