#include "serve/tables.h"

#include <pthread.h>
#include <stdlib.h>
#include <string.h>

static const size_t KEEP_BYTES = (size_t)1 << 30;

typedef struct Table {
    int64_t id; // 0: an empty place
    Arena *keep;
    const PlanTable *plan;
    int asking;
    bool cleared;  // goes when nobody asks
    int64_t asked; // when last, by the count of all
} Table;

struct Tables {
    pthread_mutex_t lock;
    Table places[TABLES_MAX];
    int64_t last_id;
    int64_t asked;
};

Tables *tables_begin(void)
{
    Tables *tables = calloc(1, sizeof *tables);
    if (tables) {
        (void)pthread_mutex_init(&tables->lock, NULL);
    }
    return tables;
}

void tables_end(Tables *tables)
{
    if (!tables) {
        return;
    }
    for (int i = 0; i < TABLES_MAX; i++) {
        arena_destroy(tables->places[i].keep);
    }
    (void)pthread_mutex_destroy(&tables->lock);
    free(tables);
}

// With the lock.
static void empty(Table *table)
{
    arena_destroy(table->keep);
    *table = (Table){0};
}

// With the lock: an empty place, or that of the table that was not asked for longest.
static Table *find_place(Tables *tables)
{
    Table *found = NULL;
    for (int i = 0; i < TABLES_MAX; i++) {
        Table *table = &tables->places[i];
        if (table->id == 0) {
            return table;
        }
        if (table->asking == 0 && (!found || table->asked < found->asked)) {
            found = table;
        }
    }
    if (found) {
        empty(found);
    }
    return found;
}

static const PlanTable *make(const TableOrder *order, Arena *keep, Arena *scratch,
                             Problems *problems)
{
    char *document = arena_alloc(keep, order->document_bytes + 1, 1);
    memcpy(document, order->document, order->document_bytes);
    Derived *derived = ARENA_NEW(keep, Derived);
    PlanTable *plan = NULL;
    const bool good =
        plan_derive_text(document, order->document_bytes, "job", keep, scratch, derived,
                         problems) &&
        plan_table(derived, order->layout, order->layout_bytes, keep, scratch, &plan, problems);
    return good ? plan : NULL;
}

bool table_lay(Tables *tables, const TableOrder *order, Arena *scratch, int64_t *id,
               int *placements, Problems *problems)
{
    Arena *keep = arena_create("table", KEEP_BYTES);
    if (!keep) {
        return problems_say(problems, PROBLEM_SYSTEM, "table", "there is no memory");
    }
    const PlanTable *plan = make(order, keep, scratch, problems);
    if (!plan) {
        arena_destroy(keep);
        return false;
    }
    *placements = plan_table_placements(plan);
    (void)pthread_mutex_lock(&tables->lock);
    Table *place = find_place(tables);
    if (place) {
        *id = ++tables->last_id;
        *place = (Table){.id = *id, .keep = keep, .plan = plan, .asked = ++tables->asked};
    }
    (void)pthread_mutex_unlock(&tables->lock);
    if (!place) {
        arena_destroy(keep);
        return problems_say(problems, PROBLEM_SYSTEM, "table", "all tables are being asked");
    }
    return true;
}

// With the lock.
static Table *find(Tables *tables, int64_t id)
{
    for (int i = 0; i < TABLES_MAX; i++) {
        if (tables->places[i].id == id && !tables->places[i].cleared) {
            return &tables->places[i];
        }
    }
    return NULL;
}

const PlanTable *table_come(Tables *tables, int64_t id)
{
    (void)pthread_mutex_lock(&tables->lock);
    Table *table = find(tables, id);
    const PlanTable *plan = table ? table->plan : NULL;
    if (table) {
        table->asking++;
        table->asked = ++tables->asked;
    }
    (void)pthread_mutex_unlock(&tables->lock);
    return plan;
}

void table_leave(Tables *tables, int64_t id)
{
    (void)pthread_mutex_lock(&tables->lock);
    for (int i = 0; i < TABLES_MAX; i++) {
        Table *table = &tables->places[i];
        if (table->id == id && --table->asking == 0 && table->cleared) {
            empty(table);
        }
    }
    (void)pthread_mutex_unlock(&tables->lock);
}

bool table_clear(Tables *tables, int64_t id)
{
    (void)pthread_mutex_lock(&tables->lock);
    Table *table = find(tables, id);
    if (table) {
        table->cleared = true;
        if (table->asking == 0) {
            empty(table);
        }
    }
    (void)pthread_mutex_unlock(&tables->lock);
    return table != NULL;
}
