#include "cli/listing.h"

#include "base/text.h"

#include <assert.h>
#include <string.h>

Listing listing_begin(const char *marks, Arena *keep)
{
    Listing listing = {.columns = (int)strlen(marks)};
    assert(listing.columns <= LISTING_COLUMNS_MAX);
    for (int c = 0; c < listing.columns; c++) {
        listing.to_right[c] = marks[c] == 'r';
    }
    listing.cells = ARENA_ARRAY(keep, const char *, LISTING_ROWS_MAX *listing.columns);
    return listing;
}

void listing_add(Listing *listing, const char *const *cells)
{
    if (listing->rows == LISTING_ROWS_MAX) {
        return;
    }
    for (int c = 0; c < listing->columns; c++) {
        listing->cells[listing->rows * listing->columns + c] = cells[c] ? cells[c] : "";
    }
    listing->rows++;
}

static void print_spaces(FILE *to, int count)
{
    for (int i = 0; i < count; i++) {
        (void)fputc(' ', to);
    }
}

static void print_row(const Listing *listing, int row, const int *widths, FILE *to)
{
    print_spaces(to, 2);
    for (int c = 0; c < listing->columns; c++) {
        const char *cell = listing->cells[row * listing->columns + c];
        const int blank = widths[c] - text_columns(cell);
        const bool last = c + 1 == listing->columns;
        if (listing->to_right[c]) {
            print_spaces(to, blank);
        }
        (void)fputs(cell, to);
        if (!last) {
            print_spaces(to, listing->to_right[c] ? 2 : blank + 2);
        }
    }
    (void)fputc('\n', to);
}

void listing_print(const Listing *listing, FILE *to)
{
    int widths[LISTING_COLUMNS_MAX] = {0};
    int total = 0;
    for (int c = 0; c < listing->columns; c++) {
        for (int r = 0; r < listing->rows; r++) {
            const int columns = text_columns(listing->cells[r * listing->columns + c]);
            widths[c] = columns > widths[c] ? columns : widths[c];
        }
        total += widths[c] + (c > 0 ? 2 : 0);
    }
    for (int r = 0; r < listing->rows; r++) {
        print_row(listing, r, widths, to);
        if (r == 0) {
            print_spaces(to, 2);
            for (int i = 0; i < total; i++) {
                (void)fputs("─", to);
            }
            (void)fputc('\n', to);
        }
    }
}
