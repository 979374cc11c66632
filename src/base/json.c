#include "base/json.h"

#include <assert.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static void indent(Json *json)
{
    text_add(&json->text, "\n");
    for (int i = 0; i < json->depth; i++) {
        text_add(&json->text, "  ");
    }
}

static void add_escaped(Json *json, const char *value)
{
    text_add(&json->text, "\"");
    const char *begin = value;
    for (const char *byte = value; *byte; byte++) {
        const unsigned char c = (unsigned char)*byte;
        if (c >= 0x20 && c != '"' && c != '\\') {
            continue;
        }
        text_add_bytes(&json->text, begin, (size_t)(byte - begin));
        begin = byte + 1;
        if (c == '\n') {
            text_add(&json->text, "\\n");
        } else if (c == '\t') {
            text_add(&json->text, "\\t");
        } else if (c < 0x20) {
            text_add(&json->text, "\\u%04x", c);
        } else {
            text_add(&json->text, "\\%c", c);
        }
    }
    text_add_bytes(&json->text, begin, strlen(begin));
    text_add(&json->text, "\"");
}

// Comma, new line and key before a value.
static void begin_member(Json *json, const char *key)
{
    if (json->depth > 0) {
        const int level = json->depth - 1;
        if (json->begun[level]) {
            text_add_bytes(&json->text, ", ", json->flat[level] ? 2 : 1);
        }
        if (!json->flat[level]) {
            indent(json);
        }
        json->begun[level] = true;
    }
    if (key) {
        add_escaped(json, key);
        text_add(&json->text, ": ");
    }
}

static void begin_level(Json *json, const char *key, const char *bracket, bool flat)
{
    begin_member(json, key);
    text_add_bytes(&json->text, bracket, 1);
    assert(json->depth < JSON_DEPTH_MAX);
    const bool inside_flat = json->depth > 0 && json->flat[json->depth - 1];
    json->flat[json->depth] = flat || inside_flat;
    json->begun[json->depth] = false;
    json->depth++;
}

static void end_level(Json *json, const char *bracket)
{
    assert(json->depth > 0);
    json->depth--;
    if (json->begun[json->depth] && !json->flat[json->depth]) {
        indent(json);
    }
    text_add_bytes(&json->text, bracket, 1);
    if (json->depth == 0) {
        text_add(&json->text, "\n");
    }
}

void json_begin_object(Json *json, const char *key)
{
    begin_level(json, key, "{", false);
}

void json_end_object(Json *json)
{
    end_level(json, "}");
}

void json_begin_array(Json *json, const char *key)
{
    begin_level(json, key, "[", false);
}

void json_begin_flat_array(Json *json, const char *key)
{
    begin_level(json, key, "[", true);
}

void json_begin_flat_object(Json *json, const char *key)
{
    begin_level(json, key, "{", true);
}

void json_end_array(Json *json)
{
    end_level(json, "]");
}

void json_text(Json *json, const char *key, const char *value)
{
    begin_member(json, key);
    if (value) {
        add_escaped(json, value);
    } else {
        text_add(&json->text, "null");
    }
}

// snprintf and strtod follow the same locale, so the digits are compared as written
// and the decimal mark is put right afterwards.
static void add_number(Json *json, double value, int digits_from)
{
    char digits[40];
    if (value == floor(value) && fabs(value) < 1e15) {
        text_add(&json->text, "%.0f", value); // 470, not 4.7e+02
        return;
    }
    for (int precision = digits_from; precision <= 17; precision++) {
        (void)snprintf(digits, sizeof digits, "%.*g", precision, value);
        if (strtod(digits, NULL) == value) {
            break;
        }
    }
    char *comma = strchr(digits, ',');
    if (comma) {
        *comma = '.';
    }
    text_add(&json->text, "%s", digits);
}

void json_number(Json *json, const char *key, double value)
{
    begin_member(json, key);
    if (!isfinite(value)) {
        text_add(&json->text, "null");
        return;
    }
    add_number(json, value == 0 ? 0 : value, 1);
}

// Numbers below this have no more than 15 digits with the decimals that are in use; so the
// fewest digits that read back as the same number are its decimals without trailing zeros.
static const double plain_below = 1e9;

// scaled / 10^decimals, without trailing zeros. Documents are numbers for the most part, and
// printf takes three times as long.
static void add_decimals(Text *text, long long scaled, int decimals)
{
    char digits[32];
    size_t at = sizeof digits;
    unsigned long long left = scaled < 0 ? -(unsigned long long)scaled : (unsigned long long)scaled;
    int behind = decimals;
    while (behind > 0 && left % 10 == 0) {
        left /= 10;
        behind--;
    }
    for (int i = 0; left > 0 || i <= behind; i++) {
        if (i == behind && behind > 0) {
            digits[--at] = '.';
        }
        digits[--at] = (char)('0' + left % 10);
        left /= 10;
    }
    if (scaled < 0) {
        digits[--at] = '-';
    }
    text_add_bytes(text, digits + at, sizeof digits - at);
}

void json_rounded(Json *json, const char *key, double value, int decimals)
{
    static const double scales[] = {1, 10, 100, 1000, 10000};
    if (decimals >= 0 && decimals <= 4 && fabs(value) < plain_below) {
        begin_member(json, key);
        add_decimals(&json->text, llround(value * scales[decimals]), decimals);
        return;
    }
    const double scale = pow(10, decimals);
    json_number(json, key, isfinite(value) ? round(value * scale) / scale : value);
}

void json_int(Json *json, const char *key, long long value)
{
    begin_member(json, key);
    text_add(&json->text, "%lld", value);
}

void json_bool(Json *json, const char *key, bool value)
{
    begin_member(json, key);
    text_add(&json->text, value ? "true" : "false");
}
