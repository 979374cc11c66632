#include "base/number.h"

#include "support/comma_locale.h"

#include <string.h>

typedef struct Readable {
    const char *text;
    double value;
    NumberUnit unit;
} Readable;

static const Readable readable[] = {
    {"18", 18, NUMBER_BARE},       {"18.5", 18.5, NUMBER_BARE},
    {"18,5", 18.5, NUMBER_BARE},   {"18 1/2", 18.5, NUMBER_BARE},
    {"18-1/2", 18.5, NUMBER_BARE}, {"18  1/2\"", 18.5, NUMBER_IN},
    {"18½", 18.5, NUMBER_BARE},    {"18 ½ in", 18.5, NUMBER_IN},
    {"18-½", 18.5, NUMBER_BARE},   {"3/16", 0.1875, NUMBER_BARE},
    {"5/4", 1.25, NUMBER_BARE},    {"⅞", 0.875, NUMBER_BARE},
    {"-1/8", -0.125, NUMBER_BARE}, {"+2", 2, NUMBER_BARE},
    {" 470 mm ", 470, NUMBER_MM},  {"47cm", 47, NUMBER_CM},
    {"1.2 m", 1.2, NUMBER_M},      {"7'", 7, NUMBER_FT},
    {"7 feet", 7, NUMBER_FT},      {".5", 0.5, NUMBER_BARE},
    {"0.1", 0.1, NUMBER_BARE},     {"1234.56789", 1234.56789, NUMBER_BARE},
    {"18 in.", 18, NUMBER_IN},
};

static void numbers_are_read_as_people_write_them(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof readable / sizeof *readable; i++) {
        Number number = {-1, NUMBER_BARE};
        const char *fault = number_read(readable[i].text, &number);
        if (fault || number.value != readable[i].value || number.unit != readable[i].unit) {
            print_error("\"%s\": %s, %.17g\n", readable[i].text, fault ? fault : "read",
                        number.value);
            fail();
        }
    }
}

static const char *const refused[][2] = {
    {"", "it is empty"},
    {"   ", "it is empty"},
    {"x", "it is not a number"},
    {"1/0", "the fraction has the denominator 0"},
    {"1/", "a digit is missing behind the fraction's slash"},
    {"18 1/", "a digit is missing behind the fraction's slash"},
    {"18 3/2", "the fraction behind a whole number must be less than 1"},
    {"18 5", "two numbers stand side by side without a fraction"},
    {"18.", "a digit is missing behind the decimal point"},
    {"18.5.2", "it is not a number"},
    {"18.5 1/2", "it is not a number"},
    {"18 mm wide", "there is more behind the unit"},
    {"18 furlongs", "it is not a number"},
    {"--3", "it is not a number"},
    {"nan", "it is not a number"},
    {"inf", "it is not a number"},
    {"1e5", "it is not a number"},
    {"0x10", "it is not a number"},
    {"11111111111111111111111111111111111111111111111111111111111111111",
     "it is too long for a number"},
};

static void other_texts_are_refused_with_the_reason(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof refused / sizeof *refused; i++) {
        Number number = {42, NUMBER_CM};
        const char *fault = number_read(refused[i][0], &number);
        assert_non_null(fault);
        assert_string_equal(fault, refused[i][1]);
        assert_true(number.value == 42 && number.unit == NUMBER_CM);
    }
}

// Source: FACTS of the trade, quarter notation of sellers' pages: the suffix counts
// quarters, so 52.3 means 52.75 ft2; trade guidance, not a standard.
static void stamps_count_quarters(void **state)
{
    (void)state;
    static const Readable stamps[] = {{"52.3", 52.75, 0}, {"50.1", 50.25, 0},   {"48.2", 48.5, 0},
                                      {"52.0", 52, 0},    {"52", 52, 0},        {"52³", 52.75, 0},
                                      {"52¹", 52.25, 0},  {"52 3/4", 52.75, 0}, {"52¾", 52.75, 0},
                                      {"52 1/2", 52.5, 0}};
    for (size_t i = 0; i < sizeof stamps / sizeof *stamps; i++) {
        double area = -1;
        assert_null(stamp_read(stamps[i].text, &area));
        CHECK_NEAR(area, stamps[i].value, 0);
    }
}

static void stamps_without_quarters_are_refused(void **state)
{
    (void)state;
    static const char *const bad[] = {"52.4",   "52.75", "52.9", "",      "x",
                                      "52 1/3", "52.",   "-52",  "52.3.1"};
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        double area = -1;
        assert_non_null(stamp_read(bad[i], &area));
        CHECK_NEAR(area, -1, 0);
    }
}

static void digits_are_read_alone(void **state)
{
    (void)state;
    static const char *const bad[] = {"",   "-1",  "+1",  " 1",
                                      "1 ", "1.0", "0x1", "1234567890123456789"};
    int64_t value = -7;
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        assert_false(digits_read(bad[i], strlen(bad[i]), &value));
        assert_int_equal(value, -7);
    }
    assert_true(digits_read("999999999999999999", 18, &value));
    assert_int_equal(value, 999999999999999999);
    assert_true(digits_read("42\"", 2, &value)); // the quote behind is not looked at
    assert_int_equal(value, 42);
}

static void a_comma_locale_changes_nothing(void **state)
{
    (void)state;
    begin_comma_locale();
    Number number = {0, NUMBER_BARE};
    const char *fault = number_read("18.5", &number);
    end_comma_locale();
    assert_null(fault);
    CHECK_NEAR(number.value, 18.5, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(numbers_are_read_as_people_write_them),
        cmocka_unit_test(other_texts_are_refused_with_the_reason),
        cmocka_unit_test(stamps_count_quarters),
        cmocka_unit_test(stamps_without_quarters_are_refused),
        cmocka_unit_test(digits_are_read_alone),
        cmocka_unit_test(a_comma_locale_changes_nothing),
    };
    return cmocka_run_group_tests_name("base/number", tests, NULL, NULL);
}
