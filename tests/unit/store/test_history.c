#include "store/history.h"

#include "base/random.h"
#include "support/trials.h"
#include "workshop.h"

// A job with versions 1 to `count`, each made of the one before.
static int64_t begin_job(Workshop *workshop, Store *store, int count)
{
    int64_t id = 0;
    int64_t present = 1;
    MUST(workshop, record_begin(store, RECORD_JOB, document_of("1"), &id, workshop->problems));
    for (int i = 2; i <= count; i++) {
        const Save save = {id, i - 1, document_of(arena_text(workshop->keep, "%d", i)), NULL};
        MUST(workshop, record_save(store, &save, &present, workshop->problems));
    }
    return id;
}

static void undo_and_redo_work_across_sessions(void **state)
{
    Workshop *workshop = *state;
    Store *store = open_workshop(workshop);
    Problems *problems = workshop->problems;
    const int64_t id = begin_job(workshop, store, 3);
    int64_t present = 0;
    MUST(workshop, history_undo(store, id, 3, &present, problems));
    assert_int_equal(present, 2);
    store_close(store);
    store = open_workshop(workshop);
    MUST(workshop, history_undo(store, id, 2, &present, problems));
    assert_int_equal(present, 1);
    assert_false(history_undo(store, id, 1, &present, problems));
    assert_int_equal(last_problem(workshop).kind, PROBLEM_NOT_FOUND);
    check_document(workshop, store, id, 0, document_of("1"));
    store_close(store);
    store = open_workshop(workshop);
    MUST(workshop, history_redo(store, id, 1, &present, problems));
    MUST(workshop, history_redo(store, id, 2, &present, problems));
    assert_int_equal(present, 3);
    assert_false(history_redo(store, id, 3, &present, problems));
    check_document(workshop, store, id, 0, document_of("3"));
    store_close(store);
}

static void an_edit_after_undo_leaves_the_old_branch_in_reach(void **state)
{
    Workshop *workshop = *state;
    Store *store = open_workshop(workshop);
    Problems *problems = workshop->problems;
    const int64_t id = begin_job(workshop, store, 3);
    int64_t present = 0;
    MUST(workshop, history_undo(store, id, 3, &present, problems));
    MUST(workshop,
         record_save(store, &(Save){id, 2, document_of("other"), NULL}, &present, problems));
    assert_int_equal(present, 4);
    MUST(workshop, history_undo(store, id, 4, &present, problems));
    MUST(workshop, history_redo(store, id, 2, &present, problems));
    assert_int_equal(present, 4); // redo follows the new branch
    MUST(workshop, history_go(store, id, (Jump){4, 3}, &present, problems));
    check_document(workshop, store, id, 0, document_of("3"));
    MUST(workshop, history_undo(store, id, 3, &present, problems));
    MUST(workshop, history_redo(store, id, 2, &present, problems));
    assert_int_equal(present, 3); // and the old one, once one has gone there
    Versions versions;
    MUST(workshop, history_list(store, id, workshop->keep, &versions, problems));
    assert_int_equal(versions.count, 4);
    assert_int_equal(versions.items[0].number, 4);
    assert_int_equal(versions.items[0].base, 2);
    assert_int_equal(versions.items[3].base, 0);
    store_close(store);
}

static void versions_have_names(void **state)
{
    Workshop *workshop = *state;
    Store *store = open_workshop(workshop);
    Problems *problems = workshop->problems;
    const int64_t id = begin_job(workshop, store, 2);
    Versions versions;
    MUST(workshop, history_name(store, id, 1, "as measured", problems));
    MUST(workshop, history_list(store, id, workshop->keep, &versions, problems));
    assert_string_equal(versions.items[1].name, "as measured");
    assert_null(versions.items[0].name);
    MUST(workshop, history_name(store, id, 1, NULL, problems));
    MUST(workshop, history_list(store, id, workshop->keep, &versions, problems));
    assert_null(versions.items[1].name);
    assert_false(history_name(store, id, 3, "none", problems));
    assert_int_equal(last_problem(workshop).kind, PROBLEM_NOT_FOUND);
    assert_false(history_name(store, id, 1, "", problems));
    assert_int_equal(last_problem(workshop).kind, PROBLEM_BAD_INPUT);
    store_close(store);
}

static void a_move_from_an_old_version_is_a_conflict(void **state)
{
    Workshop *workshop = *state;
    Store *store = open_workshop(workshop);
    Problems *problems = workshop->problems;
    const int64_t id = begin_job(workshop, store, 3);
    int64_t present = 0;
    assert_false(history_undo(store, id, 2, &present, problems));
    assert_int_equal(last_problem(workshop).kind, PROBLEM_CONFLICT);
    assert_int_equal(present, 3);
    assert_false(history_redo(store, id, 2, &present, problems));
    assert_false(history_go(store, id, (Jump){2, 1}, &present, problems));
    assert_int_equal(last_problem(workshop).kind, PROBLEM_CONFLICT);
    assert_false(history_go(store, id, (Jump){3, 9}, &present, problems));
    assert_int_equal(last_problem(workshop).kind, PROBLEM_NOT_FOUND);
    Versions versions;
    assert_false(history_list(store, id + 1, workshop->keep, &versions, problems));
    check_document(workshop, store, id, 0, document_of("3"));
    store_close(store);
}

// Against a plain model: a list of texts with their bases and redos.
enum { MODEL_MAX = 64 };

typedef struct Model {
    int count;
    int present;
    int base[MODEL_MAX + 1];
    int again[MODEL_MAX + 1];
    const char *text[MODEL_MAX + 1];
} Model;

static void model_save(Model *model, const char *text)
{
    if (strcmp(model->text[model->present], text) == 0) {
        return;
    }
    model->count++;
    model->base[model->count] = model->present;
    model->again[model->present] = model->count;
    model->text[model->count] = text;
    model->present = model->count;
}

static bool model_undo(Model *model)
{
    const int base = model->base[model->present];
    if (base == 0) {
        return false;
    }
    model->again[base] = model->present;
    model->present = base;
    return true;
}

static bool model_redo(Model *model)
{
    const int again = model->again[model->present];
    model->present = again ? again : model->present;
    return again != 0;
}

static void model_go(Model *model, int to)
{
    for (int at = to; model->base[at] != 0; at = model->base[at]) {
        model->again[model->base[at]] = at;
    }
    model->present = to;
}

static void take_random_step(Workshop *workshop, Store *store, int64_t id, Model *model,
                             Random *random)
{
    Problems *problems = problems_in(workshop->keep); // refusals are part of it
    const int64_t at = model->present;
    int64_t present = 0;
    const int choice = random_below(random, 10);
    if (choice < 4) {
        const char *text = arena_text(workshop->keep, "%d", random_below(random, 20));
        const Save save = {id, at, document_of(text), NULL};
        MUST(workshop, record_save(store, &save, &present, problems));
        model_save(model, text);
    } else if (choice < 6) {
        assert_int_equal(history_undo(store, id, at, &present, problems), model_undo(model));
    } else if (choice < 8) {
        assert_int_equal(history_redo(store, id, at, &present, problems), model_redo(model));
    } else if (choice < 9) {
        const int to = 1 + random_below(random, model->count);
        MUST(workshop, history_go(store, id, (Jump){at, to}, &present, problems));
        model_go(model, to);
    } else if (at > 1) { // somebody who has not seen the last step
        assert_false(history_undo(store, id, at - 1, &present, problems));
    } else {
        present = at;
    }
    assert_int_equal(present, model->present);
}

static void compare_with_model(Workshop *workshop, Store *store, int64_t id, const Model *model)
{
    Versions versions;
    MUST(workshop, history_list(store, id, workshop->keep, &versions, workshop->problems));
    assert_int_equal(versions.count, model->count);
    for (int i = 0; i < versions.count; i++) {
        const Version *version = &versions.items[i];
        const int number = model->count - i;
        assert_int_equal(version->number, number);
        assert_int_equal(version->base, model->base[number]);
        assert_int_equal(version->again, model->again[number]);
        check_document(workshop, store, id, number, document_of(model->text[number]));
    }
    check_document(workshop, store, id, 0, document_of(model->text[model->present]));
}

// Property: whatever is saved, undone and redone, the file says what the model says.
static void random_edits_agree_with_a_plain_model(void **state)
{
    Workshop *workshop = *state;
    const Trials trials = trials_wanted(TRIALS_OF(30));
    Store *store = open_workshop(workshop);
    for (uint64_t trial = trials.first; trial < trials.end; trial++) {
        Random random = random_begin(20, trial, 0);
        Model model = {.count = 1, .present = 1, .text = {NULL, "1"}};
        const ArenaMark mark = arena_mark(workshop->keep);
        const int64_t id = begin_job(workshop, store, 1);
        for (int step = 0; step < MODEL_MAX - 1; step++) {
            take_random_step(workshop, store, id, &model, &random);
            if (random_below(&random, 16) == 0) {
                store_close(store);
                store = open_workshop(workshop);
            }
        }
        compare_with_model(workshop, store, id, &model);
        arena_rewind(workshop->keep, mark);
    }
    MUST(workshop, store_check(store, workshop->problems));
    store_close(store);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_WORKSHOP(undo_and_redo_work_across_sessions),
        TEST_IN_WORKSHOP(an_edit_after_undo_leaves_the_old_branch_in_reach),
        TEST_IN_WORKSHOP(versions_have_names),
        TEST_IN_WORKSHOP(a_move_from_an_old_version_is_a_conflict),
        TEST_IN_WORKSHOP(random_edits_agree_with_a_plain_model),
    };
    return cmocka_run_group_tests_name("store/history", tests, NULL, NULL);
}
