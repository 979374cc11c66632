#include "store/exchange.h"

#include "base/random.h"
#include "base/text.h"
#include "store/hides.h"
#include "store/keepsakes.h"
#include "store/sql.h"
#include "support/trials.h"
#include "workshop.h"

// A second workshop file in the same folder.
static Store *open_other(Workshop *workshop, const char *name)
{
    const StoreOptions options = workshop_options(workshop);
    Store *store = store_open(arena_text(workshop->keep, "%s/%s", workshop->folder, name), &options,
                              workshop->problems);
    MUST(workshop, store != NULL);
    return store;
}

static const char *export_path(Workshop *workshop)
{
    return arena_text(workshop->keep, "%s/export.db", workshop->folder);
}

// Two jobs; the first cut a hide, has a layout and a picture, and a history with a branch.
static void fill(Workshop *workshop, Store *store, int64_t jobs[2])
{
    Arena *keep = workshop->keep;
    Problems *problems = workshop->problems;
    int64_t hides[2];
    int64_t id = 0;
    for (int i = 0; i < 2; i++) {
        const char *name = arena_text(keep, "job %d", i);
        MUST(workshop,
             record_begin(store, RECORD_JOB, job_document(name, "", keep), &jobs[i], problems));
        MUST(workshop,
             record_begin(store, RECORD_HIDE, hide_document(name, keep), &hides[i], problems));
        const OnTable place = {jobs[i], hides[i], "hide"};
        MUST(workshop, hide_put_on_table(store, &place, problems));
    }
    int64_t at = 1;
    const Save second = {jobs[0], 1, job_document("job 0", "second", keep), "as ordered"};
    MUST(workshop, record_save(store, &second, &at, problems));
    MUST(workshop, history_undo(store, jobs[0], 2, &at, problems));
    const Save third = {jobs[0], 1, job_document("job 0", "third", keep), NULL};
    MUST(workshop, record_save(store, &third, &at, problems));
    const Document rest = hide_document("rest", keep);
    const HideCut cut = {hides[0], &rest, 1};
    MUST(workshop, hides_cut(store, &(JobCut){jobs[0], 3, &cut, 1, {0}}, &id, problems));
    const NewKeepsake kept[] = {{KEEPSAKE_LAYOUT, jobs[0], 3, "layout", document_of("{}")},
                                {KEEPSAKE_PICTURE, hides[0], 0, "photo", {"\xff\xd8\xff", 3}},
                                {KEEPSAKE_OFFER, 0, 0, "of nobody", document_of("{}")}};
    for (int i = 0; i < 3; i++) {
        MUST(workshop, keepsake_put(store, &kept[i], &id, problems));
    }
}

// All that is in a file, but for numbers that are its own, as one text.
static const char *contents(Store *store, Arena *keep)
{
    static const char *const tables[] = {
        "SELECT record.uid, kind, present, begun_ms, away_ms FROM record ORDER BY record.uid",
        "SELECT uid, number, base, again, saved_ms, name, title, words, document FROM version "
        "ORDER BY uid",
        "SELECT cut.uid, r.uid, v.uid, cut_ms FROM cut JOIN record AS r ON r.id = hide "
        "JOIN version AS v ON v.record = job AND v.number = cut.version ORDER BY cut.uid",
        "SELECT r.uid, c.uid FROM remnant JOIN record AS r ON r.id = remnant.hide "
        "JOIN cut AS c ON c.id = remnant.cut ORDER BY r.uid",
        "SELECT j.uid, h.uid, called FROM on_table JOIN record AS j ON j.id = job "
        "JOIN record AS h ON h.id = hide ORDER BY j.uid, h.uid",
        "SELECT uid, kind, name, type, kept_ms, bytes FROM keepsake ORDER BY uid"};
    Text text = {.keep = keep};
    for (size_t i = 0; i < sizeof tables / sizeof *tables; i++) {
        Query query = query_begin(store, tables[i]);
        while (query_row(&query)) {
            for (int c = 0; c < sqlite3_column_count(query.statement); c++) {
                const char *value = query_get_text(&query, c, keep);
                text_add(&text, "%s|", value ? value : "-");
            }
            text_add(&text, "\n");
        }
        assert_true(query_end(&query));
    }
    return text_string(&text);
}

static void everything_goes_out_and_comes_in_again(void **state)
{
    Workshop *workshop = *state;
    Problems *problems = workshop->problems;
    int64_t jobs[2];
    Store *store = open_workshop(workshop);
    fill(workshop, store, jobs);
    const char *wanted = contents(store, workshop->keep);
    MUST(workshop, store_export(store, export_path(workshop), NULL, 0, problems));
    Store *other = open_other(workshop, "other.db");
    ImportReport report = {0};
    MUST(workshop, store_import(other, export_path(workshop), &report, problems));
    assert_int_equal(report.jobs, 2);
    assert_int_equal(report.hides, 3);
    assert_int_equal(report.versions, 7);
    assert_int_equal(report.keepsakes, 3);
    assert_string_equal(contents(other, workshop->keep), wanted);
    // Once more changes nothing.
    MUST(workshop, store_import(other, export_path(workshop), &report, problems));
    assert_int_equal(report.jobs + report.hides + report.versions + report.keepsakes, 0);
    assert_int_equal(report.moved + report.apart + report.cuts_left_out, 0);
    assert_string_equal(contents(other, workshop->keep), wanted);
    MUST(workshop, store_check(other, problems));
    // A workshop file that is in use may be taken in as it is.
    Store *third = open_other(workshop, "third.db");
    MUST(workshop, store_import(third, workshop->path, &report, problems));
    assert_string_equal(contents(third, workshop->keep), wanted);
    store_close(third);
    store_close(other);
    store_close(store);
}

// A picture, of the hide it shows; the first job cut that, and the second has a remnant of it,
// which names the picture as well.
static void a_job_goes_out_with_the_pictures_that_it_names(void **state)
{
    Workshop *workshop = *state;
    Arena *keep = workshop->keep;
    Problems *problems = workshop->problems;
    Store *store = open_workshop(workshop);
    int64_t jobs[2];
    int64_t hide = 0;
    int64_t ids[2];
    int64_t rest = 0;
    for (int i = 0; i < 2; i++) {
        const Document job = job_document(arena_text(keep, "job %d", i), "", keep);
        MUST(workshop, record_begin(store, RECORD_JOB, job, &jobs[i], problems));
    }
    MUST(workshop, record_begin(store, RECORD_HIDE, hide_document("hide", keep), &hide, problems));
    for (int i = 0; i < 2; i++) {
        const NewKeepsake picture = {
            KEEPSAKE_PICTURE, hide, 0, i == 0 ? "its own" : "another", {"\xff\xd8\xff", 3}};
        MUST(workshop, keepsake_put(store, &picture, &ids[i], problems));
    }
    Keepsakes found;
    const KeepsakeSearch own = {.kind = KEEPSAKE_PICTURE, .id = ids[0]};
    MUST(workshop, keepsakes_find(store, &own, keep, &found, problems));
    const char *uid = found.items[0].uid;
    const Document left =
        document_of(arena_text(keep, "{\"hide\": {\"picture\": {\"uid\": \"%s\"}}}", uid));
    const HideCut cut = {hide, &left, 1};
    MUST(workshop, hides_cut(store, &(JobCut){jobs[0], 1, &cut, 1, {0}}, &rest, problems));
    MUST(workshop, hide_put_on_table(store, &(OnTable){jobs[1], rest, "rest"}, problems));
    MUST(workshop, store_export(store, export_path(workshop), &jobs[1], 1, problems));
    Store *other = open_other(workshop, "other.db");
    ImportReport report = {0};
    MUST(workshop, store_import(other, export_path(workshop), &report, problems));
    assert_int_equal(report.jobs, 1);
    assert_int_equal(report.hides, 1);
    assert_int_equal(report.keepsakes, 1);
    const KeepsakeSearch there = {.kind = KEEPSAKE_PICTURE, .uid = uid};
    MUST(workshop, keepsakes_find(other, &there, keep, &found, problems));
    assert_int_equal(found.count, 1);
    assert_string_equal(found.items[0].name, "its own");
    store_close(other);
    store_close(store);
}

static void one_job_goes_out_with_what_belongs_to_it(void **state)
{
    Workshop *workshop = *state;
    Problems *problems = workshop->problems;
    int64_t jobs[2];
    Store *store = open_workshop(workshop);
    fill(workshop, store, jobs);
    MUST(workshop, store_export(store, export_path(workshop), &jobs[0], 1, problems));
    Store *other = open_other(workshop, "other.db");
    ImportReport report = {0};
    MUST(workshop, store_import(other, export_path(workshop), &report, problems));
    assert_int_equal(report.jobs, 1);
    assert_int_equal(report.hides, 2); // the hide and its remnant
    assert_int_equal(report.versions, 5);
    assert_int_equal(report.keepsakes, 2);
    HideStates hides;
    MUST(workshop, hides_list(other, HIDES_AT_HAND, workshop->keep, &hides, problems));
    assert_int_equal(hides.count, 1);
    assert_string_equal(hides.items[0].record.title, "rest");
    assert_true(hides.items[0].left_of != 0);
    // The rest of the workshop, taken in later, completes it.
    MUST(workshop, store_import(other, workshop->path, &report, problems));
    assert_int_equal(report.jobs, 1);
    assert_string_equal(contents(other, workshop->keep), contents(store, workshop->keep));
    const int64_t none = 99;
    assert_false(store_export(store, export_path(workshop), &none, 1, problems));
    assert_int_equal(last_problem(workshop).kind, PROBLEM_NOT_FOUND);
    assert_false(store_export(store, workshop->path, NULL, 0, problems));
    assert_int_equal(last_problem(workshop).kind, PROBLEM_BAD_INPUT);
    store_close(other);
    store_close(store);
}

// One job on two machines: the newer side is followed, two changed sides stand side by side.
static void changes_on_both_sides_overwrite_nothing(void **state)
{
    Workshop *workshop = *state;
    Problems *problems = workshop->problems;
    Arena *keep = workshop->keep;
    int64_t jobs[2];
    Store *store = open_workshop(workshop);
    fill(workshop, store, jobs);
    Store *other = open_other(workshop, "other.db");
    ImportReport report = {0};
    MUST(workshop, store_import(other, workshop->path, &report, problems));
    Records found;
    MUST(workshop, records_find(other, &(RecordSearch){.kind = RECORD_JOB, .words = "\"job 1\""},
                                keep, &found, problems));
    MUST(workshop, records_find(other, &(RecordSearch){.kind = RECORD_JOB, .words = "job 1"}, keep,
                                &found, problems));
    const int64_t there = found.items[0].id;
    int64_t at = 0;
    const Document theirs = job_document("job 1", "theirs", keep);
    MUST(workshop, record_save(other, &(Save){there, 1, theirs, NULL}, &at, problems));
    MUST(workshop,
         store_import(store, store_path(other), &report, problems)); // theirs is simply newer
    assert_int_equal(report.moved, 1);
    assert_int_equal(report.apart, 0);
    check_document(workshop, store, jobs[1], 0, theirs);
    MUST(workshop, history_undo(store, jobs[1], 2, &at, problems));
    MUST(workshop, history_redo(store, jobs[1], 1, &at, problems));
    assert_int_equal(at, 2);

    const Document mine = job_document("job 1", "mine", keep);
    const Document more = job_document("job 1", "more of theirs", keep);
    MUST(workshop, record_save(store, &(Save){jobs[1], 2, mine, NULL}, &at, problems));
    MUST(workshop, record_save(other, &(Save){there, 2, more, NULL}, &at, problems));
    MUST(workshop, store_import(store, store_path(other), &report, problems));
    assert_int_equal(report.moved, 0);
    assert_int_equal(report.apart, 1);
    check_document(workshop, store, jobs[1], 0, mine); // it stands where it stood
    check_document(workshop, store, jobs[1], 4, more); // and theirs is in its history
    MUST(workshop, store_check(store, problems));
    store_close(other);
    store_close(store);
}

// One hide on two machines, cut on both: it cannot have been the same leather.
static void a_hide_that_was_cut_on_both_sides_keeps_the_cut_of_this_one(void **state)
{
    Workshop *workshop = *state;
    Problems *problems = workshop->problems;
    Arena *keep = workshop->keep;
    int64_t jobs[2];
    Store *store = open_workshop(workshop);
    fill(workshop, store, jobs);
    Store *other = open_other(workshop, "other.db");
    ImportReport report = {0};
    MUST(workshop, store_import(other, workshop->path, &report, problems));
    Store *const sides[] = {store, other};
    for (int i = 0; i < 2; i++) {
        Records found;
        OnTables places;
        int64_t rest = 0;
        MUST(workshop, records_find(sides[i], &(RecordSearch){.kind = RECORD_JOB, .words = "job 1"},
                                    keep, &found, problems));
        const int64_t job = found.items[0].id;
        MUST(workshop, hides_on_tables(sides[i], job, 0, keep, &places, problems));
        const Document left = hide_document(i == 0 ? "left here" : "left there", keep);
        const HideCut cut = {places.items[0].hide, &left, 1};
        MUST(workshop, hides_cut(sides[i], &(JobCut){job, 1, &cut, 1, {0}}, &rest, problems));
    }
    MUST(workshop, store_import(store, store_path(other), &report, problems));
    assert_int_equal(report.cuts_left_out, 1);
    assert_int_equal(report.hides, 1); // what was left there comes, without the cut that left it
    HideStates hides;
    MUST(workshop, hides_list(store, HIDES_AT_HAND, keep, &hides, problems));
    for (int i = 0; i < hides.count; i++) {
        const bool there = strcmp(hides.items[i].record.title, "left there") == 0;
        assert_int_equal(hides.items[i].left_of != 0, !there);
    }
    MUST(workshop, store_check(store, problems));
    store_close(other);
    store_close(store);
}

static void an_old_export_is_read_and_left_as_it_is(void **state)
{
    Workshop *workshop = *state;
    const char *path = export_path(workshop);
    run_sql(path, read_bytes(VERSION_1_SQL, workshop->keep).data);
    const Document before = read_bytes(path, workshop->keep);
    Store *store = open_workshop(workshop);
    ImportReport report = {0};
    MUST(workshop, store_import(store, path, &report, workshop->problems));
    assert_int_equal(report.jobs, 1);
    assert_int_equal(report.versions, 4);
    const Document after = read_bytes(path, workshop->keep);
    assert_int_equal(before.bytes, after.bytes);
    assert_memory_equal(before.data, after.data, before.bytes);
    store_close(store);
}

// What somebody might have put into a file on purpose.
static void hostile_files_are_refused_and_change_nothing(void **state)
{
    Workshop *workshop = *state;
    int64_t jobs[2];
    Store *source = open_workshop(workshop);
    fill(workshop, source, jobs);
    Store *target = open_other(workshop, "target.db");
    const char *before = contents(target, workshop->keep);
    static const char *const changes[] = {
        "CREATE TRIGGER t AFTER INSERT ON version BEGIN DELETE FROM record; END",
        "PRAGMA user_version = 99",
        "PRAGMA user_version = 1",
        "PRAGMA application_id = 1",
        "PRAGMA foreign_keys = OFF; UPDATE record SET present = 77",
        "PRAGMA foreign_keys = OFF; DELETE FROM version WHERE number = 1",
        "UPDATE version SET title = 'x'",
        "UPDATE version SET saved_ms = saved_ms + 1",
        "UPDATE keepsake SET bytes = zeroblob(100000000)",
        "UPDATE keepsake SET name = 'two' || char(10) || 'lines'",
        "PRAGMA ignore_check_constraints = ON; UPDATE version SET base = number"};
    for (size_t i = 0; i < sizeof changes / sizeof *changes; i++) {
        const char *path = export_path(workshop);
        MUST(workshop, store_export(source, path, NULL, 0, workshop->problems));
        run_sql(path, changes[i]);
        Problems *problems = problems_in(workshop->keep);
        ImportReport report = {0};
        if (store_import(target, path, &report, problems)) {
            print_error("taken in: %s\n", changes[i]);
            fail();
        }
        assert_int_equal(problems->count, 1);
        assert_string_equal(contents(target, workshop->keep), before);
    }
    static const char escape[] = "UPDATE version SET name = char(27) || '[31m' WHERE name <> ''";
    MUST(workshop, store_export(source, export_path(workshop), NULL, 0, workshop->problems));
    run_sql(export_path(workshop), escape);
    ImportReport report = {0};
    MUST(workshop, store_import(target, export_path(workshop), &report, workshop->problems));
    assert_null(strchr(contents(target, workshop->keep), '\x1b')); // no such name is kept
    store_close(target);
    store_close(source);
}

static void what_is_no_export_is_refused(void **state)
{
    Workshop *workshop = *state;
    Store *store = open_workshop(workshop);
    const char *path = export_path(workshop);
    ImportReport report = {0};
    assert_false(store_import(store, path, &report, workshop->problems));
    assert_int_equal(last_problem(workshop).kind, PROBLEM_NOT_FOUND);
    assert_int_equal(mkfifo(path, 0666), 0);
    assert_false(store_import(store, path, &report, workshop->problems));
    assert_int_equal(unlink(path), 0);
    assert_false(store_import(store, workshop->folder, &report, workshop->problems));
    write_bytes(path, "", 0);
    assert_false(store_import(store, path, &report, workshop->problems));
    assert_int_equal(last_problem(workshop).kind, PROBLEM_BAD_INPUT);
    char text[3000];
    memset(text, '{', sizeof text);
    write_bytes(path, text, sizeof text);
    assert_false(store_import(store, path, &report, workshop->problems));
    MUST(workshop, store_check(store, workshop->problems));
    store_close(store);
}

// Property: an export with bytes changed, cut off or doubled is taken in whole or refused, and
// the workshop is sound either way.
static void changed_exports_do_no_harm(void **state)
{
    Workshop *workshop = *state;
    int64_t jobs[2];
    Store *source = open_workshop(workshop);
    fill(workshop, source, jobs);
    const char *path = export_path(workshop);
    MUST(workshop, store_export(source, path, NULL, 0, workshop->problems));
    store_close(source);
    const Document good = read_bytes(path, workshop->keep);
    Store *target = open_other(workshop, "target.db");
    const char *before = contents(target, workshop->keep);
    uint64_t refused = 0;
    const Trials trials = trials_wanted(400); // all of them under the sanitizers too
    for (uint64_t trial = trials.first; trial < trials.end; trial++) {
        Random random = random_begin(31, trial, 0);
        const ArenaMark mark = arena_mark(workshop->keep);
        char *bytes = arena_alloc(workshop->keep, good.bytes, 1);
        memcpy(bytes, good.data, good.bytes);
        const int changes = 1 + random_below(&random, 8);
        for (int i = 0; i < changes; i++) {
            // Half of them in the heads of pages, where the structure is.
            const int page = random_below(&random, (int)(good.bytes / 4096)) * 4096;
            const size_t at = (size_t)(page + random_below(&random, i % 2 ? 4096 : 64));
            bytes[at] = (char)random_below(&random, 256);
        }
        const size_t length =
            random_below(&random, 10) ? good.bytes : (size_t)random_below(&random, (int)good.bytes);
        write_bytes(path, bytes, length);
        ImportReport report = {0};
        const bool taken = store_import(target, path, &report, problems_in(workshop->keep));
        if (!taken) {
            refused++;
            assert_string_equal(contents(target, workshop->keep), before);
        }
        arena_rewind(workshop->keep, mark);
        before = taken ? contents(target, workshop->keep) : before;
    }
    MUST(workshop, store_check(target, workshop->problems));
    assert_true(refused > (trials.end - trials.first) / 2);
    store_close(target);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_WORKSHOP(everything_goes_out_and_comes_in_again),
        TEST_IN_WORKSHOP(one_job_goes_out_with_what_belongs_to_it),
        TEST_IN_WORKSHOP(a_job_goes_out_with_the_pictures_that_it_names),
        TEST_IN_WORKSHOP(changes_on_both_sides_overwrite_nothing),
        TEST_IN_WORKSHOP(a_hide_that_was_cut_on_both_sides_keeps_the_cut_of_this_one),
        TEST_IN_WORKSHOP(an_old_export_is_read_and_left_as_it_is),
        TEST_IN_WORKSHOP(hostile_files_are_refused_and_change_nothing),
        TEST_IN_WORKSHOP(what_is_no_export_is_refused),
        TEST_IN_WORKSHOP(changed_exports_do_no_harm),
    };
    return cmocka_run_group_tests_name("store/exchange", tests, NULL, NULL);
}
