#include "cutting/fit.h"

#include "bench.h"
#include "support/check.h"

static const double degree_rad = 0.017453292519943295;

// Lays, then looks for what would make it fit.
static Fit fit_of(const Laying *laying, double work, const Progress *progress, Arena *keep)
{
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    Problems *problems = problems_in(keep);
    CutPlan plan;
    Fit fit = {.answer_count = -1};
    assert_true(cutting_lay(laying, (LayoutOptions){.seed = 1, .work = 0.2}, NULL, keep, scratch,
                            &plan, problems));
    assert_true(plan.unplaced_count > 0);
    assert_true(cutting_fit(&(FitOrder){laying, &plan, 1, work, 5}, progress, keep, scratch, &fit,
                            problems));
    assert_int_equal(problems->mistakes, 0);
    int harm = 0;
    for (int i = 0; i < fit.answer_count; i++) {
        const FitAnswer *answer = &fit.answers[i];
        const char *words = NULL;
        assert_true(fit_harm(&answer->change, &words) >= harm);
        assert_non_null(words);
        harm = fit_harm(&answer->change, NULL);
        if (answer->change.kind != FIT_FEWER) {
            assert_int_equal(answer->plan.cover_count, fit.bound.wanted);
            assert_int_equal(answer->plan.unplaced_count, 0);
        }
    }
    arena_destroy(scratch);
    return fit;
}

static const FitAnswer *answer_of(const Fit *fit, FitKind kind)
{
    for (int i = 0; i < fit->answer_count; i++) {
        if (fit->answers[i].change.kind == kind) {
            return &fit->answers[i];
        }
    }
    return NULL;
}

static bool failed_at(const Fit *fit, FitKind kind)
{
    for (int i = 0; i < fit->failed_count; i++) {
        if (fit->failed[i].kind == kind) {
            return true;
        }
    }
    return false;
}

// A firm panel: no rim, nothing but what is put on it.
static Hide panel(double length_mm, double width_mm, Arena *keep)
{
    Hide hide = {.name = "panel", .form = HIDE_PANEL, .backbone_mm = length_mm, .region_count = 1};
    hide.outline = box_ring(0, -width_mm / 2, length_mm, width_mm, keep);
    hide.area_mm2 = length_mm * width_mm;
    hide.regions[0] = (Region){REGION_BACK, FIRM, 1, 1.3, polygon_set_of_ring(hide.outline, keep)};
    return hide;
}

static void check_three_degrees_more(double askew_deg, void **state)
{
    // A square of 510 that stands 13.9 degrees askew, for a cover of 500.
    Hide hide = panel(510, 510, *state);
    hide.outline = ring_moved(hide.outline, (Motion){0, 0, askew_deg * degree_rad}, *state);
    hide.regions[0].area = polygon_set_of_ring(hide.outline, *state);
    const Cover cover = plain_cover(500, 500, *state);
    const CoverDemand demand = {&cover, "A", "stool", NULL, 1, 0};
    LayingRules rules = plain_rules();
    rules.turn_window_rad = 10 * degree_rad;
    const Fit fit = fit_of(&(Laying){&demand, 1, &hide, 1, &rules}, 4, NULL, *state);
    const FitAnswer *turn = answer_of(&fit, FIT_TURN);
    assert_non_null(turn);
    CHECK_NEAR(turn->change.turn_window_rad / degree_rad, 13, 1e-9);
    CHECK_NEAR(turn->laying.rules->turn_window_rad / degree_rad, 13, 1e-9);
    assert_true(failed_at(&fit, FIT_EITHER_WAY));
    assert_null(answer_of(&fit, FIT_GRIP));  // its recipe is not known
    assert_null(answer_of(&fit, FIT_FEWER)); // it is the only one
}

static void three_degrees_more(void **state)
{
    check_three_degrees_more(13.9, state);
    check_three_degrees_more(-13.9, state);
}

static void a_scar_in_the_way_may_be_allowed_and_a_hole_never(void **state)
{
    Hide hide = panel(520, 520, *state);
    add_flaw(&hide, FLAW_SCAR, box_ring(240, -20, 40, 40, *state), *state);
    const Cover cover = plain_cover(500, 500, *state);
    const CoverDemand demand = {&cover, "A", "stool", NULL, 1, 0};
    const LayingRules rules = plain_rules();
    const Laying laying = {&demand, 1, &hide, 1, &rules};
    const Fit fit = fit_of(&laying, 4, NULL, *state);
    const FitAnswer *scar = answer_of(&fit, FIT_FLAW);
    assert_non_null(scar);
    assert_int_equal(scar->change.flaw, FLAW_SCAR);
    assert_int_equal(scar->change.allowed_now, BAND_EDGE);
    assert_int_equal(scar->change.allowed, BAND_FACE);
    assert_int_equal(scar->plan.covers[0].touches[0].band, BAND_FACE); // told in the plan
    assert_int_equal(laying.rules->table.flaw[FLAW_SCAR], BAND_EDGE);
    hide.flaws[0].kind = FLAW_HOLE;
    const Fit hole = fit_of(&laying, 4, NULL, *state);
    assert_null(answer_of(&hole, FIT_FLAW));
    assert_false(failed_at(&hole, FIT_FLAW)); // not even tried
}

static void only_as_many_bands_as_needed(void **state)
{
    // A stain that reaches 45 mm in from the edge of the cover: past the turn, which ends
    // at 60, no; past the grip, which ends at 30, yes. The user wants none anywhere.
    Hide hide = panel(500, 500, *state);
    add_flaw(&hide, FLAW_STAIN, box_ring(0, -20, 35, 40, *state), *state); // + 5 mm margin
    const Cover cover = plain_cover(490, 490, *state);
    const CoverDemand demand = {&cover, "A", "stool", NULL, 1, 0};
    LayingRules rules = plain_rules();
    rules.table.flaw[FLAW_STAIN] = NO_BAND;
    const Fit fit = fit_of(&(Laying){&demand, 1, &hide, 1, &rules}, 4, NULL, *state);
    const FitAnswer *stain = answer_of(&fit, FIT_FLAW);
    assert_non_null(stain);
    assert_int_equal(stain->change.allowed, BAND_TURN);
}

static void soft_leather_round_the_edge(void **state)
{
    Hide hide = panel(500, 500, *state);
    const Ring belly = box_ring(0, 170, 500, 80, *state); // 80 deep: through grip and turn
    hide.regions[1] = (Region){REGION_BELLY, SOFT, 1.8, 1.5, polygon_set_of_ring(belly, *state)};
    hide.region_count = 2;
    const Cover cover = plain_cover(490, 490, *state);
    const CoverDemand demand = {&cover, "A", "stool", NULL, 1, 0};
    const LayingRules rules = plain_rules();
    const Fit fit = fit_of(&(Laying){&demand, 1, &hide, 1, &rules}, 4, NULL, *state);
    const FitAnswer *soft = answer_of(&fit, FIT_FIRMNESS);
    assert_non_null(soft);
    assert_int_equal(soft->change.firmness, SOFT);
    assert_int_equal(soft->change.allowed, BAND_EDGE);
}

// A cover with everything that it is made by, which must outlive it.
typedef struct Bench {
    BuildUp build_up;
    Fixing fixing;
    LeatherSheet leather;
    CoverRecipe recipe;
    Cover cover;
} Bench;

static const Bench *square_seat(Arena *keep)
{
    Bench *bench = ARENA_NEW(keep, Bench);
    bench->build_up = (BuildUp){
        .frame_thickness_mm = 18, .padding_edge_mm = {{20, 20, 20, 20}}, .edge_radius_mm = 10};
    bench->fixing = (Fixing){.tack_inset_mm = {{20, 20, 20, 20}},
                             .hold_mm = {{12, 12, 12, 12}},
                             .grip_mm = {{30, 25, 25, 25}}};
    bench->leather = (LeatherSheet){.thickness_mm = 1.2};
    bench->recipe = (CoverRecipe){&bench->build_up, &bench->fixing, &bench->leather, CUT_FOLLOWING};
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    assert_true(cover_make(box_ring(-200, 0, 400, 400, keep), &bench->recipe, "seat", keep, scratch,
                           &bench->cover, problems_in(keep)));
    arena_destroy(scratch);
    return bench;
}

static Box cut_box(const Cover *cover)
{
    return ring_box(cover->cut);
}

static void a_shorter_grip_on_the_sides_that_need_it(void **state)
{
    // 12 mm short from front to back: 5 mm less at both ends is not enough, 10 is.
    const Bench *bench = square_seat(*state);
    const Box box = cut_box(&bench->cover);
    const Hide hide = panel(box.max.y - box.min.y - 12, box.max.x - box.min.x + 6, *state);
    const CoverDemand demand = {&bench->cover, "A", "stool", NULL, 1, 0};
    LayingRules rules = plain_rules();
    rules.turn_window_rad = 0;
    const Fit fit = fit_of(&(Laying){&demand, 1, &hide, 1, &rules}, 4, NULL, *state);
    const FitAnswer *grip = answer_of(&fit, FIT_GRIP);
    assert_non_null(grip);
    CHECK_NEAR(grip->change.shorter_mm, 10, 1e-9);
    assert_true(grip->change.sides[SIDE_FRONT] && grip->change.sides[SIDE_BACK]);
    assert_false(grip->change.sides[SIDE_LEFT] || grip->change.sides[SIDE_RIGHT]);
    const Cover *cover = grip->laying.demands[0].cover;
    const Box shorter = cut_box(cover);
    CHECK_NEAR(shorter.max.y - shorter.min.y, box.max.y - box.min.y - 20, 0.05);
    CHECK_NEAR(shorter.max.x - shorter.min.x, box.max.x - box.min.x, 0.05);
    CHECK_NEAR(cover->path[SIDE_FRONT].grip_mm, 20, 1e-9);
    CHECK_NEAR(bench->cover.path[SIDE_FRONT].grip_mm, 30, 1e-9); // the old one as it was
}

static void no_grip_gets_shorter_than_pliers_need(void **state)
{
    const Bench *bench = square_seat(*state);
    const Box box = cut_box(&bench->cover);
    const Hide hide = panel(box.max.y - box.min.y - 31, 1000, *state);
    const CoverDemand demand = {&bench->cover, "A", "stool", NULL, 1, 0};
    LayingRules rules = plain_rules();
    rules.turn_window_rad = 0;
    // Front 30 and back 25 may give 20 + 15 and keep 10; after three steps of 5 it is 30.
    const Fit fit = fit_of(&(Laying){&demand, 1, &hide, 1, &rules}, 4, NULL, *state);
    const FitAnswer *grip = answer_of(&fit, FIT_GRIP);
    assert_non_null(grip);
    const Cover *cover = grip->laying.demands[0].cover;
    CHECK_NEAR(cover->path[SIDE_FRONT].grip_mm, 10, 1e-9);
    CHECK_NEAR(cover->path[SIDE_BACK].grip_mm, 10, 1e-9);
    const Hide shorter = panel(box.max.y - box.min.y - 36, 1000, *state);
    const Fit none = fit_of(&(Laying){&demand, 1, &shorter, 1, &rules}, 4, NULL, *state);
    assert_null(answer_of(&none, FIT_GRIP));
    assert_true(failed_at(&none, FIT_GRIP));
}

static void a_larger_hide_and_a_cover_fewer(void **state)
{
    // Two covers of 500 x 500 need a panel of 500 x 1003; this one has 480 x 962.88, so its
    // area must be 8.5 % larger: 10 in steps of 2.
    const Hide hide = panel(480, 962.88, *state);
    const Cover cover = plain_cover(500, 500, *state);
    const Cover small = plain_cover(300, 300, *state);
    const CoverDemand demands[] = {{&cover, "A", "stool", NULL, 2, 0},
                                   {&small, "B", "low", NULL, 1, 0}};
    LayingRules rules = plain_rules();
    rules.turn_window_rad = 0;
    const Fit fit = fit_of(&(Laying){demands, 1, &hide, 1, &rules}, 8, NULL, *state);
    const FitAnswer *larger = answer_of(&fit, FIT_LARGER);
    assert_non_null(larger);
    CHECK_NEAR(larger->change.larger, 0.10, 1e-9);
    CHECK_NEAR(larger->laying.hides[0].area_mm2, 1.10 * hide.area_mm2, 1);
    CHECK_NEAR(polygon_set_area_mm2(larger->laying.hides[0].regions[0].area), 1.10 * hide.area_mm2,
               1);
    assert_null(answer_of(&fit, FIT_FEWER)); // not even one lies on it
    const Fit two = fit_of(&(Laying){demands, 2, &hide, 1, &rules}, 2, NULL, *state);
    const FitAnswer *fewer = answer_of(&two, FIT_FEWER);
    assert_non_null(fewer);
    assert_int_equal(fewer->change.fewer, 2);
    assert_int_equal(fewer->plan.cover_count, 1);
}

static bool stop_after(void *context, const char *what, double share)
{
    assert_non_null(what);
    assert_true(share >= 0 && share <= 1);
    int *left = context;
    return --*left > 0;
}

static void a_stop_keeps_the_answers_so_far(void **state)
{
    Hide hide = panel(520, 520, *state);
    add_flaw(&hide, FLAW_SCAR, box_ring(240, -20, 40, 40, *state), *state);
    const Cover cover = plain_cover(500, 500, *state);
    const CoverDemand demand = {&cover, "A", "stool", NULL, 1, 0};
    const LayingRules rules = plain_rules();
    const Laying laying = {&demand, 1, &hide, 1, &rules};
    int fewest = 99;
    int most = -1;
    for (int reports = 1; reports < 100; reports += 7 * STRIDE) {
        int left = reports;
        const Fit fit = fit_of(&laying, 1, &(Progress){stop_after, &left}, *state);
        assert_true(fit.stopped || left > 0);
        fewest = fit.answer_count < fewest ? fit.answer_count : fewest;
        most = fit.answer_count > most ? fit.answer_count : most;
    }
    assert_int_equal(fewest, 0);
    assert_true(most > 0);
    const Fit none = fit_of(&laying, 0, NULL, *state); // the bound alone
    assert_int_equal(none.answer_count + none.failed_count, 0);
    assert_true(none.bound.nowhere[0]); // under the rules as they are
}

static void further_in_is_never_less_harm(void **state)
{
    (void)state;
    for (int kind = 0; kind < FLAW_KIND_COUNT; kind++) {
        int harm = 0;
        for (int band = BAND_GRIP; band >= BAND_FACE; band--) {
            const FitChange change = {.kind = FIT_FLAW, .flaw = (FlawKind)kind, .allowed = band};
            const int now = fit_harm(&change, NULL);
            assert_true(now >= harm);
            harm = now;
        }
    }
    for (int kind = 0; kind < FIRMNESS_COUNT; kind++) {
        int harm = 0;
        for (int band = BAND_GRIP; band >= BAND_EDGE; band--) {
            const FitChange change = {
                .kind = FIT_FIRMNESS, .firmness = (Firmness)kind, .allowed = band};
            assert_true(fit_harm(&change, NULL) >= harm);
            harm = fit_harm(&change, NULL);
        }
    }
    const FlawKind parting[] = {FLAW_HOLE, FLAW_FLAY_CUT, FLAW_OPEN_SCAR, FLAW_THIN};
    for (int i = 0; i < 4; i++) {
        for (int band = 0; band < BAND_COUNT; band++) {
            const FitChange change = {.kind = FIT_FLAW, .flaw = parting[i], .allowed = band};
            assert_int_equal(fit_harm(&change, NULL), 0);
        }
    }
    int harm = 0;
    for (int degrees = 5; degrees < 30; degrees++) {
        const FitChange change = {.kind = FIT_TURN, .turn_window_rad = degrees * degree_rad};
        assert_true(fit_harm(&change, NULL) >= harm);
        harm = fit_harm(&change, NULL);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(three_degrees_more),
        TEST_IN_ARENA(a_scar_in_the_way_may_be_allowed_and_a_hole_never),
        TEST_IN_ARENA(only_as_many_bands_as_needed),
        TEST_IN_ARENA(soft_leather_round_the_edge),
        TEST_IN_ARENA(a_shorter_grip_on_the_sides_that_need_it),
        TEST_IN_ARENA(no_grip_gets_shorter_than_pliers_need),
        TEST_IN_ARENA(a_larger_hide_and_a_cover_fewer),
        TEST_IN_ARENA(a_stop_keeps_the_answers_so_far),
        TEST_IN_ARENA(further_in_is_never_less_harm),
    };
    return cmocka_run_group_tests_name("cutting/fit", tests, NULL, NULL);
}
