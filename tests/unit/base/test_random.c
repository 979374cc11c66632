#include "base/random.h"

#include "support/check.h"

static void a_stream_is_the_same_each_time_and_unlike_its_neighbours(void **state)
{
    (void)state;
    Random a = random_begin(1, 2, 3);
    Random b = random_begin(1, 2, 3);
    Random c = random_begin(1, 3, 2);
    int alike = 0;
    for (int i = 0; i < 1000; i++) {
        const uint64_t bits = random_bits(&a);
        assert_true(bits == random_bits(&b));
        alike += bits == random_bits(&c);
    }
    assert_int_equal(alike, 0);
}

// xoshiro256++ from the state 1, 2, 3, 4: the first outputs follow from its
// definition (Blackman and Vigna 2021): rotl(1 + 4, 23) + 1 = 41943041, and so on.
static void the_first_draws_follow_the_definition(void **state)
{
    (void)state;
    Random random = {{1, 2, 3, 4}};
    assert_true(random_bits(&random) == 41943041U);
    assert_true(random_bits(&random) == 58720359U);
    assert_true(random_bits(&random) == 3588806011781223U);
}

// Chi-square with 9 degrees of freedom: 27.9 is exceeded once in a thousand.
static void small_numbers_are_even(void **state)
{
    (void)state;
    Random random = random_begin(7, 0, 0);
    int counts[10] = {0};
    for (int i = 0; i < 100000; i++) {
        counts[random_below(&random, 10)]++;
    }
    double chi2 = 0;
    for (int i = 0; i < 10; i++) {
        chi2 += (counts[i] - 1e4) * (counts[i] - 1e4) / 1e4;
    }
    assert_true(chi2 < 27.9);
}

static void shares_stay_in_their_range(void **state)
{
    (void)state;
    Random random = random_begin(8, 0, 0);
    double sum = 0;
    for (int i = 0; i < 100000; i++) {
        const double share = random_between(&random, -2, 3);
        assert_true(share >= -2 && share < 3);
        sum += share;
    }
    CHECK_NEAR(sum / 1e5, 0.5, 0.02); // 4 standard errors
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_stream_is_the_same_each_time_and_unlike_its_neighbours),
        cmocka_unit_test(the_first_draws_follow_the_definition),
        cmocka_unit_test(small_numbers_are_even),
        cmocka_unit_test(shares_stay_in_their_range),
    };
    return cmocka_run_group_tests_name("base/random", tests, NULL, NULL);
}
