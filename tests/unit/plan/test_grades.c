// Property: with more brands, and all else alike, no area is enough more often. The same hides are
// drawn, and what is added can only be in the way. One large cover, for which the search overlooks
// nothing; with many it may find by luck among more flaws what it missed among fewer.
#include "plan/buy.h"

#include "support/check.h"

static const char job[] =
    "{\"seatwright\": 1, \"name\": \"brands\", \"units\": \"in\", \"search\": {\"seed\": %d},"
    " \"seats\": [{\"name\": \"stool\", \"frame\": {\"shape\": \"taper\", \"front\": "
    "18, \"back\": 17,"
    " \"depth\": 36}, \"board\": {\"thickness\": \"3/4\"}, \"padding\": {\"edge\": "
    "1}}],"
    " \"grades\": [{\"name\": \"none\", \"like\": \"lively\", \"branded\": 0},"
    " {\"name\": \"some\", \"like\": \"lively\", \"branded\": 0.4},"
    " {\"name\": \"one each\", \"like\": \"lively\", \"branded\": 1, \"second_brand\": 0},"
    " {\"name\": \"two each\", \"like\": \"lively\", \"branded\": 1, \"second_brand\": 1}]}";

static const char *const grades[] = {"none", "some", "one each", "two each"};
enum { GRADES = sizeof grades / sizeof grades[0], TRIALS = 24 };

static void derive(int seed, Arena *keep, Derived *derived)
{
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    const char *text = arena_text(keep, job, seed);
    Problems *problems = problems_in(keep);
    assert_true(plan_derive_text(text, strlen(text), "job", keep, scratch, derived, problems));
    arena_destroy(scratch);
}

// In how many trials an area is enough.
static int enough(const Derived *derived, const char *grade, int step)
{
    const BuyOrder order = {
        .grade = grade, .form = HIDE_SIDE, .pieces = 1, .trials = TRIALS, .threads = 1};
    Study study = plan_buy_study(derived, &order);
    study.comfort = 0; // so that all trials are made
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    StudyGlance glance;
    assert_true(study_glance(&study, step, NULL, scratch, &glance, problems_in(scratch)));
    assert_int_equal(glance.trials, TRIALS);
    arena_destroy(scratch);
    return glance.enough;
}

static void more_brands_are_never_enough_more_often(void **state)
{
    int fewer = 0;
    for (int seed = 1; seed <= 2; seed++) {
        Derived derived;
        derive(seed, *state, &derived);
        for (int step = 44; step <= 60; step += 8) {
            int before = TRIALS;
            for (int g = 0; g < GRADES; g++) {
                const int now = enough(&derived, grades[g], step);
                assert_true(now <= before);
                fewer += g > 0 && now < before ? 1 : 0;
                before = now;
            }
        }
    }
    assert_true(fewer >= 10);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(more_brands_are_never_enough_more_often),
    };
    return cmocka_run_group_tests_name("plan/grades", tests, NULL, NULL);
}
