// What stands in the log until somebody brings it into the file.
#include "workshop.h"

static size_t size_of(const char *path)
{
    struct stat about;
    return stat(path, &about) == 0 ? (size_t)about.st_size : 0;
}

static void save_times(Workshop *workshop, Store *store, int64_t id, int times)
{
    int64_t present = 0;
    Record record;
    MUST(workshop, record_get(store, id, workshop->keep, &record, workshop->problems));
    present = record.present;
    for (int i = 0; i < times; i++) {
        const Save save = {id, present, document_of(arena_text(workshop->keep, "%060000d", i)),
                           NULL};
        MUST(workshop, record_save(store, &save, &present, workshop->problems));
    }
}

static void the_log_goes_into_the_file_when_it_is_asked_to(void **state)
{
    Workshop *workshop = *state;
    StoreOptions options = workshop_options(workshop);
    options.keep_log = true;
    Store *store = store_open(workshop->path, &options, workshop->problems);
    MUST(workshop, store != NULL);
    int64_t id = 0;
    MUST(workshop, record_begin(store, RECORD_JOB, document_of("1"), &id, workshop->problems));
    const size_t before = size_of(workshop->path);
    save_times(workshop, store, id, 100); // more than the library leaves in a log by itself
    assert_true(size_of(workshop->path) == before);
    assert_true(store_log_pages(store) > 1500);
    assert_int_equal(store_tidy(store), 0);
    assert_true(size_of(workshop->path) > (size_t)6000000);
    save_times(workshop, store, id, 1);
    assert_true(store_log_pages(store) < 100); // begun anew
    store_close(store);
    assert_int_equal(size_of(arena_text(workshop->keep, "%s-wal", workshop->path)), 0);
    store = open_workshop(workshop);
    check_document(workshop, store, id, 101,
                   document_of(arena_text(workshop->keep, "%060000d", 99)));
    store_close(store);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_WORKSHOP(the_log_goes_into_the_file_when_it_is_asked_to),
    };
    return cmocka_run_group_tests_name("store/log", tests, NULL, NULL);
}
