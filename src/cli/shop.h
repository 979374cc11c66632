// What the commands of the workshop file share.
#pragma once

#include "cli/command.h"
#include "plan/workshop.h"

/// Opens the workshop file that the arguments name and prints what is doubtful about it. NULL:
/// told, and *status set.
Store *shop_open(Session *session, const Arguments *arguments, int *status);

/// What a command does once the workshop file is open. False: the problems say why not.
typedef bool ShopWork(Session *session, const Arguments *arguments, Store *store);

/// shop_open(), the work, and closing it again. Prints what is wrong; the exit status.
int shop_run(Session *session, const Arguments *arguments, ShopWork *work);

/// A time as one reads it off a clock here: `2026-01-31 14:05`.
const char *shop_time(int64_t ms, Arena *keep);

/// `1 version`, `2 versions`.
const char *shop_count(int count, const char *what, Arena *keep);

/// A word from the file, fit to be printed: without control characters.
const char *shop_word(const char *text, Arena *keep);
