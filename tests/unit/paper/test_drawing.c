#include "paper/drawing.h"

#include "paper/decimal.h"
#include "paper/letters.h"
#include "paper/style.h"
#include "support/check.h"

static void a_drawing_grows_and_keeps_its_own_points(void **state)
{
    Drawing *drawing = drawing_create(100, 50, "many", *state);
    for (int i = 0; i < 1000; i++) {
        draw_line(drawing, LAYER_CUT, (Point){i, 0}, (Point){i, 1});
    }
    assert_int_equal(drawing->count, 1000);
    for (int i = 0; i < 1000; i++) {
        CHECK_NEAR(drawing->items[i].points[0].x, i, 0);
        CHECK_NEAR(drawing->items[i].points[1].y, 1, 0);
    }
}

static void lines_and_shapes_of_nothing_are_left_out(void **state)
{
    Drawing *drawing = drawing_create(100, 50, "few", *state);
    const Point one = {1, 1};
    draw_polyline(drawing, LAYER_CUT, &one, 1, true);
    draw_shape(drawing, LAYER_CUT, (Ring){NULL, 0}, true);
    assert_int_equal(drawing->count, 0);
}

static void broken_letters_and_controls_are_made_safe(void **state)
{
    assert_string_equal(letters_clean("a\tb\nc", *state), "a b c");
    assert_string_equal(letters_clean("caf\xC3\xA9", *state), "caf\xC3\xA9");
    assert_string_equal(letters_clean("\xFF|\xC3", *state), "\xEF\xBF\xBD|\xEF\xBF\xBD");
    // A slash in two bytes, half a surrogate pair, beyond the last code point: RFC 3629.
    assert_string_equal(letters_clean("\xC0\xAF", *state), "\xEF\xBF\xBD\xEF\xBF\xBD");
    assert_string_equal(letters_clean("\xE0\x80\xAF", *state),
                        "\xEF\xBF\xBD\xEF\xBF\xBD\xEF\xBF\xBD");
    assert_string_equal(letters_clean("\xED\xA0\x80", *state),
                        "\xEF\xBF\xBD\xEF\xBF\xBD\xEF\xBF\xBD");
    assert_string_equal(letters_clean("\xF4\x90\x80\x80", *state),
                        "\xEF\xBF\xBD\xEF\xBF\xBD\xEF\xBF\xBD\xEF\xBF\xBD");
    assert_string_equal(letters_clean(NULL, *state), "");
}

static const char *decimal(double value, int places, Arena *keep)
{
    Text text = {.keep = keep};
    decimal_add(&text, value, places);
    return text_string(&text);
}

static void decimals_are_trimmed(void **state)
{
    assert_string_equal(decimal(12.5, 3, *state), "12.5");
    assert_string_equal(decimal(-0.0004, 3, *state), "0");
    assert_string_equal(decimal(-0.0006, 3, *state), "-0.001");
    assert_string_equal(decimal(100, 3, *state), "100");
    assert_string_equal(decimal(0.0625, 4, *state), "0.0625");
    assert_string_equal(decimal(-3.14159, 2, *state), "-3.14");
    assert_string_equal(decimal(1.996, 2, *state), "2");
}

// DejaVu Sans Book: the advance of H is 1540 of 2048 units, a capital 1493 units high
// (hmtx and OS/2 tables of the font, read with fontTools' ttx).
static void widths_are_those_of_the_font(void **state)
{
    (void)state;
    CHECK_NEAR(draw_text_width_mm("H", 10, false), 10 * 1540.0 / 1493.0, 0.01);
    CHECK_NEAR(draw_text_width_mm("HHHHHHHHHH", 2, false), 20 * 1540.0 / 1493.0, 0.01);
    CHECK_NEAR(draw_text_width_mm("", 2, false), 0, 0);
    assert_true(draw_text_width_mm("H", 2, true) > draw_text_width_mm("H", 2, false));
}

static void every_layer_has_a_name_a_meaning_and_a_place_in_the_order(void **state)
{
    (void)state;
    bool drawn[LAYER_COUNT] = {false};
    for (int i = 0; i < LAYER_COUNT; i++) {
        assert_non_null(layer_names[i]);
        assert_non_null(layer_styles[i].meaning);
        assert_true(layer_styles[i].width_mm > 0);
        assert_in_range(layer_styles[i].dxf_colour, 1, 255);
        assert_false(drawn[layer_order[i]]);
        drawn[layer_order[i]] = true;
    }
}

// Relative luminance by the weights of ITU-R BT.709; white paper has 1.
static void every_line_is_dark_enough_for_black_and_white(void **state)
{
    (void)state;
    for (int i = 0; i < LAYER_COUNT; i++) {
        const Colour c = layer_styles[i].line;
        const double light = 0.2126 * c.red + 0.7152 * c.green + 0.0722 * c.blue;
        assert_true(light < (i == LAYER_HATCH ? 0.5 : 0.4));
    }
}

static Bytes print(Drawing *const *pages, int count, PaperTitle title, Arena *keep)
{
    Bytes bytes = {0};
    assert_true(paper_pdf(pages, count, title, NULL, keep, &bytes));
    assert_true(bytes.length > 100);
    return bytes;
}

static Drawing *full_page(Arena *keep)
{
    Drawing *page = drawing_create(210, 297, "a page", keep);
    const Point corners[] = {{10, 10}, {200, 10}, {200, 280}};
    draw_shape(page, LAYER_HIDE, (Ring){corners, 3}, true);
    for (int i = 0; i < LAYER_COUNT; i++) {
        draw_text(page, (DrawLayer)i, (Point){20, 20 + 10 * i}, 3, (TextAlign)(i % 3), i % 2 == 0,
                  0.1 * i, "%s %d", layer_names[i], i);
        draw_line(page, (DrawLayer)i, (Point){20, 20 + 10 * i}, (Point){120, 20 + 10 * i});
    }
    return page;
}

static void the_same_drawing_gives_the_same_bytes(void **state)
{
    Drawing *page = full_page(*state);
    Drawing *pages[] = {page, page};
    const PaperTitle title = {"Six chairs", "2026-01-31"};
    const Bytes first = print(pages, 2, title, *state);
    const Bytes second = print(pages, 2, title, *state);
    assert_int_equal(first.length, second.length);
    assert_memory_equal(first.data, second.data, first.length);
}

/// memmem() of the C library is not in POSIX.
static bool holds(Bytes bytes, const char *word)
{
    const size_t length = strlen(word);
    for (size_t i = 0; i + length <= bytes.length; i++) {
        if (memcmp(bytes.data + i, word, length) == 0) {
            return true;
        }
    }
    return false;
}

static void a_date_that_is_none_does_not_ask_the_clock(void **state)
{
    Drawing *page = full_page(*state);
    const char *const dates[] = {NULL, "", "today", "2026-1-31", "31-01-2026xx"};
    for (size_t i = 0; i < sizeof dates / sizeof dates[0]; i++) {
        const Bytes bytes = print(&page, 1, (PaperTitle){"x", dates[i]}, *state);
        assert_true(holds(bytes, "/CreationDate (19700101000000Z)"));
    }
    assert_true(holds(print(&page, 1, (PaperTitle){"x", "2026-01-31"}, *state),
                      "/CreationDate (20260131000000Z)"));
}

static void letters_that_the_font_lacks_do_no_harm(void **state)
{
    Drawing *page = drawing_create(100, 100, "\xFF title", *state);
    draw_text(page, LAYER_TEXT, (Point){10, 10}, 3, ALIGN_LEFT, false, 0, "%s",
              "\xE6\xBC\xA2 \xF0\x9F\xAA\x91 \xF3\xB0\x80\x80 \xFF\xFE");
    draw_text(page, LAYER_TEXT, (Point){10, 20}, 3, ALIGN_LEFT, false, 0, "%s", "");
    (void)print(&page, 1, (PaperTitle){"\xFF", "2026-01-31"}, *state);
}

// 14400 pt, ISO 32000-1:2008, annex C.2, table C.1.
static void pages_beyond_the_limit_of_the_format_are_refused(void **state)
{
    Drawing *fits = drawing_create(5079, 5079, "fits", *state);
    Drawing *large = drawing_create(5081, 100, "large", *state);
    (void)print(&fits, 1, (PaperTitle){"x", "2026-01-31"}, *state);
    Bytes bytes = {0};
    assert_false(paper_pdf(&large, 1, (PaperTitle){"x", "2026-01-31"}, NULL, *state, &bytes));
    assert_null(bytes.data);
}

static void svg_turns_places_over_and_escapes_words(void **state)
{
    Drawing *drawing = drawing_create(100, 50, "a & b", *state);
    draw_line(drawing, LAYER_CUT, (Point){10, 0}, (Point){20.12345, 50});
    draw_text(drawing, LAYER_TEXT, (Point){1, 2}, 1493.0 / 2048.0, ALIGN_RIGHT, true,
              0.5 * 3.14159265358979, "<%s>", "\"x\"");
    Text text = {.keep = *state};
    paper_svg(drawing, &text);
    const char *svg = text_string(&text);
    assert_non_null(strstr(svg, "width=\"100mm\" height=\"50mm\" viewBox=\"0 0 100 50\""));
    assert_non_null(strstr(svg, "points=\"10,50 20.123,0\""));
    assert_non_null(strstr(svg, "<title>a &amp; b</title>"));
    assert_non_null(strstr(svg, "&lt;&quot;x&quot;&gt;</text>"));
    assert_non_null(strstr(svg, "x=\"1\" y=\"48\" font-size=\"1\" text-anchor=\"end\" "
                                "font-weight=\"bold\" transform=\"rotate(-90 1 48)\""));
    assert_null(strstr(svg, "id=\"hide\"")); // layers without anything are left out
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(a_drawing_grows_and_keeps_its_own_points),
        TEST_IN_ARENA(lines_and_shapes_of_nothing_are_left_out),
        TEST_IN_ARENA(broken_letters_and_controls_are_made_safe),
        TEST_IN_ARENA(decimals_are_trimmed),
        cmocka_unit_test(widths_are_those_of_the_font),
        cmocka_unit_test(every_layer_has_a_name_a_meaning_and_a_place_in_the_order),
        cmocka_unit_test(every_line_is_dark_enough_for_black_and_white),
        TEST_IN_ARENA(the_same_drawing_gives_the_same_bytes),
        TEST_IN_ARENA(a_date_that_is_none_does_not_ask_the_clock),
        TEST_IN_ARENA(letters_that_the_font_lacks_do_no_harm),
        TEST_IN_ARENA(pages_beyond_the_limit_of_the_format_are_refused),
        TEST_IN_ARENA(svg_turns_places_over_and_escapes_words),
    };
    return cmocka_run_group_tests_name("paper/drawing", tests, NULL, NULL);
}
