// The file that holds what one shard of a study of purchases found: trials that were run apart,
// on another machine perhaps, to be merged with the others.
//
// It is JSON of our own, docs/json.md describes it. The job stands in it as it was read, to the
// byte, so that a merge needs the shards alone and derives everything as the single run would.
#pragma once

#include "base/problem.h"
#include "base/text.h"
#include "buying/tally.h"
#include "hide/hide.h"

enum {
    SHARD_VERSION = 1,
    SHARDS_MAX = 1000,
    /// The job's text may take up to six bytes for each of its own.
    SHARD_BYTES_MAX = 52 << 20,
};

/// So many trials that ended in the same bracket.
typedef struct ShardRow {
    int failed; ///< as in Bracket
    int fits;
    int count;
} ShardRow;

typedef struct Shard {
    const char *program; ///< the version that made it
    const char *asked;   ///< 16 hexadecimal digits: all that decides how trials come out
    HideForm form;       ///< whole or side
    int pieces;
    const char *grade; ///< its name: ours, or one of the job's
    double comfort;
    uint64_t seed;
    int trials; ///< of all shards together
    int shards;
    int shard; ///< from 1
    bool stopped;
    int done;    ///< trials of this shard that ended
    int careful; ///< of these, how many took the second search
    ShardRow *rows;
    int row_count;
    const char *job; ///< its text
    size_t job_bytes;
} Shard;

/// How many of the trials are this shard's.
int shard_own_trials(const Shard *shard);

/// The rows of a tally, each bracket once, in their order; in `keep`.
void shard_take_tally(Shard *shard, const Tally *tally, Arena *keep);
/// Adds what a shard found to a tally.
void shard_add_to(const Shard *shard, Tally *tally);

/// Reads a shard's file.
///
/// Result   sound by itself: a shard that there is, brackets in order and each once, as many
///          trials as it says. Whether it fits others, and what its job says, is not looked at.
/// Errors   false with all mistakes found, each `where` beginning with `source`. *shard is then
///          untouched.
MUST_CHECK bool shard_read(const char *text, size_t bytes, const char *source, Arena *keep,
                           Shard *shard, Problems *problems);

/// Writes one. Reading the result gives the same shard, and writing that the same bytes.
void shard_write(const Shard *shard, Text *text);
