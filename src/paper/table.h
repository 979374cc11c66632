// Tables: columns as wide as they need to be, rows that stay whole.
#pragma once

#include "paper/flow.h"

enum { TABLE_COLUMNS_MAX = 10 };

typedef struct Column {
    const char *head;
    TextAlign align;
    bool wraps;      ///< is narrowed when room is short; its texts then take several lines
    bool tick;       ///< a box to tick in each row; takes no text
    double least_mm; ///< is at least so wide
} Column;

/// Begin with columns and `keep`; add rows by table_row().
typedef struct Table {
    Column columns[TABLE_COLUMNS_MAX];
    int column_count;
    double row_mm; ///< rows are at least so high: to write into
    bool ruled;    ///< lines between the columns
    Arena *keep;
    const char **cells; ///< [row * column_count + column]
    int row_count;
    int capacity;
} Table;

/// Cells in the order of the columns; NULL stands for an empty one.
void table_row(Table *table, const char *const *cells);

/// Draws the table below what is there. Rows stay whole; the head is repeated on
/// each page.
void table_draw(const Table *table, Flow *flow);
