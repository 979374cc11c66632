#include "plan/workshop.h"

#include "store/keepsakes.h"

#include "support/check.h"

#include <stdlib.h>
#include <unistd.h>

// A workshop file in a folder of its own.
typedef struct Place {
    Arena *keep;
    Arena *scratch;
    Problems *problems;
    char folder[64];
    const char *path;
    Store *store;
} Place;

static int open_place(void **state)
{
    Place *place = calloc(1, sizeof *place);
    if (!place) {
        return -1;
    }
    place->keep = arena_create("test", (size_t)1 << 30);
    place->scratch = arena_create("scratch", (size_t)1 << 30);
    place->problems = problems_in(place->keep);
    (void)snprintf(place->folder, sizeof place->folder, "%s/seatwright-XXXXXX",
                   access("/dev/shm", W_OK) == 0 ? "/dev/shm" : "/tmp");
    *state = place;
    if (!mkdtemp(place->folder)) {
        return -1;
    }
    place->path = arena_text(place->keep, "%s/shop.db", place->folder);
    place->store = workshop_open(place->path, place->keep, place->problems);
    return place->store ? 0 : -1;
}

static int close_place(void **state)
{
    Place *place = *state;
    static const char *const names[] = {"shop.db", "shop.db-wal", "shop.db-shm", "job.json"};
    store_close(place->store);
    for (int i = 0; i < 4; i++) {
        (void)unlink(arena_text(place->keep, "%s/%s", place->folder, names[i]));
    }
    (void)rmdir(arena_text(place->keep, "%s.backups", place->path));
    (void)rmdir(place->folder);
    arena_destroy(place->keep);
    arena_destroy(place->scratch);
    free(place);
    return 0;
}

#define TEST_IN_PLACE(function) cmocka_unit_test_setup_teardown(function, open_place, close_place)

#define GOOD(place, done)                                                                          \
    do {                                                                                           \
        if (!(done)) {                                                                             \
            print_error("%s\n", (place)->problems->items[(place)->problems->count - 1].found);     \
            fail();                                                                                \
        }                                                                                          \
    } while (0)

// Two square boards of that size, to be cut from a panel.
static const char *job_text(const char *name, double front, const char *hides, Arena *keep)
{
    return arena_text(keep,
                      "{\"seatwright\": 1, \"name\": \"%s\", \"units\": \"mm\", \"seats\": "
                      "[{\"name\": \"board\", \"count\": 2, \"frame\": {\"shape\": \"rectangle\", "
                      "\"front\": %g, \"depth\": 300}, \"board\": {\"thickness\": 12}, "
                      "\"padding\": {\"edge\": 10}}], \"hides\": [%s]}",
                      name, front, hides);
}

static const char panel[] =
    "{\"name\": \"panel\", \"form\": \"panel\", \"length\": 1600, \"width\": 1000}";

static KeptJob keep_text(Place *place, const char *text)
{
    const char *path = arena_text(place->keep, "%s/job.json", place->folder);
    FILE *file = fopen(path, "w");
    assert_non_null(file);
    assert_true(fputs(text, file) >= 0);
    assert_int_equal(fclose(file), 0);
    KeptJob kept;
    GOOD(place, workshop_keep(place->store, &(KeepOrder){.path = path}, place->keep, &kept,
                              place->problems));
    return kept;
}

static LeatherList leather(Place *place)
{
    LeatherList list;
    GOOD(place,
         workshop_leather(place->store, place->keep, place->scratch, &list, place->problems));
    return list;
}

static void a_job_is_kept_by_its_name_and_brings_its_hides(void **state)
{
    Place *place = *state;
    KeptJob kept = keep_text(place, job_text("One", 400, panel, place->keep));
    assert_true(kept.begun && kept.changed);
    assert_int_equal(kept.hides, 1);
    kept = keep_text(place, job_text("One", 400, panel, place->keep));
    assert_false(kept.begun || kept.changed);
    kept = keep_text(place, job_text("One", 410, panel, place->keep));
    assert_false(kept.begun);
    assert_int_equal(kept.record.present, 2);
    assert_int_equal(kept.hides, 0);
    assert_int_equal(leather(place).count, 1);
    // Measured anew: the hide gets a version, not a twin.
    static const char wider[] =
        "{\"name\": \"panel\", \"form\": \"panel\", \"length\": 1600, \"width\": 1010}";
    (void)keep_text(place, job_text("One", 410, wider, place->keep));
    const LeatherList list = leather(place);
    assert_int_equal(list.count, 1);
    assert_int_equal(list.items[0].state.record.version_count, 2);
    CHECK_NEAR(list.items[0].hide.area_mm2, 1600 * 1010, 1e-6);
    // And one that the job has no more leaves its table, but not the workshop.
    (void)keep_text(place, job_text("One", 410, "", place->keep));
    OnTables places;
    GOOD(place, hides_on_tables(place->store, 0, 0, place->keep, &places, place->problems));
    assert_int_equal(places.count, 0);
    assert_int_equal(leather(place).count, 1);
}

static void a_job_with_mistakes_is_kept_and_one_without_a_name_is_not(void **state)
{
    Place *place = *state;
    const KeptJob kept = keep_text(place, job_text("Wide", 99999, panel, place->keep));
    assert_true(kept.begun);
    assert_int_equal(kept.hides, 0);
    assert_int_equal(place->problems->mistakes, 1);
    const char *path = arena_text(place->keep, "%s/job.json", place->folder);
    FILE *file = fopen(path, "w");
    assert_non_null(file);
    assert_true(fputs("{\"seatwright\": 1}", file) >= 0);
    assert_int_equal(fclose(file), 0);
    KeptJob none;
    Problems *problems = problems_in(place->keep);
    assert_false(
        workshop_keep(place->store, &(KeepOrder){.path = path}, place->keep, &none, problems));
    assert_true(problems->mistakes > 0);
}

static void jobs_are_found_by_number_name_or_words(void **state)
{
    Place *place = *state;
    const KeptJob one = keep_text(place, job_text("Hall", 400, "", place->keep));
    const KeptJob two = keep_text(place, job_text("Hall chairs", 400, "", place->keep));
    const char *number = arena_text(place->keep, "%lld", (long long)two.record.id);
    const struct {
        const char *word;
        int64_t wanted; // 0: none or several
    } cases[] = {{"Hall", one.record.id},
                 {"Hall chairs", two.record.id},
                 {"chairs", two.record.id},
                 {number, two.record.id},
                 {"board", 0},
                 {"kitchen", 0},
                 {"999", 0}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        Record found = {0};
        Problems *problems = problems_in(place->keep);
        const bool good =
            workshop_find(place->store, RECORD_JOB, cases[i].word, place->keep, &found, problems);
        assert_int_equal(good, cases[i].wanted != 0);
        assert_int_equal(found.id, cases[i].wanted);
    }
}

static void a_cut_leaves_remnants_that_the_next_job_takes(void **state)
{
    Place *place = *state;
    Arena *keep = place->keep;
    const KeptJob first = keep_text(place, job_text("First", 400, panel, keep));
    const KeptJob next = keep_text(place, job_text("Next", 200, "", keep));
    CutReport report;
    GOOD(place, workshop_cut(place->store, &first.record, NULL, keep, place->scratch, &report,
                             place->problems));
    assert_true(report.remnant_count >= 1);
    const LeatherList left = leather(place);
    assert_int_equal(left.count, report.remnant_count);
    double area_mm2 = 0;
    for (int i = 0; i < left.count; i++) {
        area_mm2 += left.items[i].hide.area_mm2;
        assert_int_equal(left.items[i].state.left_by, first.record.id);
        assert_non_null(left.items[i].hide.whole);
    }
    const double used_mm2 = report.plan.used_mm2[0];
    assert_true(area_mm2 + used_mm2 < 1600 * 1000); // some is too narrow to be of use
    assert_true(area_mm2 + used_mm2 > 0.8 * 1600 * 1000);
    Keepsakes layouts;
    const KeepsakeSearch search = {
        .kind = KEEPSAKE_LAYOUT, .record = first.record.id, .version = 1};
    GOOD(place, keepsakes_find(place->store, &search, keep, &layouts, place->problems));
    assert_int_equal(layouts.count, 1);

    Problems *refused = problems_in(keep);
    assert_false(
        workshop_cut(place->store, &first.record, NULL, keep, place->scratch, &report, refused));
    assert_int_equal(refused->items[0].kind, PROBLEM_CONFLICT);
    int64_t version = 0;
    const Record *piece = &left.items[left.count - 1].state.record;
    GOOD(place, workshop_take(place->store, &next.record, piece, keep, &version, place->problems));
    assert_int_equal(version, 2);
    Record taken;
    GOOD(place, record_get(place->store, next.record.id, keep, &taken, place->problems));
    assert_false(workshop_take(place->store, &taken, piece, keep, &version, refused));
    assert_int_equal(refused->items[1].kind, PROBLEM_CONFLICT);
    GOOD(place,
         workshop_cut(place->store, &taken, NULL, keep, place->scratch, &report, place->problems));
    HideState cut;
    GOOD(place, hide_state(place->store, piece->id, keep, &cut, place->problems));
    assert_int_equal(cut.cut_by, next.record.id);
    assert_int_equal(cut.left_by, first.record.id);
}

static void nothing_is_recorded_of_a_layout_that_leaves_covers_over(void **state)
{
    Place *place = *state;
    static const char small[] =
        "{\"name\": \"small\", \"form\": \"panel\", \"length\": 600, \"width\": 500}";
    const KeptJob kept = keep_text(place, job_text("Large", 400, small, place->keep));
    CutReport report;
    assert_false(workshop_cut(place->store, &kept.record, NULL, place->keep, place->scratch,
                              &report, place->problems));
    const LeatherList list = leather(place);
    assert_int_equal(list.count, 1);
    assert_int_equal(list.items[0].state.cut_by, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_PLACE(a_job_is_kept_by_its_name_and_brings_its_hides),
        TEST_IN_PLACE(a_job_with_mistakes_is_kept_and_one_without_a_name_is_not),
        TEST_IN_PLACE(jobs_are_found_by_number_name_or_words),
        TEST_IN_PLACE(a_cut_leaves_remnants_that_the_next_job_takes),
        TEST_IN_PLACE(nothing_is_recorded_of_a_layout_that_leaves_covers_over),
    };
    return cmocka_run_group_tests_name("plan/workshop", tests, NULL, NULL);
}
