// Tables whose columns line up, in any script.
#pragma once

#include "base/arena.h"

#include <stdbool.h>
#include <stdio.h>

enum { TABLE_COLUMNS_MAX = 12, TABLE_ROWS_MAX = 2000 };

typedef struct Table {
    Arena *keep;
    int columns;
    bool to_right[TABLE_COLUMNS_MAX]; ///< numbers stand to the right
    const char **cells;
    int rows;
} Table;

/// `marks` has one letter a column: l or r.
Table table_begin(const char *marks, Arena *keep);
/// One row; as many texts as columns. The first row is the head.
void table_row(Table *table, const char *const *cells);
/// Prints with two spaces between columns and a rule under the head.
void table_print(const Table *table, FILE *to);
