// What the commands of the workshop file share.
#pragma once

#include "cli/command.h"
#include "plan/workshop.h"

/// Opens the workshop file that the arguments name. NULL: told, and *status set.
Store *shop_open(Session *session, const Arguments *arguments, int *status);

/// A time as one reads it off a clock here: `2026-01-31 14:05`.
const char *shop_time(int64_t ms, Arena *keep);

/// `1 version`, `2 versions`.
const char *shop_count(int count, const char *what, Arena *keep);

/// A word from the file, fit to be printed: without control characters.
const char *shop_word(const char *text, Arena *keep);
