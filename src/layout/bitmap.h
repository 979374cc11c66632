// Bitmaps in 64-bit words: runs, shifts, and the places where a mask would meet a
// map.
//
// Cell (column, row) is bit `column` of its row. Each row has one spare word
// behind it that stays 0, so that shifted reads need no test.
#pragma once

#include "base/arena.h"

#include <stdbool.h>
#include <stdint.h>

enum { BITS_IN_WORD = 64 };

typedef struct Bitmap {
    uint64_t *bits;
    int columns;
    int rows;
    int words; ///< in a row, without the spare one
} Bitmap;

/// A stretch of set cells in a row, both ends counted in.
typedef struct Run {
    int row;
    int from;
    int to;
} Run;

typedef struct Runs {
    const Run *items;
    int count;
} Runs;

Bitmap bitmap_make(int columns, int rows, Arena *keep);

static inline uint64_t *bitmap_row(Bitmap map, int row)
{
    return map.bits + (size_t)row * (size_t)(map.words + 1);
}

static inline size_t bitmap_words(Bitmap map)
{
    return (size_t)map.rows * (size_t)(map.words + 1);
}

/// Sets the bits `from` to `to` of a row, both counted in; 0 <= from <= to.
static inline void bits_set(uint64_t *row, int from, int to)
{
    const int first = from / BITS_IN_WORD;
    const int last = to / BITS_IN_WORD;
    const uint64_t head = ~UINT64_C(0) << (from % BITS_IN_WORD);
    const uint64_t tail = ~UINT64_C(0) >> (BITS_IN_WORD - 1 - to % BITS_IN_WORD);
    if (first == last) {
        row[first] |= head & tail;
        return;
    }
    row[first] |= head;
    for (int word = first + 1; word < last; word++) {
        row[word] = ~UINT64_C(0);
    }
    row[last] |= tail;
}

/// Whether the bits `from` to `to` of a row, both counted in, are all set; 0 <= from <= to.
static inline bool bits_all_set(const uint64_t *row, int from, int to)
{
    const int first = from / BITS_IN_WORD;
    const int last = to / BITS_IN_WORD;
    const uint64_t head = ~UINT64_C(0) << (from % BITS_IN_WORD);
    const uint64_t tail = ~UINT64_C(0) >> (BITS_IN_WORD - 1 - to % BITS_IN_WORD);
    if (first == last) {
        return (~row[first] & head & tail) == 0;
    }
    uint64_t clear = (~row[first] & head) | (~row[last] & tail);
    for (int word = first + 1; word < last; word++) {
        clear |= ~row[word];
    }
    return clear == 0;
}

/// The clear bits of a word of a row, without what lies behind the last column.
static inline uint64_t bitmap_free(Bitmap map, const uint64_t *row, int word)
{
    const int behind = (BITS_IN_WORD - map.columns % BITS_IN_WORD) % BITS_IN_WORD;
    return ~row[word] & (word + 1 == map.words ? ~UINT64_C(0) >> behind : ~UINT64_C(0));
}

bool bitmap_get(Bitmap map, int column, int row);
/// Sets a run, clipped to the map.
void bitmap_set(Bitmap map, Run run);
/// Copies bits between bitmaps of the same size.
void bitmap_copy(Bitmap to, Bitmap from);
/// Cell (column, row) of `from` falls on (column + columns_on, row + rows_on) of `to`;
/// what falls beside it is cut. Bits behind the last column of `to` may be set.
void bitmap_or_at(Bitmap to, Bitmap from, int columns_on, int rows_on);
Runs bitmap_runs(Bitmap map, Arena *keep);
/// Length of the longest run.
int runs_longest(Runs runs);

enum { SPREAD_LEVELS = 14 };

/// A map prepared for questions about runs: bit i of level k tells whether any of
/// the cells i to i + 2^k - 1 is set, so that two look-ups answer for a run of any
/// length.
typedef struct Spread {
    Bitmap level[SPREAD_LEVELS];
    int level_count;
    bool *any; ///< for each row: something is set
} Spread;

/// Room for a spread of maps of this size and runs up to `longest`.
Spread spread_make(int columns, int rows, int longest, Arena *keep);
void spread_fill(Spread *spread, Bitmap map);
/// Words that filling touches, for counted work.
size_t spread_words(const Spread *spread);

/// Sets each place (column, row) of `blocked` at which the mask's runs, shifted
/// there, meet a set cell of the map. Bits behind the last column may be set.
///
/// Shapes   blocked.rows + (greatest run row) <= map rows.
/// Cost     two word operations for each run, place row and word.
void spread_block(const Spread *spread, Runs mask, Bitmap blocked);
