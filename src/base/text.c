#include "base/text.h"

#include <assert.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

static void make_room(Text *text, size_t more)
{
    const size_t needed = text->length + more + 1;
    if (needed <= text->capacity) {
        return;
    }
    size_t capacity = text->capacity ? text->capacity * 2 : 256;
    capacity = capacity < needed ? needed : capacity;
    char *bytes = arena_alloc(text->keep, capacity, 1);
    if (text->length) {
        memcpy(bytes, text->bytes, text->length);
    }
    text->bytes = bytes;
    text->capacity = capacity;
}

void text_add_bytes(Text *text, const char *bytes, size_t length)
{
    make_room(text, length);
    memcpy(text->bytes + text->length, bytes, length);
    text->length += length;
    text->bytes[text->length] = 0;
}

void text_add(Text *text, const char *format, ...)
{
    va_list values;
    va_start(values, format);
    va_list again;
    va_copy(again, values);
    const int length = vsnprintf(NULL, 0, format, values);
    va_end(values);
    assert(length >= 0);
    make_room(text, (size_t)length);
    (void)vsnprintf(text->bytes + text->length, (size_t)length + 1, format, again);
    va_end(again);
    text->length += (size_t)length;
}

const char *text_string(const Text *text)
{
    return text->bytes ? text->bytes : "";
}

size_t text_bytes_of(const char *utf8, int count)
{
    size_t bytes = 0;
    while (utf8[bytes] && count > 0) {
        bytes++;
        while (((unsigned char)utf8[bytes] & 0xC0) == 0x80) {
            bytes++;
        }
        count--;
    }
    return bytes;
}

size_t text_bytes_within(const char *utf8, size_t bytes, size_t most)
{
    if (bytes > most) {
        bytes = most;
        while (bytes > 0 && ((unsigned char)utf8[bytes] & 0xC0) == 0x80) {
            bytes--;
        }
    }
    return bytes;
}

int text_columns(const char *utf8)
{
    int columns = 0;
    for (const char *byte = utf8; *byte; byte++) {
        columns += ((unsigned char)*byte & 0xC0) != 0x80;
    }
    return columns;
}

enum { WORD_MAX = 48 };

static int least(int a, int b)
{
    return a < b ? a : b;
}

// ASCII only: keys are ASCII, and tolower() would ask the locale.
static char small_letter(char c)
{
    return (char)(c >= 'A' && c <= 'Z' ? c - 'A' + 'a' : c);
}

// Optimal string alignment: edits and swaps of neighbours, each letter touched once.
static int word_distance(const char *a, const char *b)
{
    const int rows = (int)strlen(a);
    const int columns = (int)strlen(b);
    int cost[WORD_MAX + 1][WORD_MAX + 1];
    for (int i = 0; i <= rows; i++) {
        cost[i][0] = i;
    }
    for (int j = 0; j <= columns; j++) {
        cost[0][j] = j;
    }
    for (int i = 1; i <= rows; i++) {
        for (int j = 1; j <= columns; j++) {
            const int unlike = small_letter(a[i - 1]) != small_letter(b[j - 1]);
            cost[i][j] =
                least(least(cost[i - 1][j] + 1, cost[i][j - 1] + 1), cost[i - 1][j - 1] + unlike);
            if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1]) {
                cost[i][j] = least(cost[i][j], cost[i - 2][j - 2] + 1);
            }
        }
    }
    return cost[rows][columns];
}

const char *text_nearest(const char *word, const char *const *words, int count)
{
    if (strlen(word) > WORD_MAX) {
        return NULL;
    }
    const char *nearest = NULL;
    int nearest_distance = WORD_MAX;
    for (int i = 0; i < count; i++) {
        if (strlen(words[i]) > WORD_MAX) {
            continue;
        }
        const int distance = word_distance(word, words[i]);
        const int letters = (int)strlen(words[i]);
        const int allowed = letters < 6 ? (letters + 1) / 2 : letters / 3 + 1;
        // A third of a short word is hardly a letter; `dept` is still meant as `depth`.
        if (distance <= least(allowed, 4) && distance < letters && distance < nearest_distance) {
            nearest = words[i];
            nearest_distance = distance;
        }
    }
    return nearest;
}

// Bytes of the character that begins here; 0: none does.
static int character_bytes(const unsigned char *at)
{
    const unsigned first = at[0];
    const int count = first < 0x80   ? 1
                      : first < 0xC2 ? 0
                      : first < 0xE0 ? 2
                      : first < 0xF0 ? 3
                      : first < 0xF5 ? 4
                                     : 0;
    for (int i = 1; i < count; i++) {
        if ((at[i] & 0xC0) != 0x80) { // the end of the text too
            return 0;
        }
    }
    const bool overlong = (first == 0xE0 && at[1] < 0xA0) || (first == 0xF0 && at[1] < 0x90);
    const bool beyond = (first == 0xED && at[1] > 0x9F) || (first == 0xF4 && at[1] > 0x8F);
    return overlong || beyond ? 0 : count;
}

bool text_is_utf8(const char *text)
{
    const unsigned char *at = (const unsigned char *)text;
    while (*at) {
        const int count = character_bytes(at);
        if (count == 0) {
            return false;
        }
        at += count;
    }
    return true;
}
