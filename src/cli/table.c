#include "cli/table.h"

#include "base/text.h"

#include <assert.h>
#include <string.h>

Table table_begin(const char *marks, Arena *keep)
{
    Table table = {.keep = keep, .columns = (int)strlen(marks)};
    assert(table.columns <= TABLE_COLUMNS_MAX);
    for (int c = 0; c < table.columns; c++) {
        table.to_right[c] = marks[c] == 'r';
    }
    table.cells = ARENA_ARRAY(keep, const char *, TABLE_ROWS_MAX *table.columns);
    return table;
}

void table_row(Table *table, const char *const *cells)
{
    if (table->rows == TABLE_ROWS_MAX) {
        return;
    }
    for (int c = 0; c < table->columns; c++) {
        table->cells[table->rows * table->columns + c] = cells[c] ? cells[c] : "";
    }
    table->rows++;
}

static void print_spaces(FILE *to, int count)
{
    for (int i = 0; i < count; i++) {
        (void)fputc(' ', to);
    }
}

static void print_row(const Table *table, int row, const int *widths, FILE *to)
{
    print_spaces(to, 2);
    for (int c = 0; c < table->columns; c++) {
        const char *cell = table->cells[row * table->columns + c];
        const int blank = widths[c] - text_columns(cell);
        const bool last = c + 1 == table->columns;
        if (table->to_right[c]) {
            print_spaces(to, blank);
        }
        (void)fputs(cell, to);
        if (!last) {
            print_spaces(to, table->to_right[c] ? 2 : blank + 2);
        }
    }
    (void)fputc('\n', to);
}

void table_print(const Table *table, FILE *to)
{
    int widths[TABLE_COLUMNS_MAX] = {0};
    int total = 0;
    for (int c = 0; c < table->columns; c++) {
        for (int r = 0; r < table->rows; r++) {
            const int columns = text_columns(table->cells[r * table->columns + c]);
            widths[c] = columns > widths[c] ? columns : widths[c];
        }
        total += widths[c] + (c > 0 ? 2 : 0);
    }
    for (int r = 0; r < table->rows; r++) {
        print_row(table, r, widths, to);
        if (r == 0) {
            print_spaces(to, 2);
            for (int i = 0; i < total; i++) {
                (void)fputs("─", to);
            }
            (void)fputc('\n', to);
        }
    }
}
