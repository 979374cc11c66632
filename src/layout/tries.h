// Many layouts on one model: by fixed rules, by drawn ones, then by taking a few
// neighbours out and filling the room again (ruin and recreate: Schrimpf et al. 2000), from what is
// not much worse than the best (record-to-record travel: Dueck 1993; both named from memory).
#pragma once

#include "layout/greedy.h"

/// One copy that is to be laid, with the key that it is sorted by.
typedef struct Copy {
    int piece;
    double key; ///< greater first
} Copy;

/// Pieces on cells, and what they are worth.
typedef struct Arrangement {
    Laid *laid;
    int count;
    double value;
    double cost;
    bool any; ///< one was found; it may be empty
} Arrangement;

typedef struct Tries {
    const LayoutTask *task;
    Model *model;
    Greedy greedy;
    uint64_t seed;
    Copy *all; ///< every copy that is not locked, largest first
    int all_count;
    Copy *order; ///< of the layout at hand
    int order_count;
    Laid *kept;
    int kept_count;
    Arrangement best;
    Arrangement current;             ///< that is changed; may be a little worse
    double attainable;               ///< value of all that fits an empty sheet
    bool started;                    ///< from given placements
    double middles_until;            ///< steps of work before turns off the middle are tried
    int layouts;                     ///< built and weighed
    double told;                     ///< work done when `improved` was called last
    void (*improved)(void *context); ///< called when the best has become better; may be NULL
    void *improved_context;
} Tries;

/// Lists what is to be laid.
void tries_begin(Tries *tries, const LayoutTask *task, uint64_t seed, Arena *arena);

/// Finds the value of what fits empty sheets: no search can place more.
void tries_find_attainable(Tries *tries);

/// Builds layouts until the model's work is spent or nothing better is to be hoped for.
void tries_run(Tries *tries, uint64_t stream);

/// Whether one is worth more than the other, or as much and costs less.
bool arrangement_is_better(const Arrangement *a, const Arrangement *b);

/// Lays given placements at the nearest free places and goes on from there. What finds no
/// place near its own is left out.
void tries_start_from(Tries *tries, const Placement *start, int count);

/// Goes on from the best layout.
void tries_return_to_best(Tries *tries);

/// Whether nothing is missing at all.
bool tries_all_laid(const Tries *tries);
