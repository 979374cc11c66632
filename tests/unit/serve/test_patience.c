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

static void only_those_whose_time_is_up_are_cut_off(void **state)
{
    (void)state;
    int slow[2];
    int working[2];
    assert_int_equal(socketpair(AF_UNIX, SOCK_STREAM, 0, slow), 0);
    assert_int_equal(socketpair(AF_UNIX, SOCK_STREAM, 0, working), 0);
    Patience *patience = patience_begin(4);
    assert_non_null(patience);
    Wait *first = patience_meet(patience, slow[0], false);
    Wait *second = patience_meet(patience, working[0], false);
    patience_allow(patience, first, HEAD_WAIT_S);
    patience_allow(patience, second, FOR_EVER_S);
    assert_int_equal(patience_sweep(patience, 0), 0);
    assert_false(is_cut(slow[1]));
    assert_int_equal(patience_sweep(patience, far_future_ms), 1);
    assert_true(is_cut(slow[1]));
    assert_false(is_cut(working[1]));
    // Once is enough.
    assert_int_equal(patience_sweep(patience, far_future_ms), 0);
    patience_part(patience, first);
    patience_part(patience, second);
    patience_end(patience);
    for (int i = 0; i < 2; i++) {
        (void)close(slow[i]);
        (void)close(working[i]);
    }
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
    int guest[2];
    int own[2];
    assert_int_equal(socketpair(AF_UNIX, SOCK_STREAM, 0, guest), 0);
    assert_int_equal(socketpair(AF_UNIX, SOCK_STREAM, 0, own), 0);
    Patience *patience = patience_begin(4);
    assert_non_null(patience);
    Wait *first = patience_meet(patience, guest[0], true);
    Wait *second = patience_meet(patience, own[0], false);
    patience_allow(patience, first, FOR_EVER_S);
    patience_cut_guests(patience);
    assert_true(is_cut(guest[1]));
    assert_false(is_cut(own[1]));
    patience_part(patience, first);
    patience_part(patience, second);
    patience_end(patience);
    for (int i = 0; i < 2; i++) {
        (void)close(guest[i]);
        (void)close(own[i]);
    }
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
