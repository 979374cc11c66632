// Prints what is made of the tables of the job document: `schema` for
// docs/job.schema.json, `tables` for docs/job-file.md, `leather` for docs/leather.md.
#include "base/text.h"
#include "buying/advise.h"
#include "job/job.h"

#include <stdio.h>
#include <string.h>

int main(int argc, char **argv)
{
    const char *which = argc == 2 ? argv[1] : "";
    const bool schema = strcmp(which, "schema") == 0;
    const bool leather = strcmp(which, "leather") == 0;
    if (!schema && !leather && strcmp(which, "tables") != 0) {
        fputs("usage: job_documents schema|tables|leather\n", stderr);
        return 2;
    }
    Arena *arena = arena_create("documents", 64 << 20);
    if (!arena) {
        return 1;
    }
    Text text = {.keep = arena};
    if (schema) {
        job_schema(&text);
    } else if (leather) {
        advice_markdown(&text);
    } else {
        job_fields_markdown(&text);
    }
    const bool written = fwrite(text.bytes, 1, text.length, stdout) == text.length;
    arena_destroy(arena);
    return written ? 0 : 1;
}
