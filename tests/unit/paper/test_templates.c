#include "paper/pack.h"

#include "paper/sheet.h"
#include "support/sample_cover.h"

static Job sample_job(JobPaper paper)
{
    return (Job){.name = "Chairs for a long table", .paper = paper};
}

static Pages templates_of(const PackMatter *matter, Arena *keep)
{
    Pages pages = {.keep = keep};
    pack_templates(matter, &pages);
    return pages;
}

static bool says(const Drawing *page, const char *words)
{
    for (int i = 0; i < page->count; i++) {
        if (page->items[i].kind == DRAW_TEXT && strstr(page->items[i].text, words)) {
            return true;
        }
    }
    return false;
}

static bool has_level_line(const Drawing *page, double length_mm)
{
    for (int i = 0; i < page->count; i++) {
        const DrawItem *item = &page->items[i];
        if (item->kind == DRAW_LINE && item->layer == LAYER_RULE && item->point_count == 2 &&
            fabs(item->points[1].x - item->points[0].x - length_mm) < 1e-9 &&
            fabs(item->points[1].y - item->points[0].y) < 1e-9) {
            return true;
        }
    }
    return false;
}

static void every_page_proves_its_scale(void **state)
{
    const Cover cover = sample_cover(1, *state);
    for (int paper = 0; paper < JOB_PAPER_COUNT; paper++) {
        const Job job = sample_job((JobPaper)paper);
        const CoverDemand demand = {&cover, "A", "Dining seat", NULL, 6, 0};
        const PackMatter matter = {
            .job = &job, .demands = &demand, .demand_count = 1, .date = "2026-01-31"};
        const Pages pages = templates_of(&matter, *state);
        assert_true(pages.count > 4);
        for (int i = 0; i < pages.count; i++) {
            assert_true(has_level_line(pages.items[i], 100));
            assert_true(has_level_line(pages.items[i], 101.6));
            assert_true(says(pages.items[i], "rint at 100 %"));
            assert_true(says(pages.items[i], "Dining seat"));
            assert_true(
                says(pages.items[i], arena_text(*state, "page %d of %d", i + 1, pages.count)));
        }
        assert_true(
            says(pages.items[2], arena_text(*state, "2 of %d, Dining seat", pages.count - 1)));
    }
}

static void demands_of_one_cover_share_a_template(void **state)
{
    const Cover plain = sample_cover(0.5, *state);
    const Cover other = sample_cover(0.4, *state);
    const Job job = sample_job(PAPER_A4);
    const CoverDemand demands[] = {{&plain, "A", "Stool", NULL, 3, 0},
                                   {&other, "B", "Stool", "chair 4", 1, 0},
                                   {&plain, "C", "Stool", NULL, 2, 0}};
    const PackMatter matter = {
        .job = &job, .demands = demands, .demand_count = 3, .date = "2026-01-31"};
    const Pages pages = templates_of(&matter, *state);
    int maps = 0;
    for (int i = 0; i < pages.count; i++) {
        if (says(pages.items[i], "How to put it together")) {
            maps++;
            assert_true(says(pages.items[i], maps == 1 ? "5 to cut" : "1 to cut"));
            assert_true(maps == 1 || says(pages.items[i], "chair 4"));
        }
    }
    assert_int_equal(maps, 2);
    assert_true(says(pages.items[0], "Template A, C"));
}

static void nothing_is_drawn_where_printers_do_not_reach(void **state)
{
    const Cover cover = sample_cover(1.3, *state);
    const Job job = sample_job(PAPER_LETTER);
    const CoverDemand demand = {&cover, "A", "Dining seat", "a chair with a long name", 1, 0};
    const PackMatter matter = {
        .job = &job, .demands = &demand, .demand_count = 1, .date = "2026-01-31"};
    const Pages pages = templates_of(&matter, *state);
    for (int i = 0; i < pages.count; i++) {
        const Drawing *page = pages.items[i];
        CHECK_NEAR(page->width_mm + page->height_mm, 19.5 * 25.4, 1e-9); // 8 1/2 x 11 in
        for (int k = 0; k < page->count; k++) {
            const Box box = ring_box((Ring){page->items[k].points, page->items[k].point_count});
            assert_true(box.min.x >= SHEET_MARGIN_MM - 1e-9);
            assert_true(box.min.y >= SHEET_MARGIN_MM - 1e-9);
            assert_true(box.max.x <= page->width_mm - SHEET_MARGIN_MM + 1e-9);
            assert_true(box.max.y <= page->height_mm - SHEET_MARGIN_MM + 1e-9);
        }
    }
}

/// The crosses of a sheet, in the cover's frame of reference.
static int crosses_of(const Drawing *page, Point back, Point *crosses)
{
    int count = 0;
    for (int i = 0; i + 1 < page->count; i++) {
        const DrawItem *a = &page->items[i];
        const DrawItem *b = &page->items[i + 1];
        if (a->layer == LAYER_MARK && b->layer == LAYER_MARK && a->point_count == 2 &&
            b->point_count == 2 && !a->closed && !b->closed) {
            const Point p = point_between(a->points[0], a->points[1], 0.5);
            const Point q = point_between(b->points[0], b->points[1], 0.5);
            if (point_distance(p, q) < 1e-9) {
                crosses[count++] = point_plus(p, back);
            }
        }
    }
    return count;
}

static void crosses_of_neighbours_fall_on_the_same_places(void **state)
{
    const Cover cover = sample_cover(1, *state);
    const Job job = sample_job(PAPER_A4);
    const PackMatter matter = {.job = &job, .date = "2026-01-31"};
    Template template = {
        .matter = &matter, .cover = &cover, .name = "A", .seat = "Dining seat", .count = 1};
    sheet_lay_out(&template, *state);
    Point crosses[400];
    int count = 0;
    for (int row = 0; row < template.grid.rows; row++) {
        for (int column = 0; column < template.grid.columns; column++) {
            const Drawing *page = sheet_make(&template, row, column, 1, *state);
            const Point back =
                point_minus(tile_window(&template.grid, row, column).min,
                            (Point){SHEET_MARGIN_MM, SHEET_MARGIN_MM + SHEET_STRIP_MM});
            count += crosses_of(page, back, crosses + count);
        }
    }
    // All sheets are used: two crosses on each seam, each on two sheets.
    const int seams = template.grid.rows * (template.grid.columns - 1) +
                      template.grid.columns * (template.grid.rows - 1);
    assert_int_equal(template.grid.used_count, template.grid.rows * template.grid.columns);
    assert_int_equal(count, 4 * seams);
    for (int i = 0; i < count; i++) {
        int same = 0;
        for (int k = 0; k < count; k++) {
            same += point_distance(crosses[i], crosses[k]) < 1e-9;
        }
        assert_int_equal(same, 2);
    }
}

static void the_fewer_of_upright_and_lying_sheets_are_taken(void **state)
{
    // 184 + 10 mm and 255 + 10 mm of window: 262 x 170 mm with 4 mm round it fits one lying
    // sheet only, 170 x 230 mm one upright sheet only.
    const Point wide[] = {{0, 0}, {262, 0}, {262, 165}, {0, 165}};
    const Point high[] = {{0, 0}, {170, 0}, {170, 230}, {0, 230}};
    const Job job = sample_job(PAPER_A4);
    const PackMatter matter = {.job = &job, .date = "2026-01-31"};
    const Cover lies = {.cut = {wide, 4}};
    const Cover stands = {.cut = {high, 4}};
    Template template = {.matter = &matter, .cover = &lies};
    sheet_lay_out(&template, *state);
    assert_int_equal(template.grid.used_count, 1);
    assert_true(template.page_width_mm > template.page_height_mm);
    template.cover = &stands;
    sheet_lay_out(&template, *state);
    assert_int_equal(template.grid.used_count, 1);
    assert_true(template.page_width_mm < template.page_height_mm);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(every_page_proves_its_scale),
        TEST_IN_ARENA(demands_of_one_cover_share_a_template),
        TEST_IN_ARENA(nothing_is_drawn_where_printers_do_not_reach),
        TEST_IN_ARENA(crosses_of_neighbours_fall_on_the_same_places),
        TEST_IN_ARENA(the_fewer_of_upright_and_lying_sheets_are_taken),
    };
    return cmocka_run_group_tests_name("paper/templates", tests, NULL, NULL);
}
