// Suites of broken documents, each with what its reader says of it: the form of
// tests/golden/bad-jobs/README.md.
#pragma once

#include "files.h"

#include <stdlib.h>

enum { MACROS_MAX = 20 };

typedef struct Macro {
    const char *word; // with its %
    const char *text;
} Macro;

/// What a reader says of a document that must be refused.
typedef const char *Complaints(const char *text, size_t bytes, Arena *keep);

typedef struct Suite {
    const char *path;
    Complaints *complaints;
    Macro macros[MACROS_MAX];
    int macro_count;
    int cases;
    int failures;
} Suite;

static inline bool begins_with(const char *text, const char *begin)
{
    return strncmp(text, begin, strlen(begin)) == 0;
}

// The line at *at without its end; *at moves on. NULL at the end of the text.
static inline const char *next_line(const char **at, Arena *keep)
{
    if (**at == '\0') {
        return NULL;
    }
    const char *begin = *at;
    const size_t length = strcspn(begin, "\n");
    *at = begin + length + (begin[length] == '\n' ? 1 : 0);
    return arena_text(keep, "%.*s", (int)length, begin);
}

static inline void take_macro(Suite *suite, const char *line, Arena *keep)
{
    const char *middle = strstr(line, " = ");
    if (*line != '%' || !middle) {
        return;
    }
    assert_true(suite->macro_count < MACROS_MAX);
    suite->macros[suite->macro_count++] =
        (Macro){arena_text(keep, "%.*s", (int)(middle - line), line), middle + 3};
}

// The macro with the longest word that stands here, or NULL.
static inline const Macro *macro_at(const Suite *suite, const char *text)
{
    const Macro *found = NULL;
    for (int i = 0; i < suite->macro_count; i++) {
        const Macro *macro = &suite->macros[i];
        if (begins_with(text, macro->word) &&
            (!found || strlen(macro->word) > strlen(found->word))) {
            found = macro;
        }
    }
    return found;
}

// Puts in macros (which may hold others) and bytes.
static inline void expand(const Suite *suite, const char *text, Text *out, int depth)
{
    assert_true(depth < 8);
    while (*text) {
        const Macro *macro = macro_at(suite, text);
        if (macro) {
            expand(suite, macro->text, out, depth + 1);
            text += strlen(macro->word);
        } else if (begins_with(text, "<<") && strlen(text) >= 6 && begins_with(text + 4, ">>")) {
            const char digits[3] = {text[2], text[3], '\0'};
            const char byte = (char)strtol(digits, NULL, 16);
            text_add_bytes(out, &byte, 1);
            text += 6;
        } else {
            text_add_bytes(out, text++, 1);
        }
    }
}

static inline void check_case(Suite *suite, const char *title, const char *document,
                              const char *wanted, Arena *keep)
{
    Text text = {.keep = keep};
    expand(suite, document, &text, 0);
    const char *found = suite->complaints(text_string(&text), text.length, keep);
    suite->cases++;
    if (strcmp(found, wanted) != 0) {
        suite->failures++;
        print_error("%s\n%s\nsays\n%snot\n%s\n", suite->path, title, found, wanted);
    }
}

/// Checks all cases of a file below GOLDEN, at least so many.
static inline void check_suite(const char *name, int cases_least, Complaints *complaints,
                               Arena *keep)
{
    Suite suite = {.path = arena_text(keep, GOLDEN "/%s", name), .complaints = complaints};
    const char *at = file_read(suite.path, NULL, keep);
    const char *line = next_line(&at, keep);
    for (; line && !begins_with(line, "== "); line = next_line(&at, keep)) {
        take_macro(&suite, line, keep);
    }
    while (line) {
        const char *title = line;
        Text document = {.keep = keep};
        while ((line = next_line(&at, keep)) && strcmp(line, "--") != 0) {
            text_add(&document, "%s%s", document.bytes ? "\n" : "", line);
        }
        Text wanted = {.keep = keep};
        while ((line = next_line(&at, keep)) && !begins_with(line, "== ")) {
            text_add(&wanted, "%s\n", line);
        }
        check_case(&suite, title, text_string(&document), text_string(&wanted), keep);
    }
    assert_true(suite.cases >= cases_least);
    assert_int_equal(suite.failures, 0);
}
