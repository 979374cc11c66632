// Reading whole files, and writing them so that no half-written one ever stands.
#pragma once

#include "base/problem.h"

/// Reads a file ("-": standard input) of at most `limit` bytes. The text ends in 0.
MUST_CHECK bool file_read(const char *path, size_t limit, Arena *keep, const char **text,
                          size_t *bytes, Problems *problems);

/// Writes aside, then renames over what was there.
MUST_CHECK bool file_write(const char *path, const char *data, size_t bytes, Problems *problems);

/// Makes a folder and those above it.
MUST_CHECK bool folder_make(const char *path, Problems *problems);

/// Whether file_write() will likely do, told before long work is begun for it.
MUST_CHECK bool file_try(const char *path, Problems *problems);
