#include "serve/tables.h"

#include "support/check.h"

static const char job[] =
    "{\"seatwright\": 1, \"name\": \"one\", \"units\": \"mm\", \"seats\": [{\"name\": \"stool\", "
    "\"count\": "
    "1, \"frame\": {\"shape\": \"rectangle\", \"front\": 400, \"depth\": 400}, \"board\": "
    "{\"thickness\": 18}, \"padding\": {\"edge\": 30, \"crown\": 15}}], \"hides\": [{\"name\": "
    "\"panel\", \"form\": \"panel\", \"length\": 900, \"width\": 700}]}";
static const char nothing[] = "{\"placements\": []}";

static bool lay(Tables *tables, Arena *scratch, int64_t *id)
{
    const TableOrder order = {job, sizeof job - 1, nothing, sizeof nothing - 1};
    int placements = -1;
    Problems *problems = problems_in(scratch);
    const bool good = table_lay(tables, &order, scratch, id, &placements, problems);
    for (int i = 0; i < problems->count && !good; i++) {
        print_message("# %s: %s\n", problems->items[i].where, problems->items[i].found);
    }
    return good && placements == 0;
}

static void the_one_that_was_not_asked_for_longest_goes(void **state)
{
    Tables *tables = tables_begin();
    assert_non_null(tables);
    int64_t ids[TABLES_MAX + 1];
    for (int i = 0; i < TABLES_MAX; i++) {
        assert_true(lay(tables, *state, &ids[i]));
    }
    assert_non_null(table_come(tables, ids[0]));
    table_leave(tables, ids[0]);
    assert_true(lay(tables, *state, &ids[TABLES_MAX]));
    assert_null(table_come(tables, ids[1]));
    assert_non_null(table_come(tables, ids[0]));
    table_leave(tables, ids[0]);
    tables_end(tables);
}

static void a_table_that_is_asked_stays(void **state)
{
    Tables *tables = tables_begin();
    assert_non_null(tables);
    int64_t ids[TABLES_MAX];
    for (int i = 0; i < TABLES_MAX; i++) {
        assert_true(lay(tables, *state, &ids[i]));
        assert_non_null(table_come(tables, ids[i]));
    }
    int64_t none = 0;
    assert_false(lay(tables, *state, &none));
    table_leave(tables, ids[3]);
    assert_true(lay(tables, *state, &none));
    assert_null(table_come(tables, ids[3]));
    tables_end(tables);
}

// Whoever asks may go on; nobody else comes.
static void one_that_was_cleared_goes_when_nobody_asks(void **state)
{
    Tables *tables = tables_begin();
    assert_non_null(tables);
    int64_t id = 0;
    assert_true(lay(tables, *state, &id));
    const PlanTable *table = table_come(tables, id);
    assert_non_null(table);
    assert_true(table_clear(tables, id));
    assert_false(table_clear(tables, id));
    assert_null(table_come(tables, id));
    assert_int_equal(plan_table_placements(table), 0);
    table_leave(tables, id);
    assert_false(table_clear(tables, id));
    assert_null(table_come(tables, 0)); // the number of an empty place
    tables_end(tables);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(the_one_that_was_not_asked_for_longest_goes),
        TEST_IN_ARENA(a_table_that_is_asked_stays),
        TEST_IN_ARENA(one_that_was_cleared_goes_when_nobody_asks),
    };
    return cmocka_run_group_tests_name("serve/tables", tests, NULL, NULL);
}
