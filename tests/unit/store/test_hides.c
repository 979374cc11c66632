#include "store/hides.h"

#include "store/keepsakes.h"
#include "workshop.h"

// Two jobs and two hides.
typedef struct Shop {
    Workshop *workshop;
    Problems *problems;
    Store *store;
    int64_t jobs[2];
    int64_t hides[2];
} Shop;

static Shop open_shop(void **state)
{
    Workshop *workshop = *state;
    Shop shop = {workshop, workshop->problems, open_workshop(workshop), {0}, {0}};
    Arena *keep = workshop->keep;
    static const char *const names[] = {"one", "two"};
    for (int i = 0; i < 2; i++) {
        MUST(workshop, record_begin(shop.store, RECORD_JOB, job_document(names[i], "", keep),
                                    &shop.jobs[i], shop.problems));
        MUST(workshop, record_begin(shop.store, RECORD_HIDE, hide_document(names[i], keep),
                                    &shop.hides[i], shop.problems));
    }
    return shop;
}

static void a_hide_lies_on_the_tables_of_several_jobs(void **state)
{
    const Shop shop = open_shop(state);
    Workshop *workshop = shop.workshop;
    for (int i = 0; i < 2; i++) {
        const OnTable place = {shop.jobs[i], shop.hides[0], "the red one"};
        MUST(workshop, hide_put_on_table(shop.store, &place, shop.problems));
    }
    OnTables places;
    MUST(workshop,
         hides_on_tables(shop.store, 0, shop.hides[0], workshop->keep, &places, shop.problems));
    assert_int_equal(places.count, 2);
    assert_string_equal(places.items[1].called, "the red one");
    // Another hide of that name on the same table would be mistaken for it.
    const OnTable taken = {shop.jobs[0], shop.hides[1], "the red one"};
    assert_false(hide_put_on_table(shop.store, &taken, shop.problems));
    assert_int_equal(last_problem(workshop).kind, PROBLEM_CONFLICT);
    const OnTable renamed = {shop.jobs[0], shop.hides[0], "the other red one"};
    MUST(workshop, hide_put_on_table(shop.store, &renamed, shop.problems));
    MUST(workshop, hide_put_on_table(shop.store, &taken, shop.problems));
    MUST(workshop,
         hides_on_tables(shop.store, shop.jobs[0], 0, workshop->keep, &places, shop.problems));
    assert_int_equal(places.count, 2);
    MUST(workshop, hide_take_off_table(shop.store, shop.jobs[0], shop.hides[0], shop.problems));
    MUST(workshop,
         hides_on_tables(shop.store, shop.jobs[0], 0, workshop->keep, &places, shop.problems));
    assert_int_equal(places.count, 1);
    const OnTable nowhere = {shop.hides[0], shop.hides[1], "x"}; // a hide is no job
    assert_false(hide_put_on_table(shop.store, &nowhere, shop.problems));
    assert_int_equal(last_problem(workshop).kind, PROBLEM_NOT_FOUND);
    store_close(shop.store);
}

static void a_cut_ends_a_hide_and_begins_its_remnants(void **state)
{
    const Shop shop = open_shop(state);
    Workshop *workshop = shop.workshop;
    Arena *keep = workshop->keep;
    const Document left[] = {hide_document("large rest", keep), hide_document("small rest", keep)};
    const HideCut cuts[] = {{shop.hides[0], left, 2}, {shop.hides[1], NULL, 0}};
    int64_t remnants[2] = {0};
    MUST(workshop,
         hides_cut(shop.store, &(JobCut){shop.jobs[1], 1, cuts, 2, {0}}, remnants, shop.problems));
    HideStates states;
    MUST(workshop, hides_list(shop.store, HIDES_AT_HAND, keep, &states, shop.problems));
    assert_int_equal(states.count, 2);
    for (int i = 0; i < 2; i++) {
        HideState state_of;
        MUST(workshop, hide_state(shop.store, remnants[i], keep, &state_of, shop.problems));
        assert_int_equal(state_of.left_of, shop.hides[0]);
        assert_int_equal(state_of.left_by, shop.jobs[1]);
        assert_int_equal(state_of.cut_by, 0);
        check_document(workshop, shop.store, remnants[i], 0, left[i]);
        MUST(workshop, hide_state(shop.store, shop.hides[i], keep, &state_of, shop.problems));
        assert_int_equal(state_of.cut_by, shop.jobs[1]);
        assert_int_equal(state_of.cut_as, 1);
        assert_int_equal(state_of.left_of, 0);
    }
    MUST(workshop, hides_list(shop.store, HIDES_ALL, keep, &states, shop.problems));
    assert_int_equal(states.count, 4);
    MUST(workshop, hide_remnants(shop.store, shop.hides[0], keep, &states, shop.problems));
    assert_int_equal(states.count, 2);
    assert_string_equal(states.items[1].record.title, "small rest");
    store_close(shop.store);
}

static void a_remnant_is_cut_like_any_hide(void **state)
{
    const Shop shop = open_shop(state);
    Workshop *workshop = shop.workshop;
    Arena *keep = workshop->keep;
    const Document rest = hide_document("rest", keep);
    const Document scrap = hide_document("scrap", keep);
    int64_t first = 0;
    int64_t second = 0;
    const HideCut cut = {shop.hides[0], &rest, 1};
    MUST(workshop,
         hides_cut(shop.store, &(JobCut){shop.jobs[0], 1, &cut, 1, {0}}, &first, shop.problems));
    const HideCut again = {first, &scrap, 1};
    MUST(workshop,
         hides_cut(shop.store, &(JobCut){shop.jobs[1], 1, &again, 1, {0}}, &second, shop.problems));
    HideState state_of;
    MUST(workshop, hide_state(shop.store, second, keep, &state_of, shop.problems));
    assert_int_equal(state_of.left_of, first);
    MUST(workshop, hide_state(shop.store, first, keep, &state_of, shop.problems));
    assert_int_equal(state_of.left_of, shop.hides[0]);
    assert_int_equal(state_of.cut_by, shop.jobs[1]);
    store_close(shop.store);
}

static void a_hide_is_cut_once_and_all_or_none(void **state)
{
    const Shop shop = open_shop(state);
    Workshop *workshop = shop.workshop;
    const HideCut one = {shop.hides[0], NULL, 0};
    const Document rest = hide_document("rest", workshop->keep);
    int64_t remnants[2] = {0};
    MUST(workshop,
         hides_cut(shop.store, &(JobCut){shop.jobs[0], 1, &one, 1, {0}}, remnants, shop.problems));
    const HideCut both[] = {{shop.hides[1], &rest, 1}, {shop.hides[0], &rest, 1}};
    assert_false(
        hides_cut(shop.store, &(JobCut){shop.jobs[1], 1, both, 2, {0}}, remnants, shop.problems));
    assert_int_equal(last_problem(workshop).kind, PROBLEM_CONFLICT);
    assert_true(says(last_problem(workshop).found, "for version 1 of job"));
    HideState state_of;
    MUST(workshop, hide_state(shop.store, shop.hides[1], workshop->keep, &state_of, shop.problems));
    assert_int_equal(state_of.cut_by, 0); // the other hide of that cut is whole still
    HideStates states;
    MUST(workshop, hides_list(shop.store, HIDES_ALL, workshop->keep, &states, shop.problems));
    assert_int_equal(states.count, 2);
    const HideCut job = {shop.jobs[0], NULL, 0};
    assert_false(
        hides_cut(shop.store, &(JobCut){shop.jobs[1], 1, &job, 1, {0}}, remnants, shop.problems));
    assert_int_equal(last_problem(workshop).kind, PROBLEM_NOT_FOUND);
    assert_false(
        hides_cut(shop.store, &(JobCut){shop.jobs[1], 2, both, 1, {0}}, remnants, shop.problems));
    assert_int_equal(last_problem(workshop).kind, PROBLEM_NOT_FOUND);
    assert_false(hide_state(shop.store, shop.jobs[0], workshop->keep, &state_of, shop.problems));
    store_close(shop.store);
}

// What was cut and how it lay is one change: neither is there without the other.
static void the_layout_is_kept_with_the_cut(void **state)
{
    const Shop shop = open_shop(state);
    Workshop *workshop = shop.workshop;
    const KeepsakeSearch layouts = {.kind = KEEPSAKE_LAYOUT};
    Keepsakes found;
    const HideCut twice[] = {{shop.hides[0], NULL, 0}, {shop.hides[0], NULL, 0}};
    JobCut cut = {shop.jobs[0], 1, twice, 2, document_of("{\"placements\": []}")};
    assert_false(hides_cut(shop.store, &cut, NULL, shop.problems));
    MUST(workshop, keepsakes_find(shop.store, &layouts, workshop->keep, &found, shop.problems));
    assert_int_equal(found.count, 0);
    cut.count = 1;
    MUST(workshop, hides_cut(shop.store, &cut, NULL, shop.problems));
    MUST(workshop, keepsakes_find(shop.store, &layouts, workshop->keep, &found, shop.problems));
    assert_int_equal(found.count, 1);
    assert_int_equal(found.items[0].record, shop.jobs[0]);
    assert_int_equal(found.items[0].version, 1);
    assert_int_equal(found.items[0].bytes, cut.layout.bytes);
    store_close(shop.store);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_WORKSHOP(a_hide_lies_on_the_tables_of_several_jobs),
        TEST_IN_WORKSHOP(a_cut_ends_a_hide_and_begins_its_remnants),
        TEST_IN_WORKSHOP(a_remnant_is_cut_like_any_hide),
        TEST_IN_WORKSHOP(a_hide_is_cut_once_and_all_or_none),
        TEST_IN_WORKSHOP(the_layout_is_kept_with_the_cut),
    };
    return cmocka_run_group_tests_name("store/hides", tests, NULL, NULL);
}
