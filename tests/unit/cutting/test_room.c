// Room on drawn hides, held against the task that a layout gets of the same hides.
#include "cutting/room.h"
#include "hide/population.h"

#include "support/check.h"
#include "support/sample_cover.h"

enum { TRIALS = 12, WANTED = 8 };

typedef struct Bench {
    Cover cover;
    CoverDemand demand;
    LayingRules rules;
    RoomCovers covers;
} Bench;

static Bench *bench_of(Arena *keep)
{
    Bench *bench = ARENA_NEW(keep, Bench);
    bench->cover = sample_cover(1, keep);
    bench->demand =
        (CoverDemand){.cover = &bench->cover, .name = "A", .seat = "dining", .count = WANTED};
    bench->rules = (LayingRules){
        .turn_window_rad = 0.17, .either_way = true, .gap_mm = 3, .table = tolerance_defaults()};
    assert_true(room_covers_make(&bench->demand, 1, &bench->rules, (RoomStock){5e6, 1},
                                 &bench->covers, problems_in(keep)));
    assert_int_equal(bench->covers.wanted, WANTED);
    return bench;
}

static Hide drawn_hide(HideForm form, double area_mm2, uint64_t trial, Arena *keep)
{
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    const HideAsk ask = {.form = form, .area_mm2 = area_mm2};
    const Hide hide =
        hide_draw(&hide_grades[trial % HIDE_GRADES], ask, (HideTrial){5, trial}, keep, scratch)
            .hide;
    arena_destroy(scratch);
    return hide;
}

// What the probe lays on the hide as it takes it, the judge accepts on the hide as a layout has it.
static void the_judge_accepts_what_is_laid(void **state)
{
    Bench *bench = bench_of(*state);
    int laid = 0;
    for (uint64_t trial = 0; trial < TRIALS; trial++) {
        const ArenaMark mark = arena_mark(*state);
        const bool side = trial % 3 == 2;
        // The task keeps covers off a rim beside the strip along a side's cut as well.
        bench->rules.table.rim = side ? BAND_FACE : BAND_GRIP;
        const Hide hide =
            drawn_hide(side ? HIDE_SIDE : HIDE_WHOLE, side ? 2.6e6 : 5e6, trial, *state);
        const Laying laying = {&bench->demand, 1, &hide, 1, &bench->rules};
        Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
        LayoutTask task;
        assert_true(cutting_task(&laying, *state, scratch, &task, problems_in(*state)));
        const ProbeSheet sheet = room_sheet(&hide, &bench->rules.table, *state);
        const ProbeCare care = {.seed = trial, .quick_work = 0.001};
        ProbeFound found;
        assert_true(probe_look(bench->covers.probe, &sheet, 1, care, *state, scratch, &found));
        assert_int_equal(layout_check(&task, found.placements, found.count, scratch, NULL, 0), 0);
        arena_destroy(scratch);
        laid += found.count;
        arena_rewind(*state, mark);
    }
    print_message("# %d covers on %d hides\n", laid, TRIALS);
    assert_true(laid > 2 * TRIALS);
    room_covers_drop(&bench->covers);
}

static Room room_on(const Bench *bench, const Hide *hides, int count, Arena *keep)
{
    Room room;
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    const RoomCare care = room_care_default();
    assert_true(
        cutting_room(&bench->covers, hides, count, &care, scratch, &room, problems_in(keep)));
    arena_destroy(scratch);
    return room;
}

static void larger_hides_and_more_of_them_hold_more(void **state)
{
    Bench *bench = bench_of(*state);
    for (uint64_t trial = 0; trial < 4; trial++) {
        Hide hides[3];
        hides[0] = drawn_hide(HIDE_WHOLE, 1.5e6, trial, *state);
        hides[1] = drawn_hide(HIDE_WHOLE, 9e6, trial, *state);
        const int on_small = room_on(bench, &hides[0], 1, *state).missing;
        assert_true(on_small > 4);
        assert_true(room_on(bench, &hides[1], 1, *state).missing < on_small);
        assert_true(room_on(bench, hides, 2, *state).missing <= 1);
    }
    room_covers_drop(&bench->covers);
}

// The rim of a side goes round its natural edge and leaves the cut out.
static void sides_have_no_rim_along_the_cut(void **state)
{
    const ToleranceTable table = tolerance_defaults();
    for (uint64_t trial = 0; trial < TRIALS; trial++) {
        const Hide side = drawn_hide(HIDE_SIDE, 2.4e6, trial, *state);
        const ProbeSheet sheet = room_sheet(&side, &table, *state);
        int rims = 0;
        for (int i = 0; i < sheet.area_count; i++) {
            if (!sheet.areas[i].edge_only) {
                continue;
            }
            rims++;
            // There and back: all corners but the two ends twice.
            const Ring rim = sheet.areas[i].ring;
            int natural = 0;
            for (int k = 0; k < side.outline.count; k++) {
                natural += fabs(side.outline.points[k].y) > 15 ? 1 : 0;
            }
            assert_int_equal(rim.count, 2 * natural - 2);
            for (int k = 0; k < rim.count; k++) {
                assert_true(fabs(rim.points[k].y) > 15);
            }
        }
        assert_int_equal(rims, 1);
    }
    const Hide whole = drawn_hide(HIDE_WHOLE, 4.8e6, 1, *state);
    const ProbeSheet sheet = room_sheet(&whole, &table, *state);
    assert_ptr_equal(sheet.areas[sheet.area_count - 1].ring.points, whole.outline.points);
}

static void bad_rules_are_told(void **state)
{
    const Cover cover = sample_cover(1, *state);
    const CoverDemand demand = {.cover = &cover, .name = "A", .count = 1};
    const LayingRules rules = {.gap_mm = -1, .table = tolerance_defaults()};
    Problems *problems = problems_in(*state);
    RoomCovers covers;
    assert_false(room_covers_make(&demand, 1, &rules, (RoomStock){5e6, 1}, &covers, problems));
    assert_string_equal(problems->items[0].where, "laying.gap");
    room_covers_drop(&covers);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(the_judge_accepts_what_is_laid),
        TEST_IN_ARENA(larger_hides_and_more_of_them_hold_more),
        TEST_IN_ARENA(sides_have_no_rim_along_the_cut),
        TEST_IN_ARENA(bad_rules_are_told),
    };
    return cmocka_run_group_tests_name("cutting/room", tests, NULL, NULL);
}
