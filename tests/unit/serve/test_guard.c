#include "serve/guard.h"

#include "support/check.h"

enum { PORT = 7420 };
static const char here[] = "127.0.0.1:7420";

static bool refused(Caller caller)
{
    return guard_refuses(&caller, (Place){NULL, PORT}) != NULL;
}

static void programs_on_this_machine_may_ask(void **state)
{
    (void)state;
    assert_false(refused((Caller){.host = here}));
    assert_false(refused((Caller){.host = "localhost:7420", .writes = true}));
    assert_false(refused((Caller){.host = "LocalHost:7420"}));
    assert_false(refused((Caller){.host = "[::1]:7420"}));
}

// DNS rebinding: a name of somebody else's that leads to this address.
static void other_names_are_refused(void **state)
{
    (void)state;
    static const char *const hosts[] = {
        "example.org",         "example.org:7420",     "127.0.0.1",
        "127.0.0.1:7421",      "127.0.0.1.example:80", "127.0.0.1:7420.x",
        "0.0.0.0:7420",        "127.0.0.2:7420",       "",
        "user@127.0.0.1:7420", "localhost.:7420",      "127.1:7420",
        "127.0.0.1:07420",     "localhost:7420,x:7420"};
    assert_true(refused((Caller){.host = NULL}));
    for (size_t i = 0; i < sizeof hosts / sizeof hosts[0]; i++) {
        assert_true(refused((Caller){.host = hosts[i]}));
    }
}

// RFC 9110, 4.2.1 and 7.2: a port that is the scheme's own is left out.
static void the_usual_port_may_be_left_out(void **state)
{
    (void)state;
    const Place here_on_80 = {NULL, 80};
    const Place network_on_80 = {"192.168.1.20", 80};
    assert_null(guard_refuses(&(Caller){.host = "127.0.0.1"}, here_on_80));
    assert_null(guard_refuses(
        &(Caller){.host = "localhost", .origin = "http://localhost", .writes = true}, here_on_80));
    assert_null(guard_refuses(&(Caller){.host = "[::1]:80"}, here_on_80));
    assert_null(guard_refuses(&(Caller){.host = "192.168.1.20", .origin = "http://192.168.1.20"},
                              network_on_80));
    assert_non_null(guard_refuses(&(Caller){.host = "127.0.0.1:8080"}, here_on_80));
    assert_non_null(guard_refuses(&(Caller){.host = "127.0.0.1"}, network_on_80));
    assert_non_null(
        guard_refuses(&(Caller){.host = "localhost", .origin = "https://localhost"}, here_on_80));
}

// Over the network the server has one name: the address that it was asked at.
static void in_the_network_only_its_address_is_its_name(void **state)
{
    (void)state;
    const Place place = {"192.168.1.20", PORT};
    static const char good[] = "192.168.1.20:7420";
    assert_null(guard_refuses(&(Caller){.host = good}, place));
    assert_null(guard_refuses(
        &(Caller){.host = good, .origin = "http://192.168.1.20:7420", .writes = true}, place));
    static const char *const hosts[] = {"127.0.0.1:7420",
                                        "localhost:7420",
                                        "192.168.1.21:7420",
                                        "192.168.1.20",
                                        "192.168.1.20:7421",
                                        "workshop.local:7420",
                                        "192.168.1.20.example.org:7420"};
    for (size_t i = 0; i < sizeof hosts / sizeof hosts[0]; i++) {
        assert_non_null(guard_refuses(&(Caller){.host = hosts[i]}, place));
    }
    static const char *const origins[] = {"http://127.0.0.1:7420", "http://localhost:7420", "null",
                                          "http://192.168.1.21:7420", "http://192.168.1.20"};
    for (size_t i = 0; i < sizeof origins / sizeof origins[0]; i++) {
        assert_non_null(
            guard_refuses(&(Caller){.host = good, .origin = origins[i], .writes = true}, place));
    }
    assert_true(refused((Caller){.host = good})); // and at loopback it is none
}

static void own_pages_may_read_and_write(void **state)
{
    (void)state;
    assert_false(refused((Caller){.host = here,
                                  .origin = "http://127.0.0.1:7420",
                                  .fetch_site = "same-origin",
                                  .fetch_mode = "cors",
                                  .writes = true}));
    assert_false(refused((Caller){.host = "localhost:7420", .origin = "http://localhost:7420"}));
}

static void pages_of_others_may_neither_write_nor_read(void **state)
{
    (void)state;
    static const char *const origins[] = {"http://example.org",
                                          "null",
                                          "https://127.0.0.1:7420",
                                          "http://127.0.0.1:7421",
                                          "http://localhost:7420",
                                          "http://127.0.0.1:7420/",
                                          "http://127.0.0.1:7420.example.org",
                                          ""};
    for (size_t i = 0; i < sizeof origins / sizeof origins[0]; i++) {
        assert_true(refused((Caller){.host = here, .origin = origins[i], .writes = true}));
        assert_true(refused((Caller){.host = here, .origin = origins[i]}));
    }
    assert_true(refused((Caller){.host = here, .fetch_site = "cross-site", .writes = true}));
    assert_true(refused((Caller){.host = here, .fetch_site = "same-site", .writes = true}));
    assert_true(refused((Caller){.host = here, .fetch_site = "cross-site", .fetch_mode = "cors"}));
    assert_true(
        refused((Caller){.host = here, .fetch_site = "cross-site", .fetch_mode = "no-cors"}));
}

// A link or a bookmark; a form that posts from elsewhere is not one.
static void a_link_may_be_followed(void **state)
{
    (void)state;
    assert_false(
        refused((Caller){.host = here, .fetch_site = "cross-site", .fetch_mode = "navigate"}));
    assert_false(refused((Caller){.host = here, .fetch_site = "none", .fetch_mode = "navigate"}));
    assert_true(refused((Caller){
        .host = here, .fetch_site = "cross-site", .fetch_mode = "navigate", .writes = true}));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(programs_on_this_machine_may_ask),
        cmocka_unit_test(other_names_are_refused),
        cmocka_unit_test(in_the_network_only_its_address_is_its_name),
        cmocka_unit_test(the_usual_port_may_be_left_out),
        cmocka_unit_test(own_pages_may_read_and_write),
        cmocka_unit_test(pages_of_others_may_neither_write_nor_read),
        cmocka_unit_test(a_link_may_be_followed),
    };
    return cmocka_run_group_tests_name("serve/guard", tests, NULL, NULL);
}
