#include "base/laws.h"

#include "support/check.h"

// Values to 16 digits by another implementation of the same algorithm and, to 5 digits, by the
// tables of any handbook (Abramowitz and Stegun 1964, table 26.5: 1.95996, 2.57583, 3.09023).
static void quantiles_agree_with_tables(void **state)
{
    (void)state;
    const struct {
        double share;
        double quantile;
    } rows[] = {
        {0.5, 0.0},
        {0.6, 0.2533471031357997},
        {0.075, -1.4395314709384563},
        {0.925, 1.4395314709384572},
        {0.975, 1.9599639845400536},
        {0.995, 2.5758293035489},
        {1e-3, -3.090232306167813},
        {1e-10, -6.361340902404056},
        {1e-20, -9.262340089798409},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        CHECK_NEAR(normal_quantile(rows[i].share), rows[i].quantile, 2e-14);
    }
}

// The quantile undoes the normal distribution of the C library.
static void quantiles_undo_the_distribution(void **state)
{
    (void)state;
    Random random = random_begin(3, 0, 0);
    for (int i = 0; i < 10000; i++) {
        const double share = random_share(&random) + 1e-9;
        const double z = normal_quantile(share < 1 ? share : 0.5);
        CHECK_NEAR(0.5 * erfc(-z * sqrt(0.5)), share < 1 ? share : 0.5, 1e-13);
    }
}

static void normal_numbers_stay_within(void **state)
{
    (void)state;
    Random random = random_begin(4, 0, 0);
    double sum = 0;
    double squares = 0;
    enum { DRAWS = 100000 };
    for (int i = 0; i < DRAWS; i++) {
        const double z = random_normal_within(&random, 2);
        assert_true(fabs(z) <= 2);
        sum += z;
        squares += z * z;
    }
    // Variance of a normal number cut at +-c: 1 - 2 c f(c) / (2 F(c) - 1); c = 2: 0.77374
    // (Johnson, Kotz and Balakrishnan 1994, section 13.10.1). Six standard errors.
    CHECK_NEAR(sum / DRAWS, 0, 6 * sqrt(0.77374 / DRAWS));
    CHECK_NEAR(squares / DRAWS, 0.77374, 6 * 0.8 / sqrt(DRAWS));
}

static void gamma_has_its_moments(void **state)
{
    (void)state;
    const double shapes[] = {0.5, 1.67, 3.1, 27.7};
    enum { DRAWS = 100000 };
    for (int k = 0; k < 4; k++) {
        Random random = random_begin(5, (uint64_t)k, 0);
        double sum = 0;
        double squares = 0;
        double logs = 0;
        for (int i = 0; i < DRAWS; i++) {
            const double value = random_gamma(&random, shapes[k]);
            assert_true(value > 0);
            sum += value;
            squares += value * value;
            logs += log(value);
        }
        const double variance = 1 / shapes[k];
        CHECK_NEAR(sum / DRAWS, 1, 6 * sqrt(variance / DRAWS));
        // Excess kurtosis of a gamma number is 6 / shape.
        const double mean = sum / DRAWS;
        CHECK_NEAR(squares / DRAWS - mean * mean, variance,
                   6 * variance * sqrt((2 + 6 * variance) / DRAWS));
        // E ln = digamma(shape) - ln shape, about -1/(2 s) - 1/(12 s^2) + 1/(120 s^4) from s = 3
        // on.
        if (shapes[k] > 3) {
            const double s = shapes[k];
            CHECK_NEAR(logs / DRAWS, -1 / (2 * s) - 1 / (12 * s * s) + 1 / (120 * pow(s, 4)),
                       6 * sqrt((1 / s + 0.5 / (s * s) + 0.1) / DRAWS));
        }
    }
}

// Chi-square by counts 0 to 9 and more; 10 degrees of freedom at most: 60 is exceeded once in
// 4e8 times.
static void poisson_counts_follow_the_law(void **state)
{
    (void)state;
    enum { DRAWS = 50000, BINS = 10 };
    Random random = random_begin(6, 0, 0);
    const double mean = 3.83;
    int found[BINS + 1] = {0};
    for (int i = 0; i < DRAWS; i++) {
        const int count = random_poisson(&random, mean);
        found[count < BINS ? count : BINS]++;
    }
    double chi2 = 0;
    double rest = 1;
    double chance = exp(-mean);
    for (int count = 0; count <= BINS; count++) {
        const double wanted = DRAWS * (count < BINS ? chance : rest);
        chi2 += (found[count] - wanted) * (found[count] - wanted) / wanted;
        rest -= chance;
        chance *= mean / (count + 1);
    }
    assert_true(chi2 < 60);
}

static void counts_spread_as_the_dispersion_says(void **state)
{
    (void)state;
    enum { DRAWS = 100000 };
    Random random = random_begin(8, 0, 0);
    const double mean = 40.7;
    const double dispersion = 27.7;
    double sum = 0;
    double squares = 0;
    for (int i = 0; i < DRAWS; i++) {
        const double count = random_count(&random, mean, dispersion);
        sum += count;
        squares += count * count;
    }
    const double variance = mean + mean * mean / dispersion;
    CHECK_NEAR(sum / DRAWS, mean, 6 * sqrt(variance / DRAWS));
    CHECK_NEAR(squares / DRAWS - pow(sum / DRAWS, 2), variance, 6 * variance * 1.6 / sqrt(DRAWS));
}

// Common luck: the same stream under a larger mean gives no smaller count, and the next
// number of the stream is the same.
static void a_larger_mean_never_gives_less(void **state)
{
    (void)state;
    for (uint64_t trial = 0; trial < 2000; trial++) {
        Random a = random_begin(9, trial, 0);
        Random b = random_begin(9, trial, 0);
        const double mean = (double)trial * 0.05;
        assert_true(random_count(&a, mean, 3.1) <= random_count(&b, mean * 1.2, 3.1));
        assert_true(random_bits(&a) == random_bits(&b));
    }
}

static void the_ends_of_the_range_are_counted(void **state)
{
    (void)state;
    Random random = random_begin(10, 0, 0);
    double sum = 0;
    for (int i = 0; i < 1000; i++) {
        assert_int_equal(random_poisson(&random, 0), 0);
        sum += random_poisson(&random, 500);
    }
    CHECK_NEAR(sum / 1000, 500, 6 * sqrt(500.0 / 1000));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(quantiles_agree_with_tables),
        cmocka_unit_test(quantiles_undo_the_distribution),
        cmocka_unit_test(normal_numbers_stay_within),
        cmocka_unit_test(gamma_has_its_moments),
        cmocka_unit_test(poisson_counts_follow_the_law),
        cmocka_unit_test(counts_spread_as_the_dispersion_says),
        cmocka_unit_test(a_larger_mean_never_gives_less),
        cmocka_unit_test(the_ends_of_the_range_are_counted),
    };
    return cmocka_run_group_tests_name("base/laws", tests, NULL, NULL);
}
