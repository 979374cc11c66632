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

static void texts_are_cut_behind_whole_letters(void **state)
{
    (void)state;
    static const char text[] = "Mühle ²€"; // letters of 1, 2, 1, 1, 1, 1, 2 and 3 bytes
    assert_int_equal(text_bytes_of(text, 0), 0);
    assert_int_equal(text_bytes_of(text, 2), 3);
    assert_int_equal(text_bytes_of(text, 7), 9);
    assert_int_equal(text_bytes_of(text, 9), 12);
    static const size_t within[] = {0, 1, 1, 3, 4, 5, 6, 7, 7, 9, 9, 9, 12, 12};
    for (size_t most = 0; most < sizeof within / sizeof *within; most++) {
        assert_int_equal(text_bytes_within(text, strlen(text), most), within[most]);
    }
}

// RFC 3629, sections 3 and 4.
static void every_character_is_utf8_and_nothing_else(void **state)
{
    (void)state;
    for (unsigned c = 1; c <= 0x10FFFF; c++) {
        char text[5] = {0};
        if (c < 0x80) {
            text[0] = (char)c;
        } else if (c < 0x800) {
            text[0] = (char)(0xC0 | c >> 6);
            text[1] = (char)(0x80 | (c & 63));
        } else if (c < 0x10000) {
            text[0] = (char)(0xE0 | c >> 12);
            text[1] = (char)(0x80 | (c >> 6 & 63));
            text[2] = (char)(0x80 | (c & 63));
        } else {
            text[0] = (char)(0xF0 | c >> 18);
            text[1] = (char)(0x80 | (c >> 12 & 63));
            text[2] = (char)(0x80 | (c >> 6 & 63));
            text[3] = (char)(0x80 | (c & 63));
        }
        const bool surrogate = c >= 0xD800 && c <= 0xDFFF;
        assert_int_equal(text_is_utf8(text), !surrogate);
    }
    static const char *const wrong[] = {
        "\x80",     "\xC0\xAF", "\xC1\xBF", "\xE0\x9F\xBF", "\xF0\x8F\xBF\xBF", "\xF4\x90\x80\x80",
        "\xF5\x80", "\xFF",     "a\xC3",    "\xE2\x82",     "\xE2\x82z",        "\xF0\x9F\x98"};
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++) {
        assert_false(text_is_utf8(wrong[i]));
    }
    assert_true(text_is_utf8(""));
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
        cmocka_unit_test(texts_are_cut_behind_whole_letters),
        cmocka_unit_test(every_character_is_utf8_and_nothing_else),
        cmocka_unit_test(slips_of_the_finger_are_understood),
        cmocka_unit_test(other_words_are_not_guessed),
    };
    return cmocka_run_group_tests_name("base/text", tests, NULL, NULL);
}
