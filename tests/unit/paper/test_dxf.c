#include "paper/drawing.h"

#include "paper/style.h"
#include "support/check.h"

static const char *written(const Drawing *drawing, Arena *keep)
{
    Text text = {.keep = keep};
    paper_dxf(drawing, &text);
    return text_string(&text);
}

static int times(const char *text, const char *word)
{
    int count = 0;
    for (const char *at = strstr(text, word); at; at = strstr(at + 1, word)) {
        count++;
    }
    return count;
}

static void closed_rings_are_closed_polylines(void **state)
{
    Drawing *drawing = drawing_create(100, 100, "", *state);
    const Point corners[] = {{1, 2}, {30.12344, 2}, {30, 40}};
    draw_shape(drawing, LAYER_CUT, (Ring){corners, 3}, true);
    draw_line(drawing, LAYER_TACK, corners[0], corners[1]);
    const char *dxf = written(drawing, *state);
    assert_int_equal(times(dxf, "\nPOLYLINE\n"), 2);
    assert_int_equal(times(dxf, "\nVERTEX\n"), 5);
    assert_int_equal(times(dxf, "\nSEQEND\n"), 2);
    assert_int_equal(times(dxf, "POLYLINE\n  8\nCUT\n 66\n1\n 10\n0\n 20\n0\n 30\n0\n 70\n1\n"), 1);
    assert_int_equal(times(dxf, "POLYLINE\n  8\nTACK\n 66\n1\n 10\n0\n 20\n0\n 30\n0\n 70\n0\n"),
                     1);
    assert_int_equal(times(dxf, " 10\n30.1234\n 20\n2\n"), 2);
}

static void extents_are_those_of_what_is_drawn(void **state)
{
    Drawing *drawing = drawing_create(100, 100, "", *state);
    draw_line(drawing, LAYER_CUT, (Point){5, 7}, (Point){50, 70});
    const char *dxf = written(drawing, *state);
    assert_non_null(strstr(dxf, "$EXTMIN\n 10\n5\n 20\n7\n 30\n0\n"));
    assert_non_null(strstr(dxf, "$EXTMAX\n 10\n50\n 20\n70\n 30\n0\n"));
    assert_non_null(strstr(dxf, "$ACADVER\n  1\nAC1009\n"));
    assert_non_null(strstr(dxf, "$INSUNITS\n 70\n4\n"));
}

static void an_empty_drawing_is_a_whole_file(void **state)
{
    const char *dxf = written(drawing_create(100, 60, "", *state), *state);
    assert_non_null(strstr(dxf, "$EXTMAX\n 10\n100\n 20\n60\n"));
    const size_t length = strlen(dxf);
    assert_string_equal(dxf + length - 6, "0\nEOF\n");
    assert_int_equal(times(dxf, "  0\nLAYER\n"), LAYER_COUNT);
}

static void words_are_ascii_and_hold_no_codes(void **state)
{
    Drawing *drawing = drawing_create(100, 100, "", *state);
    draw_text(drawing, LAYER_TEXT, (Point){1, 2}, 3, ALIGN_LEFT, false, 0, "%s",
              "caf\xC3\xA9 50% %%u \\ ^J \xF0\x9F\xAA\x91");
    const char *dxf = written(drawing, *state);
    assert_non_null(strstr(dxf, "\ncaf\\U+00E9 50% %%%%u \\U+005C ^ J \\U+FFFD\n"));
    for (const char *at = dxf; *at; at++) {
        assert_in_range((unsigned char)*at, '\n', '~');
    }
}

static void a_long_name_stays_within_the_line_that_readers_allow(void **state)
{
    Drawing *drawing = drawing_create(100, 100, "", *state);
    char name[400];
    for (int i = 0; i < 398; i += 2) {
        memcpy(name + i, "\xC3\xA9", 2);
    }
    name[398] = '\0';
    draw_text(drawing, LAYER_TEXT, (Point){1, 2}, 3, ALIGN_MIDDLE, false, 1, "%s", name);
    const char *at = written(drawing, *state);
    while (at) {
        const size_t length = strcspn(at, "\n");
        assert_true(length <= 255);
        at = at[length] ? at + length + 1 : NULL;
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(closed_rings_are_closed_polylines),
        TEST_IN_ARENA(extents_are_those_of_what_is_drawn),
        TEST_IN_ARENA(an_empty_drawing_is_a_whole_file),
        TEST_IN_ARENA(words_are_ascii_and_hold_no_codes),
        TEST_IN_ARENA(a_long_name_stays_within_the_line_that_readers_allow),
    };
    return cmocka_run_group_tests_name("paper/dxf", tests, NULL, NULL);
}
