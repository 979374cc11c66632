// Texts that grow, and words that were nearly right.
#pragma once

#include "base/arena.h"

#include <stdbool.h>

/// A text that grows in an arena. Begin with `{.keep = arena}`.
typedef struct Text {
    Arena *keep;
    char *bytes; ///< always ends in 0 once something was added; NULL before
    size_t length;
    size_t capacity;
} Text;

void text_add(Text *text, const char *format, ...) PRINTF_LIKE(2, 3);
void text_add_bytes(Text *text, const char *bytes, size_t length);

/// The text so far; "" when nothing was added.
const char *text_string(const Text *text);

/// Whether a text is UTF-8 (RFC 3629): nothing overlong, no surrogates, nothing beyond U+10FFFF.
bool text_is_utf8(const char *text);

/// Columns that a UTF-8 text takes on a terminal (one for each code point).
int text_columns(const char *utf8);

/// Bytes of the first `count` characters (code points) of a UTF-8 text, of all when it has fewer.
size_t text_bytes_of(const char *utf8, int count);

/// Bytes of the whole characters within the first `most` of so many bytes of UTF-8; all when they
/// are no more.
size_t text_bytes_within(const char *utf8, size_t bytes, size_t most);

/// The word nearest to `word`, or NULL when none is near enough to be meant: about
/// a third of its letters wrong, at most four (optimal string alignment distance
/// with swaps of neighbours), case ignored.
const char *text_nearest(const char *word, const char *const *words, int count);
