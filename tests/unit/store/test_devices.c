#include "store/devices.h"

#include "store/backup.h"
#include "store/exchange.h"

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

// Whether the bytes of a file hold a device's digest anywhere, in a row or where a row was.
static bool holds(const char *path, const Device *device, Arena *keep)
{
    FILE *file = fopen(path, "rb");
    assert_non_null(file);
    const size_t room = (size_t)1 << 20;
    char *bytes = ARENA_ARRAY(keep, char, (int)room);
    const size_t count = fread(bytes, 1, room, file);
    (void)fclose(file);
    assert_in_range(count, 4096, room - 1);
    bool found = false;
    for (size_t i = 0; !found && i + SHA256_BYTES <= count; i++) {
        found = memcmp(bytes + i, device->digest, SHA256_BYTES) == 0;
    }
    return found;
}

// Copies go to other machines and come back when a device has long been put out.
static void copies_leave_devices_out(void **state)
{
    Workshop *workshop = *state;
    Store *store = open_workshop(workshop);
    Device device = device_of("phone", 0);
    for (int i = 0; i < SHA256_BYTES; i++) {
        device.digest[i] = (uint8_t)(i * 7 + 1);
    }
    MUST(workshop, device_put(store, &device, workshop->problems));
    const char *copy = arena_text(workshop->keep, "%s/copy.db", workshop->folder);
    MUST(workshop, store_export(store, copy, NULL, 0, workshop->problems));
    MUST(workshop, backup_make(store, workshop->problems));
    const Backups backups = backups_of(workshop->path, workshop->keep);
    assert_int_equal(backups.count, 1);
    store_close(store);
    assert_true(holds(workshop->path, &device, workshop->keep));
    assert_false(holds(copy, &device, workshop->keep));
    assert_false(holds(backups.items[0].path, &device, workshop->keep));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_WORKSHOP(who_was_let_in_is_there_until_put_out),
        TEST_IN_WORKSHOP(one_more_than_may_be_is_refused),
        TEST_IN_WORKSHOP(copies_leave_devices_out),
    };
    return cmocka_run_group_tests_name("store/devices", tests, NULL, NULL);
}
