#include "serve/network.h"

#include "support/check.h"

// RFC 1918, section 3; RFC 3927, section 2.1; RFC 1122, section 3.2.1.3 (127/8).
static void only_private_addresses_are_shared(void **state)
{
    (void)state;
    static const char *const ours[] = {"10.0.0.0",       "10.255.255.255",  "172.16.0.0",
                                       "172.31.255.255", "192.168.0.0",     "192.168.255.255",
                                       "169.254.0.1",    "169.254.255.255", "127.0.0.2"};
    static const char *const others[] = {
        "9.255.255.255",   "11.0.0.0",    "172.15.255.255", "172.32.0.0",  "192.167.255.255",
        "192.169.0.0",     "169.253.0.1", "169.255.0.1",    "8.8.8.8",     "0.0.0.0",
        "255.255.255.255", "127.0.0.1",   "126.0.0.1",      "128.0.0.1",   "",
        "10.0.0",          "010.0.0.1",   "10.0.0.1 ",      "10.0.0.1:80", "::1",
        "fe80::1",         "localhost",   "a.b.c.d",        "10.0.0.256"};
    for (size_t i = 0; i < sizeof ours / sizeof ours[0]; i++) {
        assert_true(network_is_private(ours[i]));
    }
    for (size_t i = 0; i < sizeof others / sizeof others[0]; i++) {
        if (network_is_private(others[i])) {
            print_error("%s\n", others[i]);
            fail();
        }
    }
}

static void a_port_is_taken_once(void **state)
{
    Problems *problems = problems_in(*state);
    int port = 0;
    int opened = -1;
    int other = -1;
    assert_true(network_listen("127.0.0.2", &port, &opened, problems));
    assert_true(port > 0);
    assert_false(network_listen("127.0.0.2", &port, &other, problems));
    assert_int_equal(problems->items[0].kind, PROBLEM_SYSTEM);
    assert_string_equal(problems->items[0].found, "another program listens there already");
    assert_true(network_listen("127.0.0.3", &port, &other, problems));
    assert_false(network_listen("no address", &port, &opened, problems));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(only_private_addresses_are_shared),
        TEST_IN_ARENA(a_port_is_taken_once),
    };
    return cmocka_run_group_tests_name("serve/network", tests, NULL, NULL);
}
