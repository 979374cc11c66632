// Words of the reader's problems.
#include "job/reading.h"

#include "base/text.h"

#include <string.h>

bool reading_full(const Reading *reading)
{
    return reading->problems->count >= PROBLEMS_MAX;
}

Arena *reading_words(const Reading *reading)
{
    return reading->problems->keep;
}

enum { SHOWN_BYTES = 40 };

// A copy without control characters, cut after a whole character.
static const char *shown(const char *text, Arena *keep)
{
    const size_t length = text_bytes_within(text, strlen(text), SHOWN_BYTES);
    char *copy = arena_text(keep, "%.*s%s", (int)length, text, text[length] ? "..." : "");
    for (char *byte = copy; *byte; byte++) {
        if ((unsigned char)*byte < 0x20 || *byte == 0x7f) {
            *byte = '?';
        }
    }
    return copy;
}

const char *reading_quoted(const Reading *reading, const char *text)
{
    return arena_text(reading_words(reading), "\"%s\"", shown(text, reading_words(reading)));
}

// Keys that are no plain words are put in quotes, so that a path can be followed.
static bool plain_key(const char *key)
{
    for (const char *byte = key; *byte; byte++) {
        const bool letter = (*byte >= 'a' && *byte <= 'z') || (*byte >= 'A' && *byte <= 'Z');
        if (!letter && !(*byte >= '0' && *byte <= '9') && *byte != '_' && *byte != '$') {
            return false;
        }
    }
    return *key != '\0';
}

static void add_path(const Path *path, Text *text)
{
    if (path->parent) {
        add_path(path->parent, text);
    }
    if (!path->key) {
        text_add(text, "[%d]", path->index);
        return;
    }
    const char *dot = text->length > 0 ? "." : "";
    if (plain_key(path->key) && strlen(path->key) <= SHOWN_BYTES) {
        text_add(text, "%s%s", dot, path->key);
    } else {
        text_add(text, "%s\"%s\"", dot, shown(path->key, text->keep));
    }
}

const char *path_text(const Path *path, Arena *keep)
{
    if (!path) {
        return "job";
    }
    Text text = {.keep = keep};
    add_path(path, &text);
    return text_string(&text);
}

bool reading_refuse(Reading *reading, const Path *path, const char *found, const char *allowed,
                    const char *remedy)
{
    return problems_add(reading->problems, (Problem){
                                               .kind = PROBLEM_BAD_INPUT,
                                               .where = path_text(path, reading_words(reading)),
                                               .found = found,
                                               .allowed = allowed,
                                               .remedy = remedy,
                                           });
}

const char *reading_describe(const Reading *reading, json_t *json)
{
    Arena *words = reading_words(reading);
    switch (json_typeof(json)) {
    case JSON_OBJECT:
        return "an object { }";
    case JSON_ARRAY:
        return "a list [ ]";
    case JSON_STRING:
        return arena_text(words, "the text %s", reading_quoted(reading, json_string_value(json)));
    case JSON_INTEGER:
    case JSON_REAL:
        return arena_text(words, "the number %.10g", json_number_value(json));
    case JSON_TRUE:
        return "true";
    case JSON_FALSE:
        return "false";
    case JSON_NULL:
        break;
    }
    return "null";
}

enum { KEYS_LISTED_MAX = 16 }; // more would not be read

bool reading_refuse_key(Reading *reading, const Path *path, const char *const *keys, int count)
{
    Arena *words = reading_words(reading);
    const char *near =
        strlen(path->key) <= SHOWN_BYTES ? text_nearest(path->key, keys, count) : NULL;
    const char *allowed = count <= KEYS_LISTED_MAX ? name_list(keys, count, words) : NULL;
    return reading_refuse(reading, path, "is not a known key", allowed,
                          near ? arena_text(words, "did you mean \"%s\"?", near) : NULL);
}

static const char *limits_text(const Reading *reading, const Field *field)
{
    const Limits limits = field->limits[field_system(field, reading->units)];
    const char *unit = field_unit_name(field, reading->units);
    return arena_text(reading_words(reading), "%.16g to %.16g%s%s", limits.min, limits.max,
                      *unit ? " " : "", unit);
}

const char *reading_allowed(const Reading *reading, const Field *field)
{
    Arena *words = reading_words(reading);
    switch (field->kind) {
    case FIELD_LENGTH:
    case FIELD_AREA:
    case FIELD_LEATHER:
    case FIELD_SHARE:
    case FIELD_FACTOR:
    case FIELD_DEGREES:
    case FIELD_OUTLINE:
    case FIELD_MONEY:
        return limits_text(reading, field);
    case FIELD_WHOLE:
    case FIELD_SEED:
        return arena_text(words, "a whole number, %s", limits_text(reading, field));
    case FIELD_CURRENCY:
        return "three capital letters, such as \"EUR\"";
    case FIELD_STAMP:
        return arena_text(words, "%s, as a text such as \"52.3\": whole feet and quarters",
                          limits_text(reading, field));
    case FIELD_TEXT:
        return arena_text(words, "a text of 1 to %d bytes", (int)JOB_NAME_MAX);
    case FIELD_NOTES:
        return arena_text(words, "a text of 1 to %d bytes", (int)JOB_NOTES_MAX);
    case FIELD_CHOICE:
    case FIELD_EITHER:
        return name_list(field->names, field->name_count, words);
    case FIELD_YES_NO:
        return "true or false";
    case FIELD_OBJECT:
        return "an object { }";
    case FIELD_LIST:
    case FIELD_PLACES:
        return "a list [ ]";
    case FIELD_PLACE:
        return "a place, such as {\"up\": 10, \"left\": 5}";
    case FIELD_VERSION:
        return arena_text(words, "%d", (int)JOB_VERSION);
    case FIELD_SCHEMA:
        return "a text";
    case FIELD_GRADE: {
        const Job own = {.grades = reading->grades, .grade_count = reading->grade_count};
        return job_grade_list(&own, words);
    }
    case FIELD_UNITS:
        return "\"in\", \"mm\" or {\"length\": \"in\" or \"mm\", \"area\": \"ft2\" or \"m2\", "
               "\"leather\": \"oz\" or \"mm\"}";
    }
    return NULL;
}
