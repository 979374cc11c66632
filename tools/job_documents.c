// Prints what is made of the tables of the job document: `schema` for
// docs/job.schema.json, `tables` for docs/job-file.md.
#include "job/job.h"

#include "base/text.h"

#include <stdio.h>
#include <string.h>

int main(int argc, char **argv)
{
    const bool schema = argc == 2 && strcmp(argv[1], "schema") == 0;
    if (!schema && !(argc == 2 && strcmp(argv[1], "tables") == 0)) {
        fputs("usage: job_documents schema|tables\n", stderr);
        return 2;
    }
    Arena *arena = arena_create("documents", 64 << 20);
    if (!arena) {
        return 1;
    }
    Text text = {.keep = arena};
    if (schema) {
        job_schema(&text);
    } else {
        job_fields_markdown(&text);
    }
    const bool written = fwrite(text.bytes, 1, text.length, stdout) == text.length;
    arena_destroy(arena);
    return written ? 0 : 1;
}
