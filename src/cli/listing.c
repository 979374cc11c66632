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

void print_wrapped(const char *first, const char *text, FILE *to)
{
    enum { COLUMNS = 88, WORD_BYTES = 256 };
    const int indent = text_columns(first);
    (void)fputs(first, to);
    int column = indent;
    for (const char *at = text; *at;) {
        char word[WORD_BYTES];
        const size_t length = strcspn(at, " ");
        (void)snprintf(word, sizeof word, "%.*s", (int)length, at);
        const int columns = text_columns(word);
        if (column > indent && column + 1 + columns > COLUMNS) {
            (void)fputc('\n', to);
            print_spaces(to, indent);
            column = indent;
        } else if (column > indent) {
            (void)fputc(' ', to);
            column++;
        }
        (void)fputs(word, to);
        column += columns;
        at += length + strspn(at + length, " ");
    }
    (void)fputc('\n', to);
}
