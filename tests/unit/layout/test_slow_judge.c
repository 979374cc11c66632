#include "support/small_case.h"
#include "support/trials.h"

#include "support/check.h"

// The judge against a slow one that was thought out another way, on small random layouts
// in which everything touches.

enum { CASES = 6000, FAULTS_MAX = 200 };

typedef struct Tally {
    int cases;
    int accepted;
    int not_simple;
    int faults[LAYOUT_COUNT + 1];
} Tally;

static void print_fault(const char *whose, LayoutFault fault)
{
    print_error("  %s: kind %d, placement %d, other %d, depth %d\n", whose, (int)fault.kind,
                fault.placement, fault.other, fault.depth);
}

static bool alike(const LayoutFault *a, const LayoutFault *b)
{
    return a->kind == b->kind && a->placement == b->placement && a->other == b->other &&
           a->depth == b->depth;
}

static bool any_like(const LayoutFault *faults, int count, const LayoutFault *wanted)
{
    for (int i = 0; i < count; i++) {
        if (alike(&faults[i], wanted)) {
            return true;
        }
    }
    return false;
}

// Faults of the first that the second has not. Of a pair that overlaps for one and not for
// the other, a gap that is not kept follows.
static int missing_faults(const LayoutFault *first, int first_count, const LayoutFault *second,
                          int second_count, const char *whose)
{
    int missing = 0;
    for (int i = 0; i < first_count; i++) {
        LayoutFault overlap = first[i];
        overlap.kind = LAYOUT_OVERLAP;
        if (!any_like(second, second_count, &first[i]) &&
            !(first[i].kind == LAYOUT_GAP && any_like(second, second_count, &overlap))) {
            print_fault(whose, first[i]);
            missing++;
        }
    }
    return missing;
}

static void count_faults(Tally *tally, const SlowVerdict *verdict)
{
    tally->cases++;
    tally->accepted += verdict->count == 0;
    tally->not_simple += !verdict->simple;
    for (int i = 0; i < verdict->count; i++) {
        tally->faults[verdict->faults[i].kind]++;
    }
}

static void check_case(uint64_t trial, Tally *tally, Arena *keep, Arena *scratch)
{
    SmallCase small;
    Random random = random_begin(1837, trial, 0);
    small_case_draw(&small, &random, keep);
    LayoutFault faults[FAULTS_MAX];
    const int found =
        layout_check(&small.task, small.placements, small.count, scratch, faults, FAULTS_MAX);
    assert_true(found <= FAULTS_MAX);
    const SlowVerdict slow = slow_judge(&small.task, small.placements, small.count, keep);
    assert_false(slow.out_of_reach);
    // Whatever an outline became by rounding, what has an area in common is told.
    int wrong = missing_faults(slow.faults, slow.count, faults, found, "only the slow one");
    if (slow.simple) {
        wrong += missing_faults(faults, found, slow.faults, slow.count, "only the judge");
    }
    if (wrong > 0) {
        print_error("trial %llu\n", (unsigned long long)trial);
    }
    assert_int_equal(wrong, 0);
    count_faults(tally, &slow);
}

static void both_judges_say_the_same(void **state)
{
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    const Trials trials = trials_wanted(TRIALS_OF(CASES));
    Tally tally = {0};
    for (uint64_t trial = trials.first; trial < trials.end; trial++) {
        const ArenaMark mark = arena_mark(*state);
        check_case(trial, &tally, *state, scratch);
        arena_rewind(*state, mark);
    }
    arena_destroy(scratch);
    print_message("# %d cases, %d accepted, %d not simple when rounded; off the sheet %d, on "
                  "forbidden %d, overlap %d, gap %d, turn %d, count %d\n",
                  tally.cases, tally.accepted, tally.not_simple, tally.faults[LAYOUT_OFF_SHEET],
                  tally.faults[LAYOUT_ON_FORBIDDEN], tally.faults[LAYOUT_OVERLAP],
                  tally.faults[LAYOUT_GAP], tally.faults[LAYOUT_TURN], tally.faults[LAYOUT_COUNT]);
    // A test that hardly meets the hard cases proves little.
    for (int kind = 0; kind <= LAYOUT_COUNT; kind++) {
        assert_true(tally.faults[kind] * 200 >= tally.cases);
    }
    assert_true(tally.accepted * 200 >= tally.cases);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(both_judges_say_the_same),
    };
    return cmocka_run_group_tests_name("layout/slow_judge", tests, NULL, NULL);
}
