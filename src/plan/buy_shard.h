// Purchases studied in parts, on several machines or days: each part's trials into a file, and the
// files together into the answer that one run would have given.
#pragma once

#include "job/shard.h"
#include "plan/buy.h"

/// Whether a shard can likely be written there, before hours are spent on it.
MUST_CHECK bool plan_shard_try(const char *path, Problems *problems);

/// Writes what a run with `order.shards` found; the file stands whole or not at all.
MUST_CHECK bool plan_shard_write(const char *path, const Derived *derived, const BuyAnswer *answer,
                                 Problems *problems);

/// The answer of all shards together: that of plan_buy() with the same order and trials in one.
///
/// Result   derived from the job in the files, and kept in `keep`.
/// Errors   every mistake of every file; files of another job, order, program or machine whose
///          mathematics differ; shards that are missing, there twice, or stopped.
MUST_CHECK bool plan_shards_merge(const char *const *paths, int count, Arena *keep, Arena *scratch,
                                  Derived *derived, BuyAnswer *answer, Problems *problems);
