#include "base/random.h"
#include "buying/money.h"

#include "support/check.h"

// ISO 4217: two decimals, but none in yen, three in the Kuwaiti dinar.
static void decimals_of_currencies(void **state)
{
    (void)state;
    assert_int_equal(currency_decimals("EUR"), 2);
    assert_int_equal(currency_decimals("USD"), 2);
    assert_int_equal(currency_decimals("JPY"), 0);
    assert_int_equal(currency_decimals("KWD"), 3);
    assert_int_equal(currency_decimals(NULL), 2);
    // Letters across two codes of the list are no code.
    assert_int_equal(currency_decimals("FCL"), 2);
}

static void codes_are_three_capitals(void **state)
{
    (void)state;
    assert_true(currency_is_code("EUR"));
    static const char *const wrong[] = {"", "E", "EU", "EURO", "eur", "E R", "€", "EU1"};
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        assert_false(currency_is_code(wrong[i]));
    }
}

static void amounts_are_read_to_the_last_cent(void **state)
{
    (void)state;
    Money money = -1;
    assert_true(money_from_number(12.35, 2, &money));
    assert_int_equal(money, 1235);
    assert_true(money_from_number(0.29, 2, &money)); // 28.999... in doubles
    assert_int_equal(money, 29);
    assert_true(money_from_number(999999.999, 3, &money));
    assert_int_equal(money, 999999999);
    assert_false(money_from_number(12.345, 2, &money));
    assert_false(money_from_number(0.5, 0, &money));
    assert_false(money_from_number(999999.9999, 3, &money));
    assert_int_equal(money, 999999999);
}

// Every cent up to 20 000, and cents near the top, come back as they were.
static void amounts_come_back(void **state)
{
    (void)state;
    for (Money cents = 0; cents < 2000000; cents++) {
        Money back = -1;
        assert_true(money_from_number(money_to_number(cents, 2), 2, &back));
        assert_int_equal(back, cents);
    }
    for (Money cents = 99990000; cents <= 100000000; cents++) {
        Money back = -1;
        assert_true(money_from_number(money_to_number(cents, 2), 2, &back));
        assert_int_equal(back, cents);
    }
}

static void halves_are_rounded_away_from_zero(void **state)
{
    (void)state;
    assert_int_equal(money_times(950, 211, 4), 50113); // 50112.5
    assert_int_equal(money_times(1, 1, 2), 1);
    assert_int_equal(money_times(1, 1, 3), 0);
    assert_int_equal(money_times(2, 1, 3), 1);
    assert_int_equal(money_times(-1, 1, 2), -1);
    assert_int_equal(money_share(12345, 190000), 2346);   // 2345.55
    assert_int_equal(money_share(50, 10000), 1);          // 0.5
    assert_int_equal(money_share(49, 10000), 0);          // 0.49
    assert_int_equal(money_share(-12345, 190000), -2346); // as the positive one
    assert_int_equal(money_share(250000000, 190000), 47500000);
}

// In two steps or in one, the share is the same; and it is right where one step would
// leave 64 bits.
static void shares_agree_with_the_plain_product(void **state)
{
    (void)state;
    Random random = random_begin(5, 0, 0);
    for (int i = 0; i < 100000; i++) {
        const Money amount = (Money)(random_share(&random) * 9e12);
        const int64_t millionths = (int64_t)(random_share(&random) * 1e6);
        assert_int_equal(money_share(amount, millionths), (amount * millionths + 500000) / 1000000);
    }
    assert_int_equal(money_share(INT64_C(4000000000000000000), 500000),
                     INT64_C(2000000000000000000));
    assert_int_equal(share_millionths(0.19), 190000);
    assert_int_equal(share_millionths(0.081), 81000);
}

static void amounts_as_text(void **state)
{
    assert_string_equal(money_text(123450, "EUR", *state), "1234.50 EUR");
    assert_string_equal(money_text(5, "EUR", *state), "0.05 EUR");
    assert_string_equal(money_text(-1205, "USD", *state), "-12.05 USD");
    assert_string_equal(money_text(1200, "JPY", *state), "1200 JPY");
    assert_string_equal(money_text(1200, "KWD", *state), "1.200 KWD");
    assert_string_equal(money_text(0, NULL, *state), "0.00");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(decimals_of_currencies),
        cmocka_unit_test(codes_are_three_capitals),
        cmocka_unit_test(amounts_are_read_to_the_last_cent),
        cmocka_unit_test(amounts_come_back),
        cmocka_unit_test(halves_are_rounded_away_from_zero),
        cmocka_unit_test(shares_agree_with_the_plain_product),
        TEST_IN_ARENA(amounts_as_text),
    };
    return cmocka_run_group_tests_name("buying/money", tests, NULL, NULL);
}
