// Who stands beside whom: what names mean, and the groups that follow.
#include "job/job.h"
#include "support/check.h"

static JobChair at_the_window[] = {{.name = "1"}, {.name = "2"}, {.name = "3", .beside = "1"}};
static JobChair at_the_door[] = {{.name = "1"}, {.name = "last"}};
static JobSeat seats[] = {
    {.name = "side chair", .count = 6, .chairs = at_the_window, .chair_count = 3},
    {.name = "armchair", .count = 3, .chairs = at_the_door, .chair_count = 2},
    {.name = "stool", .count = 2},
};
static const Job job = {.seats = seats, .seat_count = 3};

static void check_place(const char *name, int count, int seat, int chair)
{
    JobPlace place = {-2, -2};
    assert_int_equal(job_find(&job, name, &place), count);
    assert_int_equal(place.seat, seat);
    assert_int_equal(place.chair, chair);
}

static void names_are_of_kinds_then_of_chairs(void **state)
{
    (void)state;
    check_place("armchair", 1, 1, -1);
    check_place("2", 1, 0, 1);
    check_place("last", 1, 1, 1);
    check_place("1", 2, 0, 0);
    check_place("armchair, 1", 1, 1, 0);
    check_place("side chair, 3", 1, 0, 2);
    check_place("side chair, last", 0, -2, -2);
    check_place("sofa", 0, -2, -2);
}

static void who_is_named_leaves_the_group_of_the_kind(void **state)
{
    (void)state;
    int of_seat[3];
    int of_chair[5];
    at_the_window[2].beside = "side chair, 1";
    job_groups(&job, of_seat, of_chair);
    assert_int_equal(of_seat[0], 0);
    assert_int_equal(of_chair[1], 0);
    assert_true(of_chair[0] > 0 && of_chair[2] == of_chair[0]);
    assert_int_equal(of_chair[3], 0);
    // All stools beside an armchair, which stands beside the pair at the window.
    seats[2].beside = "last";
    at_the_door[1].beside = "2";
    at_the_window[1].beside = "3";
    job_groups(&job, of_seat, of_chair);
    assert_int_equal(of_seat[0], 0);
    assert_int_equal(of_seat[1], 0);
    assert_true(of_seat[2] > 0);
    const int together[] = {of_chair[0], of_chair[1], of_chair[2], of_chair[4]};
    for (int i = 0; i < 4; i++) {
        assert_int_equal(together[i], of_seat[2]);
    }
    assert_int_equal(of_chair[3], 0);
    seats[2].beside = at_the_door[1].beside = at_the_window[1].beside = NULL;
}

// A kind that is named takes its chairs with it, but those that stand elsewhere.
static void a_kind_takes_its_chairs_along(void **state)
{
    (void)state;
    int of_seat[3];
    int of_chair[5];
    at_the_window[2].beside = "side chair, 1";
    seats[2].beside = "side chair";
    job_groups(&job, of_seat, of_chair);
    assert_true(of_seat[0] > 0 && of_seat[2] == of_seat[0]);
    assert_int_equal(of_chair[1], of_seat[0]);
    assert_true(of_chair[0] != of_seat[0] && of_chair[2] == of_chair[0]);
    seats[2].beside = NULL;
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(names_are_of_kinds_then_of_chairs),
        TEST_IN_ARENA(who_is_named_leaves_the_group_of_the_kind),
        TEST_IN_ARENA(a_kind_takes_its_chairs_along),
    };
    return cmocka_run_group_tests_name("job/beside", tests, NULL, NULL);
}
