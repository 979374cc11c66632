// What changes save, on rectangles where it is known by arithmetic.
#include "buying/thrift.h"

#include "buying/need.h"
#include "rectangles.h"
#include "support/check.h"
#include "support/stop.h"

enum { SMALLER, NO_CHANGE, LARGER, OPTIONS };

typedef struct Bench {
    Rectangles now;
    Rectangles smaller;
    Rectangles larger;
    Study study;
    ThriftOption options[OPTIONS];
    ThriftTask task;
} Bench;

static const double comfort = 0.75;

static Bench *bench_of(Arena *keep)
{
    Bench *bench = ARENA_NEW(keep, Bench);
    rectangles_begin(&bench->now, 1, cover_mm, keep);
    rectangles_begin(&bench->smaller, 1, 0.9 * cover_mm, keep);
    rectangles_begin(&bench->larger, 1, 1.1 * cover_mm, keep);
    bench->study = (Study){.demands = &bench->now.demand,
                           .demand_count = 1,
                           .rules = &bench->now.rules,
                           .form = HIDE_WHOLE,
                           .hides = 1,
                           .draw = draw_rectangle,
                           .care = room_care_default(),
                           .seed = 5,
                           .comfort = comfort,
                           .trials = 1,
                           .threads = 2,
                           .shards = 1};
    bench->study.care.careful_work = 0.01;
    bench->options[SMALLER] = (ThriftOption){&bench->smaller.demand, 1, &bench->now.rules};
    bench->options[NO_CHANGE] = (ThriftOption){&bench->now.demand, 1, &bench->now.rules};
    bench->options[LARGER] = (ThriftOption){&bench->larger.demand, 1, &bench->now.rules};
    bench->task = (ThriftTask){&bench->study, bench->options, OPTIONS, 24};
    return bench;
}

static ThriftAnswer thrift_of(const Bench *bench, Arena *keep)
{
    ThriftAnswer answer;
    Problems *problems = problems_in(keep);
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    assert_true(thrift_run(&bench->task, NULL, keep, scratch, &answer, problems));
    arena_destroy(scratch);
    return answer;
}

// A rectangle needs cover² e^(2 u), u even over 0 to 0.2. Those picked lie about the share 0.75
// of all, so their mean need is near cover² e^(0.3).
static void savings_are_the_ones_known(void **state)
{
    const Bench *bench = bench_of(*state);
    const ThriftAnswer answer = thrift_of(bench, *state);
    const double need_mm2 = cover_mm * cover_mm * exp(2 * most_stretched * comfort);
    assert_int_equal(answer.drawn, 4 * 24);
    assert_int_equal(answer.picked, 24);
    assert_true(answer.from_mm2 < need_mm2 && need_mm2 < answer.to_mm2 + 4 * area_step_mm2);
    const ThriftTold *smaller = &answer.told[SMALLER];
    const ThriftTold *larger = &answer.told[LARGER];
    assert_true(smaller->saves && !larger->saves);
    assert_int_equal(smaller->pairs, 24);
    CHECK_NEAR(smaller->mean_mm2, need_mm2 * (1 - 0.81), 0.25 * area_step_mm2);
    assert_true(smaller->low_mm2 < need_mm2 * (1 - 0.81) &&
                need_mm2 * (1 - 0.81) < smaller->high_mm2);
    CHECK_NEAR(larger->mean_mm2, need_mm2 * (1 - 1.21), 0.25 * area_step_mm2);
    assert_true(larger->given_up && larger->pairs < 24);
}

// The same hides are searched twice in the same way, so luck plays no part.
static void no_change_saves_nothing(void **state)
{
    const Bench *bench = bench_of(*state);
    const ThriftAnswer answer = thrift_of(bench, *state);
    const ThriftTold *told = &answer.told[NO_CHANGE];
    assert_true(told->mean_mm2 == 0 && told->low_mm2 < 0 && told->high_mm2 > 0);
    assert_true(!told->saves && told->given_up);
}

static void threads_do_not_change_the_answer(void **state)
{
    Bench *bench = bench_of(*state);
    bench->task.pairs = 12;
    bench->study.threads = 1;
    const ThriftAnswer one = thrift_of(bench, *state);
    bench->study.threads = 3;
    const ThriftAnswer three = thrift_of(bench, *state);
    for (int i = 0; i < OPTIONS; i++) {
        assert_int_equal(one.told[i].pairs, three.told[i].pairs);
        assert_true(one.told[i].mean_mm2 == three.told[i].mean_mm2);
        assert_true(one.told[i].low_mm2 == three.told[i].low_mm2);
    }
}

static void a_need_lies_in_its_bracket(void **state)
{
    const Bench *bench = bench_of(*state);
    Problems *problems = problems_in(*state);
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    for (int guess = 0; guess < AREA_STEPS; guess += 33) {
        Need needs[6];
        for (int i = 0; i < 6; i++) {
            needs[i] = (Need){.trial = (uint64_t)i, .guess = guess};
        }
        assert_true(needs_find(&bench->study, 1, needs, 6, NULL, scratch, problems));
        for (int i = 0; i < 6; i++) {
            const HideAsked asked = {.seed = 5, .trial = (uint64_t)i};
            const double need_mm2 = cover_mm * cover_mm * exp(2 * stretched(&asked));
            assert_true(needs[i].done);
            assert_int_equal(needs[i].bracket.fits - needs[i].bracket.failed, 1);
            assert_int_equal(needs[i].bracket.fits, (int)ceil(need_mm2 / area_step_mm2));
        }
    }
    arena_destroy(scratch);
}

static void a_stop_keeps_what_is_known(void **state)
{
    Bench *bench = bench_of(*state);
    bench->study.threads = 1;
    bench->task.pairs = 24;
    int seen[3] = {0};
    for (int after = 0; after < 2000; after += 97 * STRIDE) {
        Stop stop = {0, after};
        const Progress progress = {stop_after, &stop};
        Problems *problems = problems_in(*state);
        Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
        ThriftAnswer answer;
        const bool any = thrift_run(&bench->task, &progress, *state, scratch, &answer, problems);
        arena_destroy(scratch);
        if (!any) {
            assert_int_equal(problems->items[0].kind, PROBLEM_CANCELLED);
            seen[0]++;
        } else if (answer.stopped) {
            assert_in_range(answer.told[SMALLER].pairs, 1, 24);
            assert_true(answer.told[NO_CHANGE].pairs <= answer.told[SMALLER].pairs);
            seen[1]++;
        } else {
            assert_int_equal(answer.told[SMALLER].pairs, 24);
            seen[2]++;
        }
    }
    assert_true(seen[0] > 0 && seen[1] > 0);
}

// Student's t at 0.975 and 0.995: NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.2, upper
// critical values of Student's t distribution.
static void student_quantiles(void **state)
{
    (void)state;
    CHECK_NEAR(student_quantile(0.975, 10), 2.228, 0.002);
    CHECK_NEAR(student_quantile(0.975, 30), 2.042, 0.001);
    CHECK_NEAR(student_quantile(0.995, 10), 3.169, 0.005);
    CHECK_NEAR(student_quantile(0.995, 30), 2.750, 0.001);
    CHECK_NEAR(student_quantile(0.975, 1000000), 1.95996, 1e-4);
}

static void intervals_as_reckoned_by_hand(void **state)
{
    (void)state;
    // 12 differences, mean 2, deviation sqrt(12 / 11): t(11) at 0.975 is 2.201.
    const int differences[12] = {1, 3, 1, 3, 1, 3, 1, 3, 1, 3, 1, 3};
    const ThriftTold told = thrift_told(differences, 12, 1, 10);
    CHECK_NEAR(told.mean_mm2, 20, 1e-12);
    CHECK_NEAR(told.high_mm2 - told.mean_mm2, 10 * 2.201 * sqrt(12.0 / 11 / 12), 0.01);
    assert_true(told.saves);
    // More comparisons, a wider interval.
    assert_true(thrift_told(differences, 12, 20, 10).low_mm2 < told.low_mm2);
    // All alike: still no better known than to a rounding.
    const int alike[4] = {1, 1, 1, 1};
    assert_true(thrift_told(alike, 4, 1, 10).low_mm2 < 10);
    const int none[4] = {0};
    assert_true(thrift_told(none, 4, 1, 10).high_mm2 > 0);
    const int one[1] = {9};
    assert_false(thrift_told(one, 1, 1, 10).saves);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(savings_are_the_ones_known),       TEST_IN_ARENA(no_change_saves_nothing),
        TEST_IN_ARENA(threads_do_not_change_the_answer), TEST_IN_ARENA(a_need_lies_in_its_bracket),
        TEST_IN_ARENA(a_stop_keeps_what_is_known),       cmocka_unit_test(student_quantiles),
        cmocka_unit_test(intervals_as_reckoned_by_hand),
    };
    return cmocka_run_group_tests_name("buying/thrift", tests, NULL, NULL);
}
