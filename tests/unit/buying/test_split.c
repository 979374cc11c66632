// Who goes together on which hide, and how large the hides must be.
#include "buying/split.h"

#include "base/random.h"
#include "support/check.h"

// Covers without shape: only their areas count here.
typedef struct Set {
    Cover covers[12];
    CoverDemand demands[12];
    int count;
} Set;

static void add(Set *set, const char *seat, int beside, int count, double area_mm2)
{
    Cover *cover = &set->covers[set->count];
    *cover = (Cover){.gross_area_mm2 = area_mm2};
    set->demands[set->count++] =
        (CoverDemand){.cover = cover, .name = "A", .seat = seat, .count = count, .beside = beside};
}

static double hide_mm2(const Set *set, const SplitGroups *groups, int hide)
{
    CoverDemand of_hide[12];
    const int count = split_demands(groups, set->demands, hide, of_hide);
    return demands_cut_mm2(of_hide, count);
}

static void check_all_are_there(const Set *set, const SplitGroups *groups)
{
    for (int i = 0; i < set->count; i++) {
        int sum = 0;
        for (int hide = 0; hide < groups->hides; hide++) {
            const int count = groups->count[hide * set->count + i];
            assert_true(count >= 0);
            sum += count;
        }
        assert_int_equal(sum, set->demands[i].count);
    }
}

static void chairs_of_a_kind_or_side_by_side_are_a_block(void **state)
{
    Set *set = ARENA_NEW(*state, Set);
    add(set, "chair", 0, 4, 1);
    add(set, "chair", 0, 1, 1); // one with a frame of its own
    add(set, "chair", 7, 1, 1); // stands beside the armchairs
    add(set, "armchair", 7, 2, 2);
    add(set, "stool", 0, 3, 1);
    int block[5];
    assert_int_equal(split_blocks(set->demands, 5, block), 3);
    assert_true(block[0] == block[1] && block[2] == block[3]);
    assert_true(block[0] != block[2] && block[4] != block[0] && block[4] != block[2]);
}

static void blocks_stay_whole_and_are_shared_evenly(void **state)
{
    Set *set = ARENA_NEW(*state, Set);
    add(set, "a", 0, 4, 1);
    add(set, "b", 0, 1, 3);
    add(set, "c", 0, 1, 2);
    add(set, "d", 0, 1, 2);
    add(set, "e", 0, 1, 1);
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    SplitGroups groups;
    assert_true(split_by_blocks(set->demands, set->count, 2, *state, scratch, &groups));
    check_all_are_there(set, &groups);
    CHECK_NEAR(hide_mm2(set, &groups, 0), 6, 1e-12);
    CHECK_NEAR(hide_mm2(set, &groups, 1), 6, 1e-12);
    for (int i = 0; i < set->count; i++) {
        assert_false(groups.parted[i]);
        assert_true(groups.count[i] == 0 || groups.count[i] == set->demands[i].count);
    }
    assert_true(split_by_blocks(set->demands, set->count, 3, *state, scratch, &groups));
    for (int hide = 0; hide < 3; hide++) {
        assert_in_range((int)hide_mm2(set, &groups, hide), 3, 5);
    }
    assert_false(split_by_blocks(set->demands, set->count, 6, *state, scratch, &groups));
    assert_int_equal(groups.hides, 3);
    arena_destroy(scratch);
}

static void a_row_is_cut_evenly(void **state)
{
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    Random random = random_begin(4, 0, 0);
    for (int round = 0; round < TRIALS_OF(500); round++) {
        const ArenaMark mark = arena_mark(*state);
        Set *set = ARENA_NEW(*state, Set);
        static const char *const seats[] = {"a", "b", "c"};
        double largest = 0;
        int covers = 0;
        const int demands = 1 + random_below(&random, 6);
        for (int i = 0; i < demands; i++) {
            add(set, seats[random_below(&random, 3)], 0, 1 + random_below(&random, 6),
                random_between(&random, 1, 4));
            largest = fmax(largest, set->covers[i].gross_area_mm2);
            covers += set->demands[i].count;
        }
        const int hides = 1 + random_below(&random, covers < 8 ? covers : 8);
        const SplitGroups groups = split_by_row(set->demands, set->count, hides, *state, scratch);
        check_all_are_there(set, &groups);
        const double share = demands_cut_mm2(set->demands, set->count) / hides;
        int block[12];
        const int blocks = split_blocks(set->demands, set->count, block);
        bool parted[12] = {false};
        for (int hide = 0; hide < hides; hide++) {
            const double area = hide_mm2(set, &groups, hide);
            assert_true(area > 0);
            // A run ends within half a cover of an even share of what is left, and what the runs
            // before it left over or took too much is shared by those behind: two covers at most.
            assert_true(area <= share + 2 * largest);
        }
        int count = 0;
        for (int i = 0; i < set->count; i++) {
            count += groups.parted[i] && !parted[block[i]] ? 1 : 0;
            parted[block[i]] |= groups.parted[i];
        }
        assert_true(count <= hides - 1 && count <= blocks);
        arena_rewind(*state, mark);
    }
    arena_destroy(scratch);
}

static void eight_of_a_kind_are_four_and_four(void **state)
{
    Set *set = ARENA_NEW(*state, Set);
    add(set, "chair", 0, 8, 3);
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    const SplitGroups groups = split_by_row(set->demands, 1, 2, *state, scratch);
    assert_int_equal(groups.count[0], 4);
    assert_int_equal(groups.count[1], 4);
    assert_true(groups.parted[0]);
    arena_destroy(scratch);
}

static Tally *tally_between(int low, int high, Arena *keep)
{
    Tally *tally = ARENA_NEW(keep, Tally);
    for (int step = low; step < high; step++) {
        tally_add(tally, (Bracket){step, step + 1}, false);
    }
    return tally;
}

// Against all pairs and triples of areas.
static void areas_are_the_least(void **state)
{
    Random random = random_begin(9, 0, 0);
    for (int round = 0; round < 30; round++) {
        const ArenaMark mark = arena_mark(*state);
        const Tally *tallies[3];
        for (int hide = 0; hide < 3; hide++) {
            const int low = 20 + random_below(&random, 20);
            tallies[hide] = tally_between(low, low + 5 + random_below(&random, 25), *state);
        }
        const double comfort = random_between(&random, 0.5, 0.99);
        int best = 3 * AREA_STEPS;
        for (int a = 20; a < 75; a++) {
            for (int b = 20; b < 75; b++) {
                const double both = tally_chance(tallies[0], a, 1.96).share *
                                    tally_chance(tallies[1], b, 1.96).share;
                best = both >= comfort && a + b < best ? a + b : best;
            }
        }
        int steps[3];
        assert_true(split_areas(tallies, 2, comfort, 120, steps));
        assert_int_equal(steps[0] + steps[1], best);
        assert_true(tally_chance(tallies[0], steps[0], 1.96).share *
                        tally_chance(tallies[1], steps[1], 1.96).share >=
                    comfort - 1e-12);
        assert_true(split_areas(tallies, 3, comfort, 120, steps));
        double all = 1;
        for (int hide = 0; hide < 3; hide++) {
            all *= tally_chance(tallies[hide], steps[hide], 1.96).share;
        }
        assert_true(all >= comfort - 1e-12);
        // No hide may be so small.
        assert_false(split_areas(tallies, 2, comfort, 19, steps));
        arena_rewind(*state, mark);
    }
}

static void the_interval_of_a_product(void **state)
{
    (void)state;
    const Chance one = chance_of(95, 100, 1.96);
    const Chance same = split_chance(&one, 1);
    CHECK_NEAR(same.share, one.share, 1e-12);
    CHECK_NEAR(same.low, one.low, 1e-12);
    CHECK_NEAR(same.high, one.high, 1e-12);
    const Chance none[2] = {chance_of(0, 100, 1.96), one};
    assert_true(split_chance(none, 2).share == 0 && split_chance(none, 2).high < 0.05);
}

// The true product lies within nearly as often as it should: of 95 in 100, 93 to 99.
static void the_interval_covers(void **state)
{
    (void)state;
    static const double truth[2] = {0.97, 0.985};
    enum { STUDIES = 2000, TRIALS = 200 };
    Random random = random_begin(12, 0, 0);
    int covered = 0;
    for (int study = 0; study < STUDIES; study++) {
        Chance chances[2];
        for (int hide = 0; hide < 2; hide++) {
            int happened = 0;
            for (int i = 0; i < TRIALS; i++) {
                happened += random_share(&random) < truth[hide];
            }
            chances[hide] = chance_of(happened, TRIALS, 1.96);
        }
        const Chance both = split_chance(chances, 2);
        covered += both.low <= truth[0] * truth[1] && truth[0] * truth[1] <= both.high;
    }
    assert_in_range(covered, STUDIES * 93 / 100, STUDIES * 99 / 100);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(chairs_of_a_kind_or_side_by_side_are_a_block),
        TEST_IN_ARENA(blocks_stay_whole_and_are_shared_evenly),
        TEST_IN_ARENA(a_row_is_cut_evenly),
        TEST_IN_ARENA(eight_of_a_kind_are_four_and_four),
        TEST_IN_ARENA(areas_are_the_least),
        cmocka_unit_test(the_interval_of_a_product),
        cmocka_unit_test(the_interval_covers),
    };
    return cmocka_run_group_tests_name("buying/split", tests, NULL, NULL);
}
