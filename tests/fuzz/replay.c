// Runs a fuzz target on the files of a corpus, without a fuzz engine: the corpus is a
// test like any other. The engine brings a main of its own.
#include "fuzz.h"

#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { FILE_BYTES_MAX = 16 << 20 };

static int replay_file(const char *path)
{
    FILE *file = fopen(path, "rb");
    uint8_t *data = malloc(FILE_BYTES_MAX);
    if (!file || !data) {
        (void)fprintf(stderr, "cannot read %s\n", path);
        free(data);
        if (file) {
            (void)fclose(file);
        }
        return 1;
    }
    const size_t size = fread(data, 1, FILE_BYTES_MAX, file);
    (void)fclose(file);
    // A copy of just this size, so that the address sanitizer sees reading beyond it.
    uint8_t *exact = malloc(size + (size == 0));
    if (exact) {
        memcpy(exact, data, size);
        (void)LLVMFuzzerTestOneInput(exact, size);
    }
    free(exact);
    free(data);
    return 0;
}

int main(int argc, char **argv)
{
    DIR *folder = argc == 2 ? opendir(argv[1]) : NULL;
    if (!folder) {
        (void)fprintf(stderr, "usage: %s CORPUS\n", argv[0]);
        return 2;
    }
    int failed = 0;
    int count = 0;
    const struct dirent *entry;
    while ((entry = readdir(folder))) { // NOLINT(concurrency-mt-unsafe)
        char path[4096];
        (void)snprintf(path, sizeof path, "%s/%s", argv[1], entry->d_name);
        if (entry->d_name[0] != '.') {
            failed += replay_file(path);
            count++;
        }
    }
    (void)closedir(folder);
    (void)printf("%d inputs\n", count);
    return failed > 0 || count == 0;
}
