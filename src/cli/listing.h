// Listings in columns that line up on a terminal, in any script.
#pragma once

#include "base/arena.h"

#include <stdbool.h>
#include <stdio.h>

enum { LISTING_COLUMNS_MAX = 12, LISTING_ROWS_MAX = 2000 };

typedef struct Listing {
    int columns;
    bool to_right[LISTING_COLUMNS_MAX]; ///< numbers stand to the right
    const char **cells;
    int rows;
} Listing;

/// `marks` has one letter for each column: l or r.
Listing listing_begin(const char *marks, Arena *keep);
/// One row; as many texts as columns. The first row is the head.
void listing_add(Listing *listing, const char *const *cells);
/// Prints a paragraph, its lines at most 88 columns long where words allow it: `first`
/// before the first line, as many blanks before the others.
void print_wrapped(const char *first, const char *text, FILE *to);
/// Prints with two spaces between columns and a rule under the head.
void listing_print(const Listing *listing, FILE *to);
