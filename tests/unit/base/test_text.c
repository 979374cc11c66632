#include "base/text.h"

#include "support/check.h"

static void a_text_grows(void **state)
{
    Text text = {.keep = *state};
    assert_string_equal(text_string(&text), "");
    for (int i = 0; i < 1000; i++) {
        text_add(&text, "%d,", i % 10);
    }
    assert_int_equal(text.length, 2000);
    assert_int_equal(strlen(text_string(&text)), 2000);
    text_add_bytes(&text, "a\0b", 3);
    assert_int_equal(text.length, 2003);
}

static void columns_count_letters_not_bytes(void **state)
{
    (void)state;
    assert_int_equal(text_columns("52 ft²"), 6);
    assert_int_equal(text_columns("Mühle"), 5);
    assert_int_equal(text_columns(""), 0);
}

static const char *const words[] = {"front", "back",          "depth",        "left",
                                    "right", "corner_radius", "diagonal_left"};

static const char *nearest(const char *word)
{
    return text_nearest(word, words, sizeof words / sizeof *words);
}

static void slips_of_the_finger_are_understood(void **state)
{
    (void)state;
    assert_string_equal(nearest("frnot"), "front");
    assert_string_equal(nearest("Front"), "front");
    assert_string_equal(nearest("dept"), "depth");
    assert_string_equal(nearest("corner_raduis"), "corner_radius");
    assert_string_equal(nearest("cornerradius"), "corner_radius");
    assert_string_equal(nearest("diagonal-left"), "diagonal_left");
}

static void other_words_are_not_guessed(void **state)
{
    (void)state;
    assert_null(nearest("colour"));
    assert_null(nearest(""));
    assert_null(nearest("xyzzy"));
    assert_null(nearest("a word much longer than any that could ever be meant by a person"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(a_text_grows),
        cmocka_unit_test(columns_count_letters_not_bytes),
        cmocka_unit_test(slips_of_the_finger_are_understood),
        cmocka_unit_test(other_words_are_not_guessed),
    };
    return cmocka_run_group_tests_name("base/text", tests, NULL, NULL);
}
