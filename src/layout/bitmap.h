// Bitmaps in 64-bit words.
//
// Cell (column, row) is bit `column` of its row.
#pragma once

#include "base/arena.h"

#include <stdbool.h>
#include <stdint.h>

enum { BITS_IN_WORD = 64 };

typedef struct Bitmap {
    uint64_t *bits;
    int columns;
    int rows;
    int words; ///< in a row
} Bitmap;

/// All clear.
Bitmap bitmap_make(int columns, int rows, Arena *keep);

static inline uint64_t *bitmap_row(Bitmap map, int row)
{
    return map.bits + (size_t)row * (size_t)map.words;
}

static inline size_t bitmap_words(Bitmap map)
{
    return (size_t)map.rows * (size_t)map.words;
}

static inline bool bitmap_get(Bitmap map, int column, int row)
{
    return (bitmap_row(map, row)[column / BITS_IN_WORD] >> (column % BITS_IN_WORD)) & 1;
}

/// Sets the bits `from` to `to`, both counted in; 0 <= from <= to.
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

/// The clear bits of a word of a row, without what lies behind the last column.
static inline uint64_t bitmap_free(Bitmap map, const uint64_t *row, int word)
{
    const int behind = (BITS_IN_WORD - map.columns % BITS_IN_WORD) % BITS_IN_WORD;
    return ~row[word] & (word + 1 == map.words ? ~UINT64_C(0) >> behind : ~UINT64_C(0));
}
