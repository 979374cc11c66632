// Numbers of things in the order of a key.
#pragma once

typedef struct Ranked {
    int index;
    double key;
} Ranked;

/// The least key first; of equal ones the least index.
void ranked_sort(Ranked *ranked, int count);
