// Reading of test data, and problems as text.
#pragma once

#include "base/text.h"
#include "job/job.h"

#include "support/check.h"

/// A whole file, with a 0 behind it; fails the test when it cannot be read.
static inline const char *file_read(const char *path, size_t *bytes, Arena *keep)
{
    FILE *file = fopen(path, "rb");
    if (!file) {
        fail_msg("cannot open %s", path);
        return NULL;
    }
    Text text = {.keep = keep};
    char part[4096];
    size_t count = 0;
    while ((count = fread(part, 1, sizeof part, file)) > 0) {
        text_add_bytes(&text, part, count);
    }
    (void)fclose(file);
    if (bytes) {
        *bytes = text.length;
    }
    return text_string(&text);
}

/// Problems as they stand in tests/golden/bad-jobs.
static inline const char *problems_text(const Problems *problems, Arena *keep)
{
    Text text = {.keep = keep};
    for (int i = 0; i < problems->count; i++) {
        const Problem *problem = &problems->items[i];
        text_add(&text, "%s: %s\n", problem->where, problem->found);
        if (problem->allowed) {
            text_add(&text, "  allowed: %s\n", problem->allowed);
        }
        if (problem->remedy) {
            text_add(&text, "  remedy: %s\n", problem->remedy);
        }
    }
    return text_string(&text);
}

/// Reads a job that must be good.
static inline Job job_of(const char *text, size_t bytes, Arena *keep)
{
    Job job = {0};
    Problems *problems = problems_in(keep);
    if (!job_read(text, bytes, "job.json", keep, &job, problems)) {
        fail_msg("refused:\n%s%s", problems_text(problems, keep), text);
    }
    assert_int_equal(problems->count, 0);
    return job;
}

static inline Job job_of_file(const char *path, Arena *keep)
{
    size_t bytes = 0;
    const char *text = file_read(path, &bytes, keep);
    return job_of(text, bytes, keep);
}

/// What the reader says of a job that must be refused.
static inline const char *complaints_of(const char *text, size_t bytes, Arena *keep)
{
    Job job = {0};
    Problems *problems = problems_in(keep);
    assert_false(job_read(text, bytes, "job.json", keep, &job, problems));
    assert_true(problems->mistakes > 0);
    return problems_text(problems, keep);
}
