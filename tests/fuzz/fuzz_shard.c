// Whatever the bytes: the reader says what is wrong, in which file, or gives a shard whose numbers
// agree, and that comes back the same when it is written, read and written again.
#include "fault.h"
#include "fuzz.h"

#include "buying/study.h"
#include "job/shard.h"

#include <string.h>

static void check_numbers(const Shard *shard, Arena *keep)
{
    Tally *tally = ARENA_NEW(keep, Tally);
    shard_add_to(shard, tally);
    Shard again = {0};
    shard_take_tally(&again, tally, keep);
    const bool same =
        again.row_count == shard->row_count && again.done == shard->done &&
        memcmp(again.rows, shard->rows, (size_t)again.row_count * sizeof *again.rows) == 0;
    if (!same || shard->done > shard_own_trials(shard) || shard->done > STUDY_TRIALS_MAX) {
        fault("the numbers do not agree", NULL);
    }
}

static void check_written(const Shard *shard, Arena *keep, Problems *problems)
{
    Text once = {.keep = keep};
    shard_write(shard, &once);
    Shard again;
    if (!shard_read(once.bytes, once.length, "fuzz", keep, &again, problems)) {
        fault(problems->items[0].where, once.bytes);
    }
    Text twice = {.keep = keep};
    shard_write(&again, &twice);
    if (strcmp(once.bytes, twice.bytes) != 0) {
        fault(once.bytes, twice.bytes);
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    Arena *keep = arena_create("fuzz", ARENA_BYTES);
    if (!keep) {
        return 0;
    }
    Shard shard;
    Problems *problems = problems_in(keep);
    if (shard_read((const char *)data, size, "fuzz", keep, &shard, problems)) {
        check_numbers(&shard, keep);
        check_written(&shard, keep, problems);
    } else {
        check_problems(problems, "fuzz");
    }
    arena_destroy(keep);
    return 0;
}
