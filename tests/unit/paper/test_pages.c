#include "paper/flow.h"
#include "paper/map.h"
#include "paper/marks.h"
#include "support/page_checks.h"
#include "support/sample_matter.h"

static Pages whole_pack(const PackMatter *matter, Arena *keep)
{
    Pages pages = {.keep = keep};
    pack_summary(matter, &pages);
    for (int h = 0; h < matter->hide_count; h++) {
        pack_chalk_map(matter, h, &pages);
    }
    pack_cut_order(matter, &pages);
    return pages;
}

/// The kinds of job that the pages were looked at with.
static const SampleWish wishes[] = {
    {0},
    {.metric = true, .paper = PAPER_LETTER},
    {.hide_count = 2},
    {.cover_count = 1},
    {.cover_count = 40},
    {.long_names = true},
    {.long_names = true, .metric = true, .paper = PAPER_LETTER, .unplaced = true},
    {.form = HIDE_SIDE, .cover_count = 9},
    {.form = HIDE_PANEL, .cover_count = 12, .metric = true},
    {.hide_count = 5, .cover_count = 20, .metric = true},
};
enum { WISHES = sizeof wishes / sizeof wishes[0] };

static void all_stays_on_the_page(void **state)
{
    for (int w = 0; w < WISHES; w++) {
        const Pages pages = whole_pack(sample_matter(wishes[w], *state), *state);
        for (int p = 0; p < pages.count; p++) {
            check_on_page(pages.items[p]);
        }
    }
}

static void no_text_lies_over_another(void **state)
{
    for (int w = 0; w < WISHES; w++) {
        const Pages pages = whole_pack(sample_matter(wishes[w], *state), *state);
        for (int p = 0; p < pages.count; p++) {
            check_texts_apart(pages.items[p], *state);
        }
    }
}

static void capitals_can_be_read_at_arms_length(void **state)
{
    const Pages pages = whole_pack(sample_matter((SampleWish){0}, *state), *state);
    for (int p = 0; p < pages.count; p++) {
        for (int i = 0; i < pages.items[p]->count; i++) {
            const DrawItem *item = &pages.items[p]->items[i];
            assert_true(item->kind != DRAW_TEXT || item->size_mm >= 2.2);
        }
    }
}

static void every_cover_is_named(void **state)
{
    const PackMatter *matter = sample_matter((SampleWish){0}, *state);
    Pages map = {.keep = *state};
    Pages order = {.keep = *state};
    pack_chalk_map(matter, 0, &map);
    pack_cut_order(matter, &order);
    for (int i = 0; i < matter->plan->cover_count; i++) {
        const char *name = cover_name(matter->demands, &matter->plan->covers[i], *state);
        assert_true(says(map.items[0], name));
        assert_true(says(map.items[1], name));
        bool in_tables = false;
        bool in_order = false;
        for (int p = 2; p < map.count; p++) {
            in_tables = in_tables || begins(map.items[p], arena_text(*state, "%s: ", name));
        }
        for (int p = 0; p < order.count; p++) {
            in_order = in_order || says(order.items[p], name);
        }
        assert_true(in_tables && in_order);
    }
}

static void every_flaw_is_numbered_on_the_map(void **state)
{
    const PackMatter *matter = sample_matter((SampleWish){0}, *state);
    Pages map = {.keep = *state};
    pack_chalk_map(matter, 0, &map);
    for (int i = 0; i < matter->hides[0].flaw_count; i++) {
        const char *label =
            arena_text(*state, "%d %s", i + 1, flaw_kind_names[matter->hides[0].flaws[i].kind]);
        assert_true(says(map.items[0], label));
        assert_true(says(map.items[1], label));
    }
}

// Both sides show the largest rectangle that is left, to scale, with its size.
static void what_is_left_is_drawn_and_named(void **state)
{
    const PackMatter *matter = sample_matter((SampleWish){.metric = true}, *state);
    Pages map = {.keep = *state};
    pack_chalk_map(matter, 0, &map);
    for (int side = 0; side < 2; side++) {
        assert_true(says(map.items[side], "left: 160 by 815 mm"));
        assert_true(says(map.items[side], "Left in one piece: 0.31 m²; largest whole rectangle: "
                                          "160 by 815 mm."));
        Box box = {{HUGE_VAL, HUGE_VAL}, {-HUGE_VAL, -HUGE_VAL}};
        for (int i = 0; i < map.items[side]->count; i++) {
            const DrawItem *item = &map.items[side]->items[i];
            for (int k = 0; item->layer == LAYER_LEFT && k < item->point_count; k++) {
                box.min =
                    (Point){fmin(box.min.x, item->points[k].x), fmin(box.min.y, item->points[k].y)};
                box.max =
                    (Point){fmax(box.max.x, item->points[k].x), fmax(box.max.y, item->points[k].y)};
            }
        }
        const double along = fmin(box.max.x - box.min.x, box.max.y - box.min.y);
        const double across = fmax(box.max.x - box.min.x, box.max.y - box.min.y);
        CHECK_NEAR(across / along, 815.0 / 160, 0.05);
    }
}

static void who_stands_beside_whom_is_told(void **state)
{
    PackMatter *matter = sample_matter((SampleWish){0}, *state);
    CoverDemand *demands = ARENA_ARRAY(*state, CoverDemand, 2);
    for (int i = 0; i < 2; i++) {
        demands[i] = matter->demands[i];
        demands[i].beside = 1;
    }
    matter->demands = demands;
    Pages pages = {.keep = *state};
    pack_chalk_map(matter, 0, &pages);
    assert_true(says(pages.items[0], "beside A") && says(pages.items[1], "beside A"));
    assert_true(says(pages.items[0], "beside B") && says(pages.items[1], "beside B"));
    check_texts_apart(pages.items[0], *state);
    Pages order = {.keep = *state};
    pack_cut_order(matter, &order);
    bool told = false;
    for (int p = 0; p < order.count; p++) {
        told |= begins(order.items[p], "stands beside A:");
    }
    assert_true(told);
}

static void a_hide_left_whole_is_told_and_has_no_map(void **state)
{
    PackMatter *matter = sample_matter((SampleWish){.hide_count = 2}, *state);
    CutPlan *plan = ARENA_NEW(*state, CutPlan);
    *plan = *matter->plan;
    plan->cover_count = 8; // those of the first hide
    matter->plan = plan;
    assert_true(pack_shows_hide(matter, 0));
    assert_false(pack_shows_hide(matter, 1));
    Pages pages = {.keep = *state};
    pack_summary(matter, &pages);
    pack_cut_order(matter, &pages);
    bool in_table = false;
    bool in_order = false;
    for (int p = 0; p < pages.count; p++) {
        in_table |= says(pages.items[p], "left whole");
        in_order |= says(pages.items[p], "Hide 2: back room: left whole.");
    }
    assert_true(in_table && in_order);
}

static bool stop(void *context, const char *what, double share)
{
    (void)what;
    (void)share;
    int *left = context;
    return --*left > 0;
}

// However soon somebody stops, drawing comes to an end, and nothing is printed.
static void pages_stop_when_asked(void **state)
{
    for (int after = 1; after < 2000; after *= 3) {
        int left = after;
        const Progress progress = {stop, &left};
        PackMatter *matter = sample_matter((SampleWish){0}, *state);
        matter->progress = &progress;
        const Pages pages = whole_pack(matter, *state);
        Bytes bytes;
        const bool whole = left > pages.count;
        assert_true(paper_pdf(pages.items, pages.count, (PaperTitle){"x", "2026-01-31"}, &progress,
                              *state, &bytes) == whole);
    }
}

static void each_page_says_which_of_how_many_it_is(void **state)
{
    const Pages pages = whole_pack(sample_matter((SampleWish){0}, *state), *state);
    assert_int_equal(pages.count, 9); // summary 2, map 2, marks 3, cut order 2
    for (int p = 0; p < pages.count; p++) {
        const char *number = arena_text(*state, "page %d of %d", p + 1, pages.count);
        assert_true(says(pages.items[p], number));
        assert_true(says(pages.items[p], "2026-01-31"));
        assert_true(says(pages.items[p], "Eight chairs for the long table"));
    }
}

static void more_covers_take_more_pages(void **state)
{
    const Pages one = whole_pack(sample_matter((SampleWish){.cover_count = 1}, *state), *state);
    const Pages many = whole_pack(sample_matter((SampleWish){.cover_count = 40}, *state), *state);
    assert_int_equal(one.count, 7);
    assert_true(many.count >= one.count + 12); // three covers on a page of marks
}

// A4 by ISO 216 (210 x 297 mm), Letter by ANSI/ASME Y14.1 (8 1/2 x 11 in); both sizes
// from memory.
static void pages_have_the_size_of_the_paper(void **state)
{
    const PackMatter *matter = sample_matter((SampleWish){0}, *state);
    const Drawing *upright = page_begin(matter, "x", false, *state);
    CHECK_NEAR(upright->width_mm, 210, 0);
    CHECK_NEAR(upright->height_mm, 297, 0);
    const PackMatter *letter = sample_matter((SampleWish){.paper = PAPER_LETTER}, *state);
    const Drawing *lying = page_begin(letter, "x", true, *state);
    CHECK_NEAR(lying->width_mm, 279.4, 1e-9);
    CHECK_NEAR(lying->height_mm, 215.9, 1e-9);
}

static void left_over_covers_are_told_with_the_reason(void **state)
{
    const PackMatter *matter = sample_matter((SampleWish){.unplaced = true}, *state);
    Pages pages = {.keep = *state};
    pack_summary(matter, &pages);
    assert_true(begins(pages.items[0], "2 of B (stool, by the window): the shoulder has room"));
    assert_true(begins(pages.items[0], "8 of 10 covers fit"));
}

static void a_brand_in_the_turn_is_told_in_the_cut_order(void **state)
{
    const PackMatter *matter = sample_matter((SampleWish){0}, *state);
    Pages pages = {.keep = *state};
    pack_cut_order(matter, &pages);
    assert_true(begins(pages.items[0], "brand 1 (old mark)"));
    assert_true(begins(pages.items[0], "6° off the firm"));
}

// With the flesh side up, a place y out to the left lies where one y out to the right
// lay; distances stay.
static void the_flesh_side_is_mirrored_about_the_backbone(void **state)
{
    (void)state;
    const Box hide = {{-40, -1200}, {2300, 1200}};
    const Box room = {{20, 30}, {190, 250}};
    for (int upwards = 0; upwards < 2; upwards++) {
        const MapView grain = map_view(hide, room, upwards == 1, false);
        const MapView flesh = map_view(hide, room, upwards == 1, true);
        const Point place = {731, 402};
        const Point there = map_point(&flesh, place);
        const Point mirrored = map_point(&grain, (Point){place.x, -place.y});
        CHECK_NEAR(there.x, mirrored.x, 1e-9);
        CHECK_NEAR(there.y, mirrored.y, 1e-9);
        const Point back = map_place(&flesh, there);
        CHECK_NEAR(back.x, place.x, 1e-9);
        CHECK_NEAR(back.y, place.y, 1e-9);
        CHECK_NEAR(point_distance(there, map_point(&flesh, (Point){0, 0})),
                   grain.scale * point_length(place), 1e-9);
    }
}

static void lines_keep_to_their_width_and_lose_no_letter(void **state)
{
    const Lines lines = page_lines(sample_long_name, 2.4, false, 23, *state);
    Text joined = {.keep = *state};
    for (int i = 0; i < lines.count; i++) {
        assert_true(draw_text_width_mm(lines.items[i], 2.4, false) <= 23);
        text_add(&joined, "%s", lines.items[i]);
    }
    // Without its spaces, which fall away at the ends of lines.
    const char *found = text_string(&joined);
    for (const char *wanted = sample_long_name; *wanted; wanted++) {
        if (*wanted == ' ') {
            found += *found == ' ';
            continue;
        }
        assert_int_equal(*found, *wanted);
        found++;
    }
    assert_int_equal(*found, '\0');
}

static void texts_cut_short_end_in_an_ellipsis(void **state)
{
    const char *fitted = page_fitted("Ärmelschoner für die Bank", 3, true, 30, *state);
    assert_true(draw_text_width_mm(fitted, 3, true) <= 30);
    assert_non_null(strstr(fitted, "…"));
    assert_string_equal(page_fitted("Bank", 3, true, 30, *state), "Bank");
}

static void the_same_matter_gives_the_same_pages(void **state)
{
    const Pages first = whole_pack(sample_matter((SampleWish){0}, *state), *state);
    const Pages second = whole_pack(sample_matter((SampleWish){0}, *state), *state);
    Bytes a;
    Bytes b;
    const PaperTitle title = {"Pack", "2026-01-31"};
    assert_true(paper_pdf(first.items, first.count, title, NULL, *state, &a));
    assert_true(paper_pdf(second.items, second.count, title, NULL, *state, &b));
    assert_int_equal(a.length, b.length);
    assert_memory_equal(a.data, b.data, a.length);
}

static void the_picture_has_both_sides(void **state)
{
    const PackMatter *matter = sample_matter((SampleWish){0}, *state);
    const Drawing *grain = pack_chalk_picture(matter, 0, false, *state);
    const Drawing *flesh = pack_chalk_picture(matter, 0, true, *state);
    assert_true(says(grain, "GRAIN SIDE UP"));
    assert_true(says(flesh, "FLESH SIDE UP"));
    assert_true(says(flesh, "A1"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(all_stays_on_the_page),
        TEST_IN_ARENA(no_text_lies_over_another),
        TEST_IN_ARENA(capitals_can_be_read_at_arms_length),
        TEST_IN_ARENA(every_cover_is_named),
        TEST_IN_ARENA(every_flaw_is_numbered_on_the_map),
        TEST_IN_ARENA(what_is_left_is_drawn_and_named),
        TEST_IN_ARENA(who_stands_beside_whom_is_told),
        TEST_IN_ARENA(a_hide_left_whole_is_told_and_has_no_map),
        TEST_IN_ARENA(pages_stop_when_asked),
        TEST_IN_ARENA(each_page_says_which_of_how_many_it_is),
        TEST_IN_ARENA(more_covers_take_more_pages),
        TEST_IN_ARENA(pages_have_the_size_of_the_paper),
        TEST_IN_ARENA(left_over_covers_are_told_with_the_reason),
        TEST_IN_ARENA(a_brand_in_the_turn_is_told_in_the_cut_order),
        cmocka_unit_test(the_flesh_side_is_mirrored_about_the_backbone),
        TEST_IN_ARENA(lines_keep_to_their_width_and_lose_no_letter),
        TEST_IN_ARENA(texts_cut_short_end_in_an_ellipsis),
        TEST_IN_ARENA(the_same_matter_gives_the_same_pages),
        TEST_IN_ARENA(the_picture_has_both_sides),
    };
    return cmocka_run_group_tests_name("paper/pages", tests, NULL, NULL);
}
