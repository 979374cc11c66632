#include "serve/patience.h"

#include "support/check.h"

#include <sys/socket.h>
#include <unistd.h>

static const int64_t far_future_ms = INT64_MAX;

// Whether the other end sees that the connection was ended.
static bool is_cut(int end)
{
    char byte;
    return recv(end, &byte, 1, MSG_DONTWAIT) == 0;
}

// Two connections that are waited for.
typedef struct Two {
    int first[2];
    int second[2];
    Patience *patience;
    Wait *waits[2];
} Two;

static Two two_of(bool first_is_guest)
{
    Two two = {.patience = patience_begin(4)};
    assert_non_null(two.patience);
    assert_int_equal(socketpair(AF_UNIX, SOCK_STREAM, 0, two.first), 0);
    assert_int_equal(socketpair(AF_UNIX, SOCK_STREAM, 0, two.second), 0);
    two.waits[0] = patience_meet(two.patience, two.first[0], first_is_guest);
    two.waits[1] = patience_meet(two.patience, two.second[0], false);
    return two;
}

static void two_end(Two *two)
{
    for (int i = 0; i < 2; i++) {
        patience_part(two->patience, two->waits[i]);
        (void)close(two->first[i]);
        (void)close(two->second[i]);
    }
    patience_end(two->patience);
}

static void only_those_whose_time_is_up_are_cut_off(void **state)
{
    (void)state;
    Two two = two_of(false); // a slow one, and one that works
    patience_allow(two.patience, two.waits[0], HEAD_WAIT_S);
    patience_allow(two.patience, two.waits[1], FOR_EVER_S);
    assert_int_equal(patience_sweep(two.patience, 0), 0);
    assert_false(is_cut(two.first[1]));
    assert_int_equal(patience_sweep(two.patience, far_future_ms), 1);
    assert_true(is_cut(two.first[1]));
    assert_false(is_cut(two.second[1]));
    // Once is enough.
    assert_int_equal(patience_sweep(two.patience, far_future_ms), 0);
    two_end(&two);
}

// The socket's number may be somebody else's by then.
static void who_has_gone_is_not_touched(void **state)
{
    (void)state;
    int ends[2];
    assert_int_equal(socketpair(AF_UNIX, SOCK_STREAM, 0, ends), 0);
    Patience *patience = patience_begin(1);
    assert_non_null(patience);
    Wait *wait = patience_meet(patience, ends[0], false);
    patience_allow(patience, wait, HEAD_WAIT_S);
    patience_part(patience, wait);
    assert_int_equal(patience_sweep(patience, far_future_ms), 0);
    assert_false(is_cut(ends[1]));
    patience_end(patience);
    (void)close(ends[0]);
    (void)close(ends[1]);
}

static void there_is_room_for_so_many(void **state)
{
    (void)state;
    Patience *patience = patience_begin(2);
    assert_non_null(patience);
    Wait *first = patience_meet(patience, 0, false);
    assert_non_null(first);
    assert_non_null(patience_meet(patience, 0, false));
    Wait *none = patience_meet(patience, 0, false);
    assert_null(none);
    patience_allow(patience, none, HEAD_WAIT_S); // accepted
    patience_part(patience, none);
    patience_part(patience, first);
    assert_non_null(patience_meet(patience, 0, false));
    patience_end(patience);
}

static void guests_are_cut_off_and_nobody_else(void **state)
{
    (void)state;
    Two two = two_of(true);
    patience_allow(two.patience, two.waits[0], FOR_EVER_S);
    patience_cut_guests(two.patience);
    assert_true(is_cut(two.first[1]));
    assert_false(is_cut(two.second[1]));
    two_end(&two);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(only_those_whose_time_is_up_are_cut_off),
        cmocka_unit_test(who_has_gone_is_not_touched),
        cmocka_unit_test(there_is_room_for_so_many),
        cmocka_unit_test(guests_are_cut_off_and_nobody_else),
    };
    return cmocka_run_group_tests_name("serve/patience", tests, NULL, NULL);
}
