#include "paper/chart.h"
#include "support/page_checks.h"
#include "support/sample_buying.h"

#include "base/random.h"

/// The kinds of job that the pages were looked at with.
static const struct {
    SampleWish job;
    SampleBuying buying;
} wishes[] = {
    {{0}, {0}},
    {{.paper = PAPER_LETTER}, {.pieces = 2}},
    {{.metric = true}, {.stopped = true, .trials = 7}},
    {{.metric = true, .paper = PAPER_LETTER}, {.never_enough = true}},
    {{.cover_count = 40}, {.offers = 20, .seats = 200}},
    {{.long_names = true}, {.long_names = true, .offers = 20, .seats = 60}},
    {{.long_names = true, .metric = true, .paper = PAPER_LETTER}, {.long_names = true}},
    {{.cover_count = 1}, {.no_offers = true, .seats = 1}},
    {{0}, {.no_trials = true}},
};
enum { WISHES = sizeof wishes / sizeof wishes[0] };

static Pages buying_pages(int number, Arena *keep)
{
    PackMatter *matter = sample_matter(wishes[number].job, keep);
    Pages pages = {.keep = keep};
    pack_buying(matter, sample_buying(wishes[number].buying, matter, keep), &pages);
    return pages;
}

static void all_stays_on_the_page_and_apart(void **state)
{
    for (int w = 0; w < WISHES; w++) {
        const Pages pages = buying_pages(w, *state);
        for (int p = 0; p < pages.count; p++) {
            check_on_page(pages.items[p]);
            check_texts_apart(pages.items[p], *state);
        }
    }
}

static void capitals_can_be_read_at_arms_length(void **state)
{
    for (int w = 0; w < WISHES; w++) {
        const Pages pages = buying_pages(w, *state);
        for (int p = 0; p < pages.count; p++) {
            for (int i = 0; i < pages.items[p]->count; i++) {
                const DrawItem *item = &pages.items[p]->items[i];
                assert_true(item->kind != DRAW_TEXT || item->size_mm >= 2.2);
            }
        }
    }
}

static int count_titles(Pages pages, const char *title)
{
    int count = 0;
    for (int p = 0; p < pages.count; p++) {
        count += strcmp(pages.items[p]->title, title) == 0;
    }
    return count;
}

static void pages_are_there_for_what_is_known(void **state)
{
    const Pages all = buying_pages(0, *state);
    assert_true(count_titles(all, "What to ask for and buy") > 0);
    assert_true(count_titles(all, "Offers side by side") > 0);
    const Pages no_offers = buying_pages(7, *state);
    assert_int_equal(count_titles(no_offers, "Offers side by side"), 0);
    assert_true(count_titles(no_offers, "What to ask for and buy") > 0);
    const Pages no_trials = buying_pages(8, *state);
    assert_int_equal(count_titles(no_trials, "What to ask for and buy"), 0);
    for (int w = 0; w < WISHES; w++) {
        const Pages pages = buying_pages(w, *state);
        assert_true(count_titles(pages, "Which leather") > 0);
        assert_true(count_titles(pages, "In the shop") > 0);
        assert_int_equal(count_titles(pages, "Hides seen"), 1);
    }
}

static bool any_begins(Pages pages, const char *text)
{
    bool found = false;
    for (int p = 0; p < pages.count; p++) {
        found = found || begins(pages.items[p], text);
    }
    return found;
}

static void stopped_trials_say_so(void **state)
{
    const Pages stopped = buying_pages(2, *state);
    const Pages whole = buying_pages(0, *state);
    assert_true(any_begins(stopped, "7 trials: the covers were laid on 7 hides"));
    bool told[2] = {false, false};
    for (int k = 0; k < 2; k++) {
        const Pages pages = k == 0 ? stopped : whole;
        for (int p = 0; p < pages.count; p++) {
            for (int i = 0; i < pages.items[p]->count; i++) {
                const DrawItem *item = &pages.items[p]->items[i];
                told[k] |= item->kind == DRAW_TEXT && strstr(item->text, "were stopped");
            }
        }
    }
    assert_true(told[0] && !told[1]);
    assert_true(any_begins(stopped, "hides unseen: stopped before anything was known"));
    assert_true(any_begins(stopped, "The trials do not tell for sure"));
    assert_false(any_begins(whole, "The trials do not tell for sure"));
}

static void nothing_is_asked_for_when_nothing_is_enough(void **state)
{
    for (int never = 0; never < 2; never++) {
        PackMatter *matter = sample_matter((SampleWish){0}, *state);
        const BuyingMatter *buying =
            sample_buying((SampleBuying){.never_enough = never == 1}, matter, *state);
        Pages pages = {.keep = *state};
        pack_ask(matter, buying->asked, &pages);
        assert_int_equal(any_begins(pages, "No size of hide up to"), never == 1);
        assert_int_equal(any_begins(pages, "at least"), never == 0);
        assert_int_equal(any_begins(pages, "none"), never == 1);
    }
}

/// The first polyline of a layer with more than two points.
static const DrawItem *curve_on(const Drawing *page)
{
    for (int i = 0; i < page->count; i++) {
        const DrawItem *item = &page->items[i];
        if (item->kind == DRAW_LINE && item->layer == LAYER_CHART && item->point_count > 2) {
            return item;
        }
    }
    fail_msg("there is no curve");
    return NULL;
}

// Read back by the numbers at the axes: those up stand in a column, those across in a row.
static void the_curve_stands_at_its_values(void **state)
{
    PackMatter *matter = sample_matter((SampleWish){0}, *state);
    const BuyingMatter *buying = sample_buying((SampleBuying){0}, matter, *state);
    Pages pages = {.keep = *state};
    pack_ask(matter, buying->asked, &pages);
    const Drawing *page = pages.items[0];
    double y0 = (double)NAN;
    double y100 = (double)NAN;
    double x40 = (double)NAN;
    double x60 = (double)NAN;
    for (int i = 0; i < page->count; i++) {
        const DrawItem *item = &page->items[i];
        if (item->kind != DRAW_TEXT) {
            continue;
        }
        const double middle = item->points[0].y + item->size_mm / 2;
        y0 = strcmp(item->text, "0") == 0 && item->align == ALIGN_RIGHT ? middle : y0;
        y100 = strcmp(item->text, "100") == 0 && item->align == ALIGN_RIGHT ? middle : y100;
        x40 =
            strcmp(item->text, "40") == 0 && item->align == ALIGN_MIDDLE ? item->points[0].x : x40;
        x60 =
            strcmp(item->text, "60") == 0 && item->align == ALIGN_MIDDLE ? item->points[0].x : x60;
    }
    const DrawItem *curve = curve_on(page);
    assert_true(curve->point_count > 40);
    for (int i = 0; i < curve->point_count; i++) {
        const double ft2 = 40 + (curve->points[i].x - x40) / (x60 - x40) * 20;
        const double share = (curve->points[i].y - y0) / (y100 - y0);
        CHECK_NEAR(ft2 * 2, round(ft2 * 2), 1e-6);
        const Chance chance =
            tally_chance(&buying->asked->study->tally, (int)lround(ft2 * 2), 1.96);
        CHECK_NEAR(share, chance.share, 1e-9);
    }
}

static void bars_are_as_long_as_they_cost(void **state)
{
    PackMatter *matter = sample_matter((SampleWish){0}, *state);
    const BuyingMatter *buying = sample_buying((SampleBuying){0}, matter, *state);
    Pages pages = {.keep = *state};
    pack_offers(matter, buying->offers, &pages);
    int bars = 0;
    double per_cent = 0;
    for (int i = 0; i < pages.items[0]->count; i++) {
        const DrawItem *item = &pages.items[0]->items[i];
        if (item->kind != DRAW_SHAPE || item->layer != LAYER_CHART) {
            continue;
        }
        const Box box = ring_box((Ring){item->points, item->point_count});
        const OfferCost *cost = &buying->offers->choice->ranking.items[bars];
        const double here = (box.max.x - box.min.x) / (double)cost->bill[BILL_EXPECTED].total;
        per_cent = bars == 0 ? here : per_cent;
        CHECK_NEAR(here, per_cent, 1e-9);
        bars++;
    }
    assert_int_equal(bars, buying->offers->choice->ranking.count);
    assert_true(per_cent > 0);
}

static void steps_of_a_scale_are_round(void **state)
{
    (void)state;
    CHECK_NEAR(chart_step(70, 9), 10, 1e-12);
    CHECK_NEAR(chart_step(9, 9), 1, 1e-12);
    CHECK_NEAR(chart_step(2.9, 9), 0.5, 1e-12);
    CHECK_NEAR(chart_step(0.13, 9), 0.02, 1e-12);
    CHECK_NEAR(chart_step(91, 9), 20, 1e-12);
}

// Two that want the same place go apart by half each; one at the end is held there.
static void labels_go_apart_as_little_as_may_be(void **state)
{
    double two[] = {10, 10};
    chart_spread(two, 2, 4, 0, 100, *state);
    CHECK_NEAR(two[0], 8, 1e-12);
    CHECK_NEAR(two[1], 12, 1e-12);
    double end[] = {98, 99, 100};
    chart_spread(end, 3, 5, 0, 100, *state);
    CHECK_NEAR(end[0], 90, 1e-12);
    CHECK_NEAR(end[2], 100, 1e-12);
    double many[] = {1, 2, 3};
    chart_spread(many, 3, 10, 0, 12, *state);
    CHECK_NEAR(many[1], 6, 1e-12);
}

static double moved(const double *at, const double *wanted, int count)
{
    double sum = 0;
    for (int i = 0; i < count; i++) {
        sum += (at[i] - wanted[i]) * (at[i] - wanted[i]);
    }
    return sum;
}

// Against other places that keep the rules too: none of them moves the labels less.
static void no_other_places_are_nearer(void **state)
{
    enum { LABELS = 6 };
    for (uint64_t seed = 1; seed <= 200; seed++) {
        Random random = random_begin(seed, 0, 0);
        double wanted[LABELS];
        wanted[0] = random_between(&random, 0, 30);
        for (int i = 1; i < LABELS; i++) {
            wanted[i] = wanted[i - 1] + random_between(&random, 0, 9);
        }
        double at[LABELS];
        memcpy(at, wanted, sizeof at);
        chart_spread(at, LABELS, 6, 0, 60, *state);
        for (int i = 0; i < LABELS; i++) {
            assert_true(at[i] > -1e-9 && at[i] < 60 + 1e-9);
            assert_true(i == 0 || at[i] - at[i - 1] > 6 - 1e-9);
        }
        for (int other = 0; other < 50; other++) {
            double there[LABELS];
            double least = 0;
            for (int i = 0; i < LABELS; i++) {
                there[i] = fmax(least, at[i] + random_between(&random, -1, 1));
                least = there[i] + 6;
            }
            if (there[LABELS - 1] <= 60) {
                assert_true(moved(there, wanted, LABELS) >= moved(at, wanted, LABELS) - 1e-9);
            }
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(all_stays_on_the_page_and_apart),
        TEST_IN_ARENA(capitals_can_be_read_at_arms_length),
        TEST_IN_ARENA(pages_are_there_for_what_is_known),
        TEST_IN_ARENA(stopped_trials_say_so),
        TEST_IN_ARENA(nothing_is_asked_for_when_nothing_is_enough),
        TEST_IN_ARENA(the_curve_stands_at_its_values),
        TEST_IN_ARENA(bars_are_as_long_as_they_cost),
        cmocka_unit_test(steps_of_a_scale_are_round),
        TEST_IN_ARENA(labels_go_apart_as_little_as_may_be),
        TEST_IN_ARENA(no_other_places_are_nearer),
    };
    return cmocka_run_group_tests_name("paper/buying", tests, NULL, NULL);
}
