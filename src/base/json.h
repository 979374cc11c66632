// Writing JSON: commas, indentation, escapes and numbers, into a Text.
//
// Reading is the matter of the job module alone. Numbers are written with the
// fewest digits that read back to the same double, independent of the locale.
#pragma once

#include "base/text.h"

#include <stdbool.h>

enum { JSON_DEPTH_MAX = 32 };

typedef struct Json {
    Text text;
    int depth;
    bool flat[JSON_DEPTH_MAX];  ///< this level is written on one line
    bool begun[JSON_DEPTH_MAX]; ///< this level has a member already
} Json;

/// Begin with `Json json = {.text.keep = arena};`. `key` is NULL inside arrays
/// and for the outermost value.
void json_begin_object(Json *json, const char *key);
void json_end_object(Json *json);
void json_begin_array(Json *json, const char *key);
/// As above, but all that is in it stands on one line (points, short lists).
void json_begin_flat_array(Json *json, const char *key);
void json_begin_flat_object(Json *json, const char *key);
void json_end_array(Json *json);
void json_text(Json *json, const char *key, const char *value); ///< NULL writes null
void json_number(Json *json, const char *key, double value);    ///< not finite writes null
void json_rounded(Json *json, const char *key, double value, int decimals);
void json_int(Json *json, const char *key, long long value);
void json_bool(Json *json, const char *key, bool value);
