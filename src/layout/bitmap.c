#include "layout/bitmap.h"

#include <assert.h>

Bitmap bitmap_make(int columns, int rows, Arena *keep)
{
    assert(columns >= 0 && rows >= 0);
    Bitmap map = {
        .columns = columns, .rows = rows, .words = (columns + BITS_IN_WORD - 1) / BITS_IN_WORD};
    map.bits = ARENA_ARRAY(keep, uint64_t, bitmap_words(map) + 1);
    return map;
}
