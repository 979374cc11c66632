// Reads points: places on a hide, and pairs of coordinates of a traced frame.
#include "job/reading.h"

#include <string.h>

bool read_count(Reading *reading, const Path *path, const Field *field, size_t count,
                const char *what)
{
    if (count >= (size_t)field->count_min && count <= (size_t)field->count_max) {
        return true;
    }
    Arena *words = reading_words(reading);
    return reading_refuse(
        reading, path,
        count == 0 ? "is an empty list" : arena_text(words, "%zu in the list", count),
        arena_text(words, "%d to %d %s", field->count_min, field->count_max, what), NULL);
}

static bool read_place(Reading *reading, const Path *path, json_t *json, Point *place)
{
    Station read = {0};
    if (!read_object(reading, path, &place_type, json, &read, false)) {
        return false;
    }
    // + 0 turns a minus zero into a plain one.
    place->x = read.up_mm;
    place->y = (read.has_right ? -read.right_mm : read.left_mm) + 0.0;
    return true;
}

static bool read_pair(Reading *reading, const Path *path, const Field *field, json_t *json,
                      Point *point)
{
    if (!json_is_array(json) || json_array_size(json) != 2) {
        return reading_refuse(reading, path, reading_describe(reading, json),
                              "a pair [x, y]: x to the right, y to the back", NULL);
    }
    const Path x = {.parent = path, .index = 0};
    const Path y = {.parent = path, .index = 1};
    const bool good = read_value(reading, &x, field, json_array_get(json, 0), &point->x);
    return read_value(reading, &y, field, json_array_get(json, 1), &point->y) && good;
}

bool read_points(Reading *reading, const Path *path, const Field *field, json_t *json, void *object)
{
    const bool one = field->kind == FIELD_PLACE;
    if (!one && !json_is_array(json)) {
        return reading_refuse(reading, path, reading_describe(reading, json),
                              reading_allowed(reading, field), NULL);
    }
    const size_t count = one ? 1 : json_array_size(json);
    const char *what = field->kind == FIELD_OUTLINE ? "points" : "places";
    if (!one && !read_count(reading, path, field, count, what)) {
        return false;
    }
    Point *points = ARENA_ARRAY(reading->keep, Point, count);
    bool good = true;
    for (size_t i = 0; i < count && !reading_full(reading); i++) {
        const Path inner = {.parent = path, .index = (int)i};
        json_t *item = one ? json : json_array_get(json, i);
        if (field->kind == FIELD_OUTLINE) {
            good = read_pair(reading, &inner, field, item, &points[i]) && good;
        } else {
            good = read_place(reading, one ? path : &inner, item, &points[i]) && good;
        }
    }
    const void *kept = points;
    const int kept_count = (int)count;
    memcpy((char *)object + field->offset, &kept, sizeof kept);
    memcpy((char *)object + field->count_offset, &kept_count, sizeof kept_count);
    return good;
}
