// Whatever the bytes: the reader says what is wrong or gives a job, and a job that it
// gives comes back the same when it is written, read and written again.
#include "fault.h"
#include "fuzz.h"

#include "job/job.h"

#include <string.h>

static void check_written(const Job *job, Arena *keep, Problems *problems)
{
    Text once = {.keep = keep};
    job_write(job, &once);
    Job again;
    if (!job_read(once.bytes, once.length, "again", keep, &again, problems)) {
        fault(problems->items[0].where, once.bytes);
    }
    Text twice = {.keep = keep};
    job_write(&again, &twice);
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
    Job job;
    Problems *problems = problems_in(keep);
    if (job_read((const char *)data, size, "fuzz", keep, &job, problems)) {
        check_written(&job, keep, problems);
    } else {
        check_problems(problems, "");
    }
    arena_destroy(keep);
    return 0;
}
