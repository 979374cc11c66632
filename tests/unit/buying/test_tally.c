// Intervals against published values, and what a tally of brackets says.
#include "base/random.h"
#include "buying/tally.h"
#include "support/check.h"

#include <math.h>

// Newcombe, Two-sided confidence intervals for the single proportion, Statistics in Medicine 17
// (1998), table I, method 3 (score interval without continuity correction), 95 %; values from
// memory, checked by solving (share - p)^2 = z^2 p (1 - p) / n.
static void the_score_interval_is_the_published_one(void **state)
{
    (void)state;
    const struct {
        double happened;
        double trials;
        double low;
        double high;
    } known[] = {{81, 263, 0.2553, 0.3662},
                 {15, 148, 0.0624, 0.1605},
                 {0, 20, 0.0000, 0.1611},
                 {1, 29, 0.0061, 0.1718}};
    for (int i = 0; i < 4; i++) {
        const Chance chance = chance_of(known[i].happened, known[i].trials, 1.959964);
        CHECK_NEAR(chance.low, known[i].low, 6e-5);
        CHECK_NEAR(chance.high, known[i].high, 6e-5);
    }
}

// Both ends solve the equation that defines them.
static void the_ends_solve_the_score_equation(void **state)
{
    (void)state;
    for (int n = 1; n <= 400; n += 57) {
        for (int x = 0; x <= n; x += 13) {
            const Chance chance = chance_of(x, n, 1.96);
            const double ends[] = {chance.low, chance.high};
            for (int k = 0; k < 2; k++) {
                const double p = ends[k];
                const double off = chance.share - p;
                CHECK_NEAR(off * off, 1.96 * 1.96 * p * (1 - p) / n, 1e-9);
            }
        }
    }
}

static void nothing_is_known_without_trials(void **state)
{
    (void)state;
    const Chance chance = chance_of(0, 0, 1.96);
    assert_true(chance.low == 0 && chance.high == 1);
}

static void an_area_counts_the_trials_that_fit(void **state)
{
    Tally *tally = ARENA_NEW(*state, Tally);
    for (int i = 0; i < 100; i++) {
        tally_add(tally, (Bracket){49 + i / 10, 50 + i / 10}, i % 4 == 0); // ten at each of 50..59
    }
    assert_int_equal(tally->careful, 25);
    CHECK_NEAR(tally_chance(tally, 49, 1.96).share, 0, 0);
    CHECK_NEAR(tally_chance(tally, 50, 1.96).share, 0.1, 1e-12);
    CHECK_NEAR(tally_chance(tally, 54, 1.96).share, 0.5, 1e-12);
    CHECK_NEAR(tally_chance(tally, 80, 1.96).share, 1, 1e-12);
    const AreaFor area = tally_area_for(tally, 0.8, 1.96);
    assert_int_equal(area.step, 57);
    assert_true(area.low <= area.step && area.high > area.step && area.high <= 59);
}

// Between its ends a wide bracket counts in part; without an upper end not at all.
static void a_wide_bracket_counts_in_part(void **state)
{
    Tally *tally = ARENA_NEW(*state, Tally);
    tally_add(tally, (Bracket){39, 43}, false);
    tally_add(tally, (Bracket){60, AREA_STEPS}, false);
    CHECK_NEAR(tally_chance(tally, 39, 1.96).share, 0, 0);
    CHECK_NEAR(tally_chance(tally, 41, 1.96).share, 0.25, 1e-12);
    CHECK_NEAR(tally_chance(tally, 43, 1.96).share, 0.5, 1e-12);
    CHECK_NEAR(tally_chance(tally, AREA_STEPS - 1, 1.96).share, 0.5, 1e-12);
    assert_int_equal(tally_area_for(tally, 0.95, 1.96).step, AREA_STEPS);
}

// Areas of a known law, many times: the interval for the area must hold the true one in about
// 95 of 100 cases. It is inverted from score intervals, so a little more or less is right.
static void the_interval_holds_the_true_area(void **state)
{
    Tally *tally = ARENA_NEW(*state, Tally);
    const double truth = 80 + 40 * 0.9; // areas even from 80 to 120 steps
    int held = 0;
    enum { STUDIES = 1000, TRIALS = 120 };
    for (int study = 0; study < STUDIES; study++) {
        Random random = random_begin(17, (uint64_t)study, 0);
        *tally = (Tally){0};
        for (int i = 0; i < TRIALS; i++) {
            const int fits = (int)ceil(random_between(&random, 80, 120));
            tally_add(tally, (Bracket){fits - 1, fits}, false);
        }
        const AreaFor area = tally_area_for(tally, 0.9, 1.96);
        held += area.low <= truth + 1e-9 && area.high >= truth - 1e-9 ? 1 : 0;
    }
    // Expected 950, sd 7: 6 sd either way, and some for the steps.
    assert_in_range(held, 900, 995);
}

static void chances_are_said_as_people_say_them(void **state)
{
    (void)state;
    assert_string_equal(chance_words(1), "practically always");
    assert_string_equal(chance_words(0.95), "19 times in 20");
    assert_string_equal(chance_words(0.67), "2 times in 3");
    assert_string_equal(chance_words(0.5), "1 time in 2");
    assert_string_equal(chance_words(0), "hardly ever");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_score_interval_is_the_published_one),
        cmocka_unit_test(the_ends_solve_the_score_equation),
        cmocka_unit_test(nothing_is_known_without_trials),
        TEST_IN_ARENA(an_area_counts_the_trials_that_fit),
        TEST_IN_ARENA(a_wide_bracket_counts_in_part),
        TEST_IN_ARENA(the_interval_holds_the_true_area),
        cmocka_unit_test(chances_are_said_as_people_say_them),
    };
    return cmocka_run_group_tests_name("buying/tally", tests, NULL, NULL);
}
