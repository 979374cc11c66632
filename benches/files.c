#include "files.h"

#include <errno.h>
#include <stdio.h>
#include <sys/stat.h>

json_t *files_load(const char *path, Problems *problems)
{
    json_error_t error;
    json_t *root = json_load_file(path, JSON_REJECT_DUPLICATES, &error);
    if (!root && json_error_code(&error) == json_error_cannot_open_file) {
        (void)problems_say(problems, PROBLEM_NOT_FOUND, path, "cannot be opened");
    } else if (!root) {
        (void)problems_say(problems, PROBLEM_BAD_INPUT, path, "line %d: %s", error.line,
                           error.text);
    }
    return root;
}

bool files_refuse(Problems *problems, const char *path, const char *place, const char *allowed)
{
    const char *where = arena_text(problems->keep, "%s: %s", path, place);
    return problems_add(problems, (Problem){PROBLEM_BAD_INPUT, where,
                                            "missing, or of the wrong kind", allowed, NULL});
}

bool files_ring(const json_t *points, Arena *keep, Ring *ring)
{
    const size_t count = json_array_size(points);
    if (count < 3 || count > LAYOUT_POINTS_MAX) {
        return false;
    }
    Point *copied = ARENA_ARRAY(keep, Point, count);
    for (size_t i = 0; i < count; i++) {
        const json_t *point = json_array_get(points, i);
        const json_t *x = json_array_get(point, 0);
        const json_t *y = json_array_get(point, 1);
        if (!json_is_number(x) || !json_is_number(y)) {
            return false;
        }
        copied[i] = (Point){json_number_value(x), json_number_value(y)};
    }
    *ring = ring_counter_clockwise((Ring){copied, (int)count}, keep);
    return true;
}

void files_put_ring(Json *json, const char *key, Ring ring)
{
    json_begin_flat_array(json, key);
    for (int i = 0; i < ring.count; i++) {
        json_begin_flat_array(json, NULL);
        json_number(json, NULL, ring.points[i].x);
        json_number(json, NULL, ring.points[i].y);
        json_end_array(json);
    }
    json_end_array(json);
}

bool files_write(const char *path, Json *json, Problems *problems)
{
    FILE *file = fopen(path, "w");
    if (file) {
        const bool written = fputs(text_string(&json->text), file) >= 0;
        if (fclose(file) == 0 && written) {
            return true;
        }
    }
    return problems_say(problems, PROBLEM_SYSTEM, path, "cannot be written");
}

bool files_make_folder(const char *path, Problems *problems)
{
    return mkdir(path, 0777) == 0 || errno == EEXIST ||
           problems_say(problems, PROBLEM_SYSTEM, "--out", "cannot make the folder %s", path);
}
