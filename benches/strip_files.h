// The instances of benches/data: strips, the published densities beside them, and bins.
#pragma once

#include "base/problem.h"
#include "layout/layout.h"

/// One instance, in its own units. Pieces carry outline 0, their turns and demand.
typedef struct StripInstance {
    const char *name;
    double width;
    Piece *pieces;
    const int *ids; ///< for each piece, what the file calls it
    int piece_count;
    double area; ///< of all pieces with their demands
} StripInstance;

/// Reads and checks a file.
///
/// Errors   a file that cannot be read, or that does not say what an instance needs: the
///          problem names file, place and what may stand there.
MUST_CHECK bool strip_instance_read(const char *path, Arena *keep, StripInstance *instance,
                                    Problems *problems);

/// Pieces for the fewest bins.
typedef struct BinInstance {
    StripInstance pieces; ///< without a width
    Ring bin;
    int known_bins; ///< enough, and filled wholly
} BinInstance;

/// The same for an instance of benches/data/bins.
MUST_CHECK bool bin_instance_read(const char *path, Arena *keep, BinInstance *instance,
                                  Problems *problems);

/// The instance as a task in mm, for a strip about 1000 mm wide.
///
/// Result   one unit of the instance is a whole number of hundredths of a millimetre, so
///          that whole coordinates stay exact on the engine's lattice.
typedef struct StripTask {
    double mm_per_unit;
    LayoutTask task;
} StripTask;

StripTask strip_task(const StripInstance *instance, Arena *keep);

enum { STRIP_COLUMNS = 7 };

/// Headings of the published columns, by year.
extern const char *const strip_columns[STRIP_COLUMNS];

/// Published densities in percent; 0 where a paper gives none.
typedef struct StripPublished {
    double density[STRIP_COLUMNS];
} StripPublished;

/// Reads what is published of one instance; all 0 when nothing is.
MUST_CHECK bool strip_published_read(const char *path, const char *name, StripPublished *published,
                                     Problems *problems);
