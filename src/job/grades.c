// Grades that a job names: ours, and its own.
#include "job/fields.h"

#include "base/text.h"

#include <string.h>

const HideGrade *job_grade(const Job *job, const char *name)
{
    for (int i = 0; i < job->grade_count; i++) {
        const HideGrade *grade = &job->grades[i].grade;
        if (grade->name && strcmp(grade->name, name) == 0) {
            return grade;
        }
    }
    return hide_grade_named(name);
}

// All names, those of ours first.
static int names_of(const Job *job, const char *names[HIDE_GRADES + JOB_GRADES_MAX])
{
    int count = 0;
    for (int i = 0; i < HIDE_GRADES; i++) {
        names[count++] = hide_grades[i].name;
    }
    for (int i = 0; i < job->grade_count; i++) {
        if (job->grades[i].grade.name) {
            names[count++] = job->grades[i].grade.name;
        }
    }
    return count;
}

const char *job_grade_list(const Job *job, Arena *keep)
{
    const char *names[HIDE_GRADES + JOB_GRADES_MAX];
    const int count = names_of(job, names);
    for (int i = HIDE_GRADES; i < count; i++) {
        names[i] = arena_text(keep, "\"%s\"", names[i]);
    }
    return name_list(names, count, keep);
}

const char *job_grade_nearest(const Job *job, const char *name)
{
    const char *names[HIDE_GRADES + JOB_GRADES_MAX];
    return text_nearest(name, names, names_of(job, names));
}

// The one of ours that a grade is like: itself, or the one that the job put it on.
static const HideGrade *like_of(const Job *job, const HideGrade *grade)
{
    for (int i = 0; i < job->grade_count; i++) {
        if (grade == &job->grades[i].grade) {
            return &hide_grades[job->grades[i].like];
        }
    }
    return grade;
}

/// A number of a grade that the job replaced.
typedef struct Replaced {
    const char *key;
    const char *part; ///< of `brand_places`, or NULL
    double value;
} Replaced;

static int find_replaced(const HideGrade *grade, const HideGrade *like,
                         Replaced replaced[GRADE_NUMBERS])
{
    int count = 0;
    for (int i = 0; i < grade_type.field_count; i++) {
        const Field *field = &grade_type.fields[i];
        const int parts = field->each ? field->each_count : 1;
        for (int k = 0; k < parts && field_is_measure(field); k++) {
            // The grade comes first in a JobGrade.
            const size_t at = field->offset + (size_t)k * sizeof(double);
            double value;
            double usual;
            memcpy(&value, (const char *)grade + at, sizeof value);
            memcpy(&usual, (const char *)like + at, sizeof usual);
            if (value != usual) {
                replaced[count++] =
                    (Replaced){field->key, field->each ? field->each[k] : NULL, value};
            }
        }
    }
    return count;
}

const char *job_grade_words(const Job *job, const HideGrade *grade, Arena *keep)
{
    const HideGrade *like = like_of(job, grade);
    if (like == grade) {
        return grade->lets_through;
    }
    Text text = {.keep = keep};
    text_add(&text, "like \"%s\" (%s)", like->name, like->lets_through);
    Replaced replaced[GRADE_NUMBERS];
    const int count = find_replaced(grade, like, replaced);
    for (int i = 0; i < count; i++) {
        const char *part = replaced[i].part;
        text_add(&text, "%s%s%s%s %.6g", i == 0 ? ", but with " : ", ", replaced[i].key,
                 part ? "." : "", part ? part : "", replaced[i].value);
    }
    return text_string(&text);
}

void job_grade_json(const Job *job, const HideGrade *grade, Json *json)
{
    const HideGrade *like = like_of(job, grade);
    Replaced replaced[GRADE_NUMBERS];
    const int count = find_replaced(grade, like, replaced);
    json_text(json, "grade", grade->name);
    json_text(json, "grade_like", like->name);
    json_begin_flat_object(json, "grade_replaced");
    for (int i = 0; i < count; i++) {
        const char *part = replaced[i].part;
        json_number(json,
                    part ? arena_text(json->text.keep, "%s.%s", replaced[i].key, part)
                         : replaced[i].key,
                    replaced[i].value);
    }
    json_end_object(json);
}
