#include "job/scan.h"

#include "base/text.h"

#include <assert.h>
#include <string.h>

// A piece of the text.
typedef struct Slice {
    const char *bytes;
    size_t length;
} Slice;

enum { KEYS_SEEN_MAX = 64 };

// An object or list that is open.
typedef struct Level {
    bool list;
    int index; // of a list's present item
    Slice key; // of an object's present member
    Slice seen[KEYS_SEEN_MAX];
    int seen_count;
} Level;

typedef struct Scan {
    const char *text;
    size_t bytes;
    size_t at;
    TextPlace place;
} Scan;

static bool scan_more(const Scan *scan)
{
    return scan->at < scan->bytes;
}

// Takes one byte and keeps count of lines and columns.
static char scan_take(Scan *scan)
{
    const char byte = scan->text[scan->at++];
    if (byte == '\n') {
        scan->place.line++;
        scan->place.column = 1;
    } else if (((unsigned char)byte & 0xC0U) != 0x80U) { // not the middle of a character
        scan->place.column++;
    }
    return byte;
}

// Takes the rest of a string whose opening quote is taken; the result is what
// stands between the quotes, escapes as they are.
static Slice scan_string(Scan *scan)
{
    const size_t begin = scan->at;
    while (scan_more(scan)) {
        const char byte = scan_take(scan);
        if (byte == '"') {
            return (Slice){scan->text + begin, scan->at - 1 - begin};
        }
        if (byte == '\\' && scan_more(scan)) {
            (void)scan_take(scan);
        }
    }
    return (Slice){scan->text + begin, scan->at - begin};
}

bool scan_depth(const char *text, size_t bytes, int depth_max, TextPlace *place)
{
    Scan scan = {.text = text, .bytes = bytes, .place = {1, 1}};
    int depth = 0;
    while (scan_more(&scan)) {
        const TextPlace here = scan.place;
        const char byte = scan_take(&scan);
        if (byte == '"') {
            (void)scan_string(&scan);
        } else if (byte == '{' || byte == '[') {
            depth++;
        } else if (byte == '}' || byte == ']') {
            depth--;
        }
        if (depth > depth_max) {
            *place = here;
            return false;
        }
    }
    return true;
}

static bool slices_same(Slice a, Slice b)
{
    return a.length == b.length && memcmp(a.bytes, b.bytes, a.length) == 0;
}

static const char *levels_path(const Level *levels, int depth, Arena *keep)
{
    Text path = {.keep = keep};
    for (int i = 0; i < depth; i++) {
        if (levels[i].list) {
            text_add(&path, "[%d]", levels[i].index);
        } else {
            enum { SHOWN_BYTES = 40 };
            const Slice key = levels[i].key;
            text_add(&path, "%s%.*s", i == 0 ? "" : ".",
                     (int)text_bytes_within(key.bytes, key.length, SHOWN_BYTES), key.bytes);
        }
    }
    return text_string(&path);
}

// Goes on to a key; true when it stands in this object already, else it is remembered.
static bool level_takes(Level *level, Slice key)
{
    level->key = key;
    for (int i = 0; i < level->seen_count; i++) {
        if (slices_same(level->seen[i], key)) {
            return true;
        }
    }
    if (level->seen_count < KEYS_SEEN_MAX) {
        level->seen[level->seen_count++] = key;
    }
    return false;
}

// A string that a colon follows is a key.
static bool scan_colon_follows(const Scan *scan)
{
    size_t at = scan->at;
    while (at < scan->bytes && strchr(" \t\r\n", scan->text[at]) && scan->text[at] != '\0') {
        at++;
    }
    return at < scan->bytes && scan->text[at] == ':';
}

int scan_repeated_keys(const char *text, size_t bytes, int depth_max, Problems *problems)
{
    Level *levels = ARENA_ARRAY(problems->keep, Level, depth_max);
    Scan scan = {.text = text, .bytes = bytes, .place = {1, 1}};
    int depth = 0;
    int found = 0;
    while (scan_more(&scan) && problems->count < PROBLEMS_MAX) {
        const int line = scan.place.line;
        const char byte = scan_take(&scan);
        Level *level = depth > 0 ? &levels[depth - 1] : NULL;
        if (byte == '"') {
            const Slice string = scan_string(&scan);
            const bool is_key = level && !level->list && scan_colon_follows(&scan);
            if (is_key && level_takes(level, string)) {
                problems_say(problems, PROBLEM_BAD_INPUT,
                             levels_path(levels, depth, problems->keep),
                             "stands again on line %d; each key may stand once", line);
                found++;
            }
        } else if (byte == '{' || byte == '[') {
            assert(depth < depth_max);
            levels[depth++] = (Level){.list = byte == '['};
        } else if (byte == '}' || byte == ']') {
            depth--;
        } else if (byte == ',' && level && level->list) {
            level->index++;
        }
    }
    return found;
}
