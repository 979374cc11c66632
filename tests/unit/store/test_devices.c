#include "store/devices.h"

#include "workshop.h"

static Device device_of(const char *name, int seed)
{
    Device device = {.name = name};
    memset(device.digest, seed, SHA256_BYTES);
    return device;
}

static void who_was_let_in_is_there_until_put_out(void **state)
{
    Workshop *workshop = *state;
    Store *store = open_workshop(workshop);
    Problems *problems = workshop->problems;
    Devices devices;
    MUST(workshop, devices_list(store, workshop->keep, &devices, problems));
    assert_int_equal(devices.count, 0);
    Device phone = device_of("phone", 1);
    Device tablet = device_of("tablet", 200);
    MUST(workshop, device_put(store, &phone, problems));
    MUST(workshop, device_put(store, &tablet, problems));
    MUST(workshop, device_seen(store, tablet.id, 1764000009999, problems));
    store_close(store);
    store = open_workshop(workshop);
    MUST(workshop, devices_list(store, workshop->keep, &devices, problems));
    assert_int_equal(devices.count, 2);
    assert_int_equal(devices.items[0].id, phone.id);
    assert_string_equal(devices.items[1].name, "tablet");
    assert_memory_equal(devices.items[1].digest, tablet.digest, SHA256_BYTES);
    assert_true(devices.items[0].seen_ms == phone.paired_ms);
    assert_true(devices.items[1].seen_ms == 1764000009999);
    MUST(workshop, device_drop(store, phone.id, problems));
    assert_false(device_drop(store, phone.id, problems));
    assert_int_equal(last_problem(workshop).kind, PROBLEM_NOT_FOUND);
    Device again = device_of("phone again", 1);
    MUST(workshop, device_put(store, &again, problems));
    assert_true(again.id > tablet.id); // a number is never given twice
    MUST(workshop, device_drop(store, 0, problems));
    MUST(workshop, device_drop(store, 0, problems)); // nothing left is fine
    MUST(workshop, devices_list(store, workshop->keep, &devices, problems));
    assert_int_equal(devices.count, 0);
    store_close(store);
}

static void one_more_than_may_be_is_refused(void **state)
{
    Workshop *workshop = *state;
    Store *store = open_workshop(workshop);
    for (int i = 0; i < DEVICES_MAX; i++) {
        Device device = device_of("phone", i);
        MUST(workshop, device_put(store, &device, workshop->problems));
    }
    Device more = device_of("phone", DEVICES_MAX);
    assert_false(device_put(store, &more, workshop->problems));
    assert_int_equal(last_problem(workshop).kind, PROBLEM_CONFLICT);
    Devices devices;
    MUST(workshop, devices_list(store, workshop->keep, &devices, workshop->problems));
    assert_int_equal(devices.count, DEVICES_MAX);
    store_close(store);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_WORKSHOP(who_was_let_in_is_there_until_put_out),
        TEST_IN_WORKSHOP(one_more_than_may_be_is_refused),
    };
    return cmocka_run_group_tests_name("store/devices", tests, NULL, NULL);
}
