// Tables: layouts that are being moved by hand, each with what it takes to judge a move quickly.
// The last that were asked are kept; a page whose table is gone lays it again.
#pragma once

#include "plan/served_drag.h"

enum { TABLES_MAX = 24 };

typedef struct Tables Tables;

/// NULL when the system refuses.
MUST_CHECK Tables *tables_begin(void);
/// When nobody asks any more. Accepts NULL.
void tables_end(Tables *tables);

/// A layout to be laid; its texts are not needed afterwards.
typedef struct TableOrder {
    const char *document; ///< of the job
    size_t document_bytes;
    const char *layout; ///< what plan_table() reads
    size_t layout_bytes;
} TableOrder;

/// Lays one; *id is its number, *placements how many there are.
/// Errors   as plan_derive_text() and plan_table(); all tables are being asked at this moment.
MUST_CHECK bool table_lay(Tables *tables, const TableOrder *order, Arena *scratch, int64_t *id,
                          int *placements, Problems *problems);

/// A table to ask, until table_leave(). NULL: there is none of that number any more.
MUST_CHECK const PlanTable *table_come(Tables *tables, int64_t id);
void table_leave(Tables *tables, int64_t id);

/// Takes it away, once nobody asks it. False: there is none.
bool table_clear(Tables *tables, int64_t id);
