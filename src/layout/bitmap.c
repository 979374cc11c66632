#include "layout/bitmap.h"

#include <assert.h>
#include <string.h>

enum { WORD = BITS_IN_WORD };

Bitmap bitmap_make(int columns, int rows, Arena *keep)
{
    assert(columns >= 0 && rows >= 0);
    Bitmap map = {.columns = columns, .rows = rows, .words = (columns + WORD - 1) / WORD};
    map.bits = ARENA_ARRAY(keep, uint64_t, bitmap_words(map) + 1);
    return map;
}

bool bitmap_get(Bitmap map, int column, int row)
{
    return (bitmap_row(map, row)[column / WORD] >> (column % WORD)) & 1;
}

void bitmap_set(Bitmap map, Run run)
{
    const int from = run.from > 0 ? run.from : 0;
    const int to = run.to < map.columns ? run.to : map.columns - 1;
    if (run.row < 0 || run.row >= map.rows || from > to) {
        return;
    }
    bits_set(bitmap_row(map, run.row), from, to);
}

void bitmap_copy(Bitmap to, Bitmap from)
{
    assert(to.rows == from.rows && to.words == from.words);
    memcpy(to.bits, from.bits, bitmap_words(to) * sizeof *to.bits);
}

// to[i] |= from[i + shift], for shift >= 0.
static void row_or_down(uint64_t *restrict to, int to_words, const uint64_t *restrict from,
                        int from_words, int shift)
{
    const int skip = shift / WORD;
    const int bits = shift % WORD;
    const int count = to_words < from_words - skip ? to_words : from_words - skip;
    for (int i = 0; i < count; i++) {
        // Two steps up, since a shift by the whole word is not defined in C.
        to[i] |= (from[i + skip] >> bits) | ((from[i + skip + 1] << 1) << (WORD - 1 - bits));
    }
}

// to[i + shift] |= from[i], for shift >= 0.
static void row_or_up(uint64_t *restrict to, int to_words, const uint64_t *restrict from,
                      int from_words, int shift)
{
    const int skip = shift / WORD;
    const int bits = shift % WORD;
    uint64_t carried = 0;
    for (int i = 0; i <= from_words && i + skip < to_words; i++) {
        to[i + skip] |= (from[i] << bits) | carried; // from[from_words] is the spare word
        carried = (from[i] >> 1) >> (WORD - 1 - bits);
    }
}

void bitmap_or_at(Bitmap to, Bitmap from, int columns_on, int rows_on)
{
    const int first = rows_on < 0 ? -rows_on : 0;
    const int last = from.rows < to.rows - rows_on ? from.rows : to.rows - rows_on;
    for (int row = first; row < last; row++) {
        uint64_t *target = bitmap_row(to, row + rows_on);
        const uint64_t *source = bitmap_row(from, row);
        if (columns_on >= 0) {
            row_or_up(target, to.words, source, from.words, columns_on);
        } else {
            row_or_down(target, to.words, source, from.words, -columns_on);
        }
    }
}

// The first column at or behind `column` whose cell is `set`; the width if there is none.
static int next_cell(Bitmap map, int row, int column, bool set)
{
    const uint64_t *bits = bitmap_row(map, row);
    while (column < map.columns) {
        const uint64_t word = (set ? bits[column / WORD] : ~bits[column / WORD]) >> (column % WORD);
        if (word) {
            const int found = column + __builtin_ctzll(word);
            return found < map.columns ? found : map.columns;
        }
        column += WORD - column % WORD;
    }
    return map.columns;
}

// Writes the runs of a map when `items` is given; returns how many.
static int list_runs(Bitmap map, Run *items)
{
    int count = 0;
    for (int row = 0; row < map.rows; row++) {
        int from = next_cell(map, row, 0, true);
        while (from < map.columns) {
            const int to = next_cell(map, row, from, false);
            if (items) {
                items[count] = (Run){row, from, to - 1};
            }
            count++;
            from = next_cell(map, row, to, true);
        }
    }
    return count;
}

Runs bitmap_runs(Bitmap map, Arena *keep)
{
    const int count = list_runs(map, NULL);
    Run *items = ARENA_ARRAY(keep, Run, count + 1);
    list_runs(map, items);
    return (Runs){items, count};
}

int runs_longest(Runs runs)
{
    int longest = 0;
    for (int i = 0; i < runs.count; i++) {
        const int length = runs.items[i].to - runs.items[i].from + 1;
        longest = length > longest ? length : longest;
    }
    return longest;
}

// The greatest k with 2^k <= length.
static int level_of(int length)
{
    int level = 0;
    while ((2 << level) <= length) {
        level++;
    }
    return level;
}

Spread spread_make(int columns, int rows, int longest, Arena *keep)
{
    Spread spread = {.level_count = level_of(longest > 1 ? longest : 1) + 1};
    assert(spread.level_count <= SPREAD_LEVELS);
    for (int i = 0; i < spread.level_count; i++) {
        spread.level[i] = bitmap_make(columns, rows, keep);
    }
    spread.any = ARENA_ARRAY(keep, bool, rows + 1);
    return spread;
}

void spread_fill(Spread *spread, Bitmap map)
{
    bitmap_copy(spread->level[0], map);
    for (int row = 0; row < map.rows; row++) {
        uint64_t seen = 0;
        for (int word = 0; word < map.words; word++) {
            seen |= bitmap_row(map, row)[word];
        }
        spread->any[row] = seen != 0;
    }
    for (int i = 1; i < spread->level_count; i++) {
        bitmap_copy(spread->level[i], spread->level[i - 1]);
        for (int row = 0; row < map.rows; row++) {
            if (spread->any[row]) {
                row_or_down(bitmap_row(spread->level[i], row), map.words,
                            bitmap_row(spread->level[i - 1], row), map.words, 1 << (i - 1));
            }
        }
    }
}

size_t spread_words(const Spread *spread)
{
    return bitmap_words(spread->level[0]) * (size_t)spread->level_count;
}

void spread_block(const Spread *spread, Runs mask, Bitmap blocked)
{
    for (int i = 0; i < mask.count; i++) {
        const Run run = mask.items[i];
        const int level = level_of(run.to - run.from + 1);
        assert(level < spread->level_count);
        const Bitmap map = spread->level[level];
        const int second = run.to + 1 - (1 << level);
        assert(blocked.rows + run.row <= map.rows);
        for (int row = 0; row < blocked.rows; row++) {
            if (!spread->any[row + run.row]) {
                continue;
            }
            uint64_t *target = bitmap_row(blocked, row);
            const uint64_t *source = bitmap_row(map, row + run.row);
            row_or_down(target, blocked.words, source, map.words, run.from);
            if (second > run.from) {
                row_or_down(target, blocked.words, source, map.words, second);
            }
        }
    }
}
