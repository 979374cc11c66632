#include "layout/ranked.h"

#include <stddef.h>
#include <stdlib.h>

static int by_key(const void *left, const void *right)
{
    const Ranked *a = left;
    const Ranked *b = right;
    if (a->key != b->key) {
        return a->key < b->key ? -1 : 1;
    }
    return (a->index > b->index) - (a->index < b->index);
}

void ranked_sort(Ranked *ranked, int count)
{
    qsort(ranked, (size_t)count, sizeof *ranked, by_key);
}
