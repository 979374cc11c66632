#include "hide/guess.h"

#include "support/check.h"

static bool guessed(double written, LengthUnit unit, double meant)
{
    double guesses[GUESSES_MAX];
    const int count = guess_meant(written, unit, guesses);
    assert_true(count <= GUESSES_MAX);
    for (int i = 0; i < count; i++) {
        if (fabs(guesses[i] - meant) < 1e-6 * fabs(meant)) {
            return true;
        }
    }
    return false;
}

static void digits_are_mended(void **state)
{
    (void)state;
    assert_true(guessed(4570, LENGTH_MM, 457));    // a nought too many
    assert_true(guessed(46, LENGTH_MM, 460));      // one lost
    assert_true(guessed(4557, LENGTH_MM, 457));    // a digit doubled
    assert_true(guessed(547, LENGTH_MM, 457));     // the first two swapped
    assert_true(guessed(475, LENGTH_MM, 457));     // the last two
    assert_true(guessed(57, LENGTH_MM, 457));      // the first digit lost
    assert_true(guessed(47, LENGTH_MM, 457));      // one in the middle
    assert_true(guessed(45, LENGTH_MM, 457));      // the last one
    assert_true(guessed(0, LENGTH_MM, 300));       // 00 for 300
    assert_true(guessed(-27, LENGTH_MM, -270));    // behind the root of the tail
    assert_true(guessed(24.25, LENGTH_IN, 42.25)); // the fraction stays
    assert_false(guessed(457, LENGTH_MM, 600));
}

static void units_are_mended(void **state)
{
    (void)state;
    assert_true(guessed(18, LENGTH_MM, 457.2));  // inches among mm
    assert_true(guessed(1.5, LENGTH_MM, 457.2)); // feet among mm
    assert_true(guessed(46, LENGTH_MM, 460));    // cm among mm
    assert_true(guessed(457.2, LENGTH_IN, 18));  // mm among inches
    assert_true(guessed(3.5, LENGTH_IN, 42));    // feet among inches
}

static void inches_that_come_back_from_mm_keep_their_digits(void **state)
{
    (void)state;
    assert_true(guessed(nextafter(24, 0), LENGTH_IN, 42));
}

static void any_number_is_taken(void **state)
{
    (void)state;
    const double values[] = {0, 0.4, -0.4, 9, 999999, 1e6, -1e6, 1e15, 123456.78};
    double guesses[GUESSES_MAX];
    for (int i = 0; i < 9; i++) {
        assert_true(guess_meant(values[i], LENGTH_MM, guesses) <= GUESSES_MAX);
        assert_true(guess_meant(values[i], LENGTH_IN, guesses) <= GUESSES_MAX);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(digits_are_mended),
        cmocka_unit_test(units_are_mended),
        cmocka_unit_test(inches_that_come_back_from_mm_keep_their_digits),
        cmocka_unit_test(any_number_is_taken),
    };
    return cmocka_run_group_tests_name("hide/guess", tests, NULL, NULL);
}
