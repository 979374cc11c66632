// Chances of purchases whose right answer is known: squares on rectangles.
#include "buying/chances.h"
#include "rectangles.h"
#include "support/check.h"
#include "support/stop.h"

typedef struct Bench {
    Rectangles rectangles;
    ChanceTask task;
    ChanceStudy study;
    int drawn[HIDE_GRADES];
    Chances *chances;
    Problems *problems;
} Bench;

// Counts for each grade.
static bool draw_and_count(void *context, const HideAsked *asked, Arena *keep, Arena *scratch,
                           Hide *hide, Problems *problems)
{
    int *drawn = context;
    return draw_rectangle(&drawn[asked->grade - hide_grades], asked, keep, scratch, hide, problems);
}

static Bench *bench_of(int covers, Arena *keep)
{
    Bench *bench = ARENA_NEW(keep, Bench);
    rectangles_begin(&bench->rectangles, covers, cover_mm, keep);
    bench->task = (ChanceTask){.demands = &bench->rectangles.demand,
                               .demand_count = 1,
                               .rules = &bench->rectangles.rules,
                               .care = room_care_default(),
                               .panel_work = 0.1,
                               .seed = 5,
                               .comfort = 0.9,
                               .trials = 512,
                               .threads = 1};
    bench->task.draw = draw_and_count;
    bench->task.context = bench->drawn;
    bench->task.care.careful_work = 0.01;
    bench->problems = problems_in(keep);
    bench->chances = chances_begin(&bench->task, keep, bench->problems);
    return bench;
}

static Offer unseen(double low_mm2)
{
    return (Offer){
        .form = HIDE_WHOLE, .area_mm2 = {low_mm2, 1.1 * low_mm2}, .grade = &hide_grades[1]};
}

// The area at which a hide is enough in a share of all cases.
static double area_for(double share)
{
    return cover_mm * cover_mm * exp(2 * most_stretched * share) * (1 + 1e-4);
}

// In how many of the first trials one of the pieces holds the cover.
static int holding(int trials, const double *areas_mm2, int count)
{
    int holding = 0;
    for (int trial = 0; trial < trials; trial++) {
        bool holds = false;
        for (int i = 0; i < count; i++) {
            const HideAsked asked = {.seed = 5, .trial = (uint64_t)trial, .number = i};
            holds |= sqrt(areas_mm2[i]) * exp(-stretched(&asked)) >= cover_mm;
        }
        holding += holds ? 1 : 0;
    }
    return holding;
}

static void the_chance_is_the_share_of_its_trials(void **state)
{
    Bench *bench = bench_of(1, *state);
    const double shares[] = {0.3, 0.7, 0.85, 0.95, 1.01};
    for (int i = 0; i < 5; i++) {
        const double area_mm2 = area_for(shares[i]);
        const Offer offer = unseen(area_mm2);
        const Purchase purchase = {.offer = &offer, .count = 1};
        const double chance = chances_of(bench->chances, &purchase);
        const ChanceTold told = chances_told(bench->chances, &purchase);
        assert_int_equal(told.from, CHANCE_BY_TRIALS);
        CHECK_NEAR(chance, holding(told.trials, &area_mm2, 1) / (double)told.trials, 1e-12);
        assert_true(told.chance.low <= shares[i] && told.chance.high >= fmin(1, shares[i]));
    }
    assert_false(chances_missed(bench->chances));
    assert_true(bench->drawn[1] > 0 && bench->drawn[0] == 0);
}

// Trials go on while they leave open whether the comfort, 0.9, is reached, and no longer.
static void trials_until_it_is_decided(void **state)
{
    Bench *bench = bench_of(1, *state);
    const Offer far = unseen(area_for(0.3));
    const Offer near = unseen(area_for(0.9));
    const Purchase clear = {.offer = &far, .count = 1};
    const Purchase open = {.offer = &near, .count = 1};
    (void)chances_of(bench->chances, &clear);
    (void)chances_of(bench->chances, &open);
    assert_int_equal(chances_told(bench->chances, &clear).trials, CHANCE_BATCH);
    assert_int_equal(chances_told(bench->chances, &open).trials, CHANCE_DECIDED);
    assert_true(chances_want(bench->chances, &open, 400));
    (void)chances_of(bench->chances, &open);
    assert_in_range(chances_told(bench->chances, &open).trials, 400, 416);
    assert_true(chances_want(bench->chances, &open, 5000));
    (void)chances_of(bench->chances, &open);
    assert_int_equal(chances_told(bench->chances, &open).trials, 512);
    assert_false(chances_want(bench->chances, &open, 6000));
}

static void unlike_pieces_together(void **state)
{
    Bench *bench = bench_of(1, *state);
    const OfferPiece pieces[] = {{NULL, area_for(0.7)}, {NULL, area_for(0.2)}, {NULL, 1}};
    const Offer offer = {
        .form = HIDE_SIDE, .pieces = pieces, .piece_count = 3, .grade = &hide_grades[1]};
    const int chosen[] = {1, 0};
    const double areas_mm2[] = {area_for(0.2), area_for(0.7)};
    const Purchase two = {.offer = &offer, .count = 2, .chosen = chosen};
    const double chance = chances_of(bench->chances, &two);
    const int trials = chances_told(bench->chances, &two).trials;
    CHECK_NEAR(chance, holding(trials, areas_mm2, 2) / (double)trials, 1e-12);
    const int least[] = {2};
    const Purchase scrap = {.offer = &offer, .count = 1, .chosen = least};
    CHECK_NEAR(chances_of(bench->chances, &scrap), 0, 0);
    assert_int_equal(chances_told(bench->chances, &scrap).from, CHANCE_BY_AREA);
}

// Only trials without room on the first hide have a second one drawn, and no purchase that is
// larger or more has a lesser chance.
static void what_has_room_is_not_tried_again(void **state)
{
    Bench *bench = bench_of(1, *state);
    const Offer offer = unseen(area_for(0.5));
    const Offer larger = unseen(area_for(0.6));
    const Purchase one = {.offer = &offer, .count = 1};
    const Purchase two = {.offer = &offer, .count = 2};
    const Purchase large = {.offer = &larger, .count = 1};
    const double first = chances_of(bench->chances, &one);
    assert_int_equal(bench->drawn[1], CHANCE_BATCH);
    const int without = CHANCE_BATCH - (int)lround(first * CHANCE_BATCH);
    assert_true(chances_of(bench->chances, &large) >= first);
    assert_int_equal(bench->drawn[1], CHANCE_BATCH + without);
    const double second = chances_of(bench->chances, &two);
    assert_true(second >= first);
    const double areas_mm2[] = {area_for(0.5), area_for(0.5)};
    const int trials = chances_told(bench->chances, &two).trials;
    CHECK_NEAR(second, holding(trials, areas_mm2, 2) / (double)trials, 1e-12);
    assert_int_equal(chances_drawn(bench->chances), bench->drawn[1]);
}

static void a_study_answers_for_its_own_kind(void **state)
{
    Bench *bench = bench_of(1, *state);
    Tally *tally = ARENA_NEW(*state, Tally);
    // Room from 10 ft² on in three of four trials, from 12 ft² in all.
    tally_add(tally, (Bracket){19, 20}, false);
    tally_add(tally, (Bracket){19, 20}, false);
    tally_add(tally, (Bracket){19, 20}, false);
    tally_add(tally, (Bracket){23, 24}, false);
    bench->study = (ChanceStudy){tally, HIDE_WHOLE, &hide_grades[1], 2};
    bench->task.studies = &bench->study;
    bench->task.study_count = 1;
    const double ft2[] = {10, 11.75, 12};
    const double chances[] = {0.75, 0.875, 1}; // between two steps evenly
    for (int i = 0; i < 3; i++) {
        const Offer offer = unseen(ft2[i] * MM2_PER_FT2);
        const Purchase two = {.offer = &offer, .count = 2};
        CHECK_NEAR(chances_of(bench->chances, &two), chances[i], 1e-9);
        assert_int_equal(chances_told(bench->chances, &two).from, CHANCE_BY_STUDY);
        assert_false(chances_want(bench->chances, &two, 64));
    }
    assert_int_equal(bench->drawn[1], 0);
    Offer other = unseen(10 * MM2_PER_FT2);
    other.grade = &hide_grades[2];
    const Purchase two = {.offer = &other, .count = 2};
    (void)chances_of(bench->chances, &two);
    assert_int_equal(chances_told(bench->chances, &two).from, CHANCE_BY_TRIALS);
    assert_true(bench->drawn[2] > 0);
}

// Squares of 600 mm on 600 by 1200 mm: two on each.
static void panels_are_laid_once(void **state)
{
    Bench *bench = bench_of(5, *state);
    Offer offer = {.form = HIDE_PANEL, .panel_length_mm = 600, .panel_width_mm = 1200};
    for (int count = 1; count < 6; count++) {
        const Purchase purchase = {.offer = &offer, .count = count};
        CHECK_NEAR(chances_of(bench->chances, &purchase), count < 3 ? 0 : 1, 0);
        const ChanceTold told = chances_told(bench->chances, &purchase);
        assert_int_equal(told.from, CHANCE_BY_LAYOUT);
        CHECK_NEAR(told.chance.high - told.chance.low, 0, 0);
    }
    offer.panel_length_mm = 599;
    const Purchase small = {.offer = &offer, .count = 900};
    CHECK_NEAR(chances_of(bench->chances, &small), 0, 0);
    assert_true(problems_none(bench->problems));
}

static void many_covers_on_panels(void **state)
{
    Bench *bench = bench_of(51, *state);
    const Offer offer = {.form = HIDE_PANEL, .panel_length_mm = 600, .panel_width_mm = 1200};
    const Purchase few = {.offer = &offer, .count = 25};
    const Purchase enough = {.offer = &offer, .count = 26};
    CHECK_NEAR(chances_of(bench->chances, &few), 0, 0);
    CHECK_NEAR(chances_of(bench->chances, &enough), 1, 0);
}

static void threads_do_not_change_the_chance(void **state)
{
    double found[2];
    for (int threads = 1; threads <= 2; threads++) {
        Bench *bench = bench_of(2, *state);
        bench->task.threads = threads;
        // The counts of what is drawn are not made for several threads.
        bench->task.draw = draw_rectangle;
        bench->task.context = NULL;
        const Offer offer = unseen(area_for(0.8));
        const Purchase purchase = {.offer = &offer, .count = 2};
        found[threads - 1] = chances_of(bench->chances, &purchase);
    }
    CHECK_NEAR(found[0], found[1], 0);
    assert_true(found[0] > 0 && found[0] < 1);
}

// More hides than are tried at once count as so many.
static void very_many_hides(void **state)
{
    Bench *bench = bench_of(1, *state);
    const Offer offer = unseen(area_for(0.05));
    const Purchase most = {.offer = &offer, .count = CHANCE_HIDES_MAX};
    const Purchase more = {.offer = &offer, .count = OFFER_BUY_MAX};
    const double chance = chances_of(bench->chances, &more);
    const int drawn = bench->drawn[1];
    CHECK_NEAR(chances_of(bench->chances, &most), chance, 0);
    assert_int_equal(bench->drawn[1], drawn);
}

static void a_stop_keeps_what_is_known(void **state)
{
    for (int after = 0; after < 200; after += 45 * STRIDE) {
        Bench *bench = bench_of(1, *state);
        Stop stop = {0, after};
        const Progress progress = {stop_after, &stop};
        bench->task.progress = &progress;
        bench->chances = chances_begin(&bench->task, *state, bench->problems);
        chances_report(bench->chances, "offer 1 of 1", 1);
        const double area_mm2 = area_for(0.9);
        const Offer offer = unseen(area_mm2);
        const Purchase purchase = {.offer = &offer, .count = 1};
        const double chance = chances_of(bench->chances, &purchase);
        const ChanceTold told = chances_told(bench->chances, &purchase);
        assert_true(chances_stopped(bench->chances));
        assert_false(chances_failed(bench->chances));
        assert_int_equal(chances_missed(bench->chances), told.trials == 0);
        assert_int_equal(told.from, told.trials > 0 ? CHANCE_BY_TRIALS : CHANCE_UNKNOWN);
        assert_true(told.trials < CHANCE_DECIDED && (told.trials > 0) == (after > 0));
        if (told.trials > 0) {
            CHECK_NEAR(chance, holding(told.trials, &area_mm2, 1) / (double)told.trials, 1e-12);
        }
        const Offer panels = {.form = HIDE_PANEL, .panel_length_mm = 600, .panel_width_mm = 600};
        const Purchase panel = {.offer = &panels, .count = 1};
        (void)chances_of(bench->chances, &panel);
        assert_true(chances_missed(bench->chances));
    }
}

static void a_hide_that_cannot_be_drawn_is_told(void **state)
{
    Bench *bench = bench_of(1, *state);
    bench->task.draw = draw_nothing;
    const Offer offer = unseen(area_for(0.5));
    const Purchase purchase = {.offer = &offer, .count = 1};
    (void)chances_of(bench->chances, &purchase);
    assert_true(chances_failed(bench->chances));
    assert_int_equal(bench->problems->items[0].kind, PROBLEM_SYSTEM);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(the_chance_is_the_share_of_its_trials),
        TEST_IN_ARENA(trials_until_it_is_decided),
        TEST_IN_ARENA(unlike_pieces_together),
        TEST_IN_ARENA(what_has_room_is_not_tried_again),
        TEST_IN_ARENA(a_study_answers_for_its_own_kind),
        TEST_IN_ARENA(panels_are_laid_once),
        TEST_IN_ARENA(many_covers_on_panels),
        TEST_IN_ARENA(threads_do_not_change_the_chance),
        TEST_IN_ARENA(very_many_hides),
        TEST_IN_ARENA(a_stop_keeps_what_is_known),
        TEST_IN_ARENA(a_hide_that_cannot_be_drawn_is_told),
    };
    return cmocka_run_group_tests_name("buying/chances", tests, NULL, NULL);
}
