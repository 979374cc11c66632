// Reads the name of a grade, one of ours or of the document's own, and looks at the latter.
#include "job/reading.h"

#include <string.h>

bool read_grade(Reading *reading, const Path *path, const Field *field, json_t *json, void *slot)
{
    Arena *words = reading_words(reading);
    const char *allowed = reading_allowed(reading, field);
    if (!json_is_string(json)) {
        return reading_refuse(reading, path, reading_describe(reading, json), allowed, NULL);
    }
    const Job own = {.grades = reading->grades, .grade_count = reading->grade_count};
    const char *name = json_string_value(json);
    const HideGrade *grade = job_grade(&own, name);
    if (!grade) {
        const char *near = job_grade_nearest(&own, name);
        return reading_refuse(
            reading, path, arena_text(words, "%s is not known here", reading_quoted(reading, name)),
            allowed, near ? arena_text(words, "did you mean \"%s\"?", near) : NULL);
    }
    const void *found = grade;
    memcpy(slot, &found, sizeof found);
    return true;
}

bool check_grade(Reading *reading, const Path *path, json_t *json, const void *object)
{
    (void)json;
    const HideGrade *grade = &((const JobGrade *)object)->grade;
    bool good = true;
    if (hide_grade_named(grade->name)) {
        const Path name = {.parent = path, .key = "name"};
        good = reading_refuse(
            reading, &name,
            arena_text(reading_words(reading), "\"%s\" is a grade of the program's", grade->name),
            "another name", NULL);
    }
    double places = 0;
    for (int i = 0; i < BRAND_PLACES; i++) {
        places += grade->brand_places[i];
    }
    const Path brands = {.parent = path, .key = "brand_places"};
    return (places > 0 ||
            reading_refuse(reading, &brands, "are all 0",
                           "one above 0; for no brands put \"branded\" to 0", NULL)) &&
           good;
}
