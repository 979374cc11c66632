#include "paper/notes.h"

#include "support/check.h"

static Notes notes_on(Drawing *sheet)
{
    return (Notes){.sheet = sheet, .window = {{0, 0}, {100, 100}}};
}

static const Note word = {.text = "tack line", .size_mm = 2};

static void a_note_is_refused_where_something_stands(void **state)
{
    Drawing *sheet = drawing_create(100, 100, "", *state);
    draw_line(sheet, LAYER_CUT, (Point){20, 0}, (Point){20, 100});
    Notes notes = notes_on(sheet);
    assert_false(note_at(&notes, word, (Point){18, 50}, 0));  // across the line
    assert_false(note_at(&notes, word, (Point){95, 50}, 0));  // out of the window
    assert_false(note_at(&notes, word, (Point){30, 0.1}, 0)); // on the window's edge
    assert_true(note_at(&notes, word, (Point){30, 50}, 0));
    assert_false(note_at(&notes, word, (Point){34, 51}, 0)); // over the first note
    assert_true(note_at(&notes, word, (Point){30, 55}, 0));
    assert_int_equal(sheet->count, 3);
}

static void a_note_stands_on_the_side_that_is_asked_for(void **state)
{
    const Point ends[] = {{10, 50}, {90, 50}};
    for (int outside = 0; outside < 2; outside++) {
        for (int turned = 0; turned < 2; turned++) {
            Drawing *sheet = drawing_create(100, 100, "", *state);
            draw_line(sheet, LAYER_TACK, ends[turned], ends[1 - turned]);
            Notes notes = notes_on(sheet);
            Note note = word;
            note.outside = outside;
            const DrawItem line = sheet->items[0];
            assert_true(note_along(&notes, note, &line, (Point){50, 90}, (Point){0, 0}));
            const DrawItem *text = &sheet->items[1];
            CHECK_NEAR(text->turn_rad, 0, 1e-12); // never upside down
            const double low = text->points[0].y;
            assert_true(outside ? low + 2 < 50 : low > 50);
            CHECK_NEAR(text->points[0].x + draw_text_width_mm("tack line", 2, false) / 2, 50, 1e-9);
        }
    }
}

static void sides_are_told_by_the_outward_normal(void **state)
{
    // The lower edge of a counter-clockwise ring looks down.
    Drawing *sheet = drawing_create(100, 100, "", *state);
    draw_line(sheet, LAYER_FACE, (Point){10, 50}, (Point){90, 50});
    Notes notes = notes_on(sheet);
    const DrawItem line = sheet->items[0];
    const Point inside = {50, 90};
    assert_false(note_along(&notes, word, &line, inside, (Point){0, 1}));
    assert_false(note_along(&notes, word, &line, inside, (Point){1, 0}));
    assert_true(note_along(&notes, word, &line, inside, (Point){0, -1}));
}

static void a_line_too_short_or_too_bent_gets_no_note(void **state)
{
    Drawing *sheet = drawing_create(100, 100, "", *state);
    const Point bent[] = {{40, 50}, {45, 50}, {49, 53}, {51, 57}, {51, 62}, {49, 66}};
    draw_polyline(sheet, LAYER_CUT, bent, 6, false);
    Notes notes = notes_on(sheet);
    const DrawItem line = sheet->items[0];
    assert_false(note_along(&notes, word, &line, (Point){10, 10}, (Point){0, 0}));
}

static void the_emptiest_place_is_the_middle_of_the_free_part(void **state)
{
    Drawing *sheet = drawing_create(100, 100, "", *state);
    draw_line(sheet, LAYER_CUT, (Point){40, 0}, (Point){40, 100});
    const Notes notes = notes_on(sheet);
    const Point corners[] = {{-10, -10}, {110, -10}, {110, 110}, {-10, 110}};
    double clear_mm = 0;
    const Point place = notes_emptiest(&notes, (Ring){corners, 4}, &clear_mm);
    CHECK_NEAR(place.x, 70, 2.9); // the grid is 4 mm wide
    CHECK_NEAR(clear_mm, 30, 2.9);
    Notes taken = notes;
    note_force(&taken, word, (Point){place.x - 5, place.y}, 0); // a text right there
    const Point beside = notes_emptiest(&taken, (Ring){corners, 4}, &clear_mm);
    assert_true(point_distance(beside, place) > 20);
    CHECK_NEAR(clear_mm, 30, 2.9); // there is more room further up
    const Point far_away[] = {{200, 200}, {210, 200}, {210, 210}};
    (void)notes_emptiest(&notes, (Ring){far_away, 3}, &clear_mm);
    CHECK_NEAR(clear_mm, 0, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(a_note_is_refused_where_something_stands),
        TEST_IN_ARENA(a_note_stands_on_the_side_that_is_asked_for),
        TEST_IN_ARENA(sides_are_told_by_the_outward_normal),
        TEST_IN_ARENA(a_line_too_short_or_too_bent_gets_no_note),
        TEST_IN_ARENA(the_emptiest_place_is_the_middle_of_the_free_part),
    };
    return cmocka_run_group_tests_name("paper/notes", tests, NULL, NULL);
}
