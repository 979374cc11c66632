// Writes a job in its canonical form: the tables in their order, in the job's units,
// without what is as usual.
#include "job/fields.h"

#include <math.h>
#include <string.h>

// Numbers are written in millionths of the document's unit and no finer. Two values
// that are written alike count as the same, so that a second writing changes nothing.
static double rounded(double value)
{
    return round(value * 1e6) / 1e6 + 0.0;
}

typedef struct Writing {
    Json json;
    Units units;
    int money_decimals;
    bool correction; // within a chair only what differs is written, needed or not
} Writing;

static double double_at(const void *slot)
{
    double value;
    memcpy(&value, slot, sizeof value);
    return value;
}

static int int_at(const void *slot)
{
    int value;
    memcpy(&value, slot, sizeof value);
    return value;
}

static bool bool_at(const void *slot)
{
    bool value;
    memcpy(&value, slot, sizeof value);
    return value;
}

static uint64_t seed_at(const void *slot)
{
    uint64_t value;
    memcpy(&value, slot, sizeof value);
    return value;
}

static Money money_at(const void *slot)
{
    Money value;
    memcpy(&value, slot, sizeof value);
    return value;
}

static const char *text_at(const void *slot)
{
    const char *value;
    memcpy(&value, slot, sizeof value);
    return value;
}

static const void *pointer_at(const void *slot)
{
    const void *value;
    memcpy(&value, slot, sizeof value);
    return value;
}

static const char *grade_name_at(const void *slot)
{
    const HideGrade *grade = pointer_at(slot);
    return grade->name;
}

static double shown_value(const Field *field, const void *slot, Units units)
{
    return rounded(field_from_inside(field, double_at(slot), units));
}

static const char *list_items(const Field *field, const void *object)
{
    const char *slot = (const char *)object + field->offset;
    return field->in_place ? slot : pointer_at(slot);
}

static bool points_same(const Field *field, const void *a, const void *b, Units units)
{
    const int count = int_at((const char *)a + field->count_offset);
    if (count != int_at((const char *)b + field->count_offset)) {
        return false;
    }
    const Point *of_a = pointer_at((const char *)a + field->offset);
    const Point *of_b = pointer_at((const char *)b + field->offset);
    for (int i = 0; i < count; i++) {
        if (rounded(length_from_mm(of_a[i].x, units.length)) !=
                rounded(length_from_mm(of_b[i].x, units.length)) ||
            rounded(length_from_mm(of_a[i].y, units.length)) !=
                rounded(length_from_mm(of_b[i].y, units.length))) {
            return false;
        }
    }
    return true;
}

static bool object_same(const ObjectType *type, const void *a, const void *b, Units units);

static bool list_same(const Field *field, const void *a, const void *b, Units units)
{
    const int count = int_at((const char *)a + field->count_offset);
    if (count != int_at((const char *)b + field->count_offset)) {
        return false;
    }
    const char *of_a = list_items(field, a);
    const char *of_b = list_items(field, b);
    for (int i = 0; i < count; i++) {
        const size_t at = (size_t)i * field->type->bytes;
        if (!object_same(field->type, of_a + at, of_b + at, units)) {
            return false;
        }
    }
    return true;
}

static bool texts_same(const char *a, const char *b)
{
    return a && b ? strcmp(a, b) == 0 : a == b;
}

// One value of a field is written alike in both; `a` and `b` are slots.
static bool value_same(const Field *field, const char *a, const char *b, Units units)
{
    if (field_is_measure(field)) {
        return shown_value(field, a, units) == shown_value(field, b, units);
    }
    switch ((int)field->kind) {
    case FIELD_WHOLE:
    case FIELD_CHOICE:
        return int_at(a) == int_at(b);
    case FIELD_SEED:
        return seed_at(a) == seed_at(b);
    case FIELD_EITHER:
    case FIELD_YES_NO:
        return bool_at(a) == bool_at(b);
    case FIELD_MONEY:
        return money_at(a) == money_at(b);
    case FIELD_TEXT:
    case FIELD_NOTES:
    case FIELD_CURRENCY:
        return texts_same(text_at(a), text_at(b));
    case FIELD_GRADE:
        return texts_same(grade_name_at(a), grade_name_at(b));
    case FIELD_OBJECT:
        return object_same(field->type, a, b, units);
    default:
        return true; // the document's own: version, schema, units
    }
}

static bool field_same(const Field *field, const void *a, const void *b, Units units)
{
    if (field->kind == FIELD_LIST) {
        return list_same(field, a, b, units);
    }
    if (field->count_offset) {
        return points_same(field, a, b, units);
    }
    if (field->given_offset && bool_at((const char *)a + field->given_offset) !=
                                   bool_at((const char *)b + field->given_offset)) {
        return false;
    }
    const char *of_a = (const char *)a + field->offset;
    const char *of_b = (const char *)b + field->offset;
    for (int i = 0; i < (field->each ? field->each_count : 1); i++) {
        const size_t at = (size_t)i * field_stride(field);
        if (!value_same(field, of_a + at, of_b + at, units)) {
            return false;
        }
    }
    return true;
}

static bool object_same(const ObjectType *type, const void *a, const void *b, Units units)
{
    const unsigned variant = object_variant(type, a);
    if (variant != object_variant(type, b)) {
        return false;
    }
    for (int i = 0; i < type->field_count; i++) {
        const Field *field = &type->fields[i];
        if (field_used(field, variant) && !field_same(field, a, b, units)) {
            return false;
        }
    }
    return true;
}

static void write_units(Writing *writing, const char *key)
{
    const Units units = writing->units;
    const bool inch = units.length == LENGTH_IN;
    Json *json = &writing->json;
    if ((units.area == AREA_FT2) == inch && (units.leather == LEATHER_OZ) == inch) {
        json_text(json, key, inch ? "in" : "mm");
        return;
    }
    json_begin_flat_object(json, key);
    json_text(json, "length", inch ? "in" : "mm");
    json_text(json, "area", units.area == AREA_FT2 ? "ft2" : "m2");
    json_text(json, "leather", units.leather == LEATHER_OZ ? "oz" : "mm");
    json_end_object(json);
}

static void write_place(Writing *writing, const char *key, Point place)
{
    const double up = rounded(length_from_mm(place.x, writing->units.length));
    const double out = rounded(length_from_mm(place.y, writing->units.length));
    json_begin_flat_object(&writing->json, key);
    json_number(&writing->json, "up", up);
    if (out != 0) {
        json_number(&writing->json, out > 0 ? "left" : "right", fabs(out));
    }
    json_end_object(&writing->json);
}

static void write_points(Writing *writing, const Field *field, const void *object)
{
    const Point *points = pointer_at((const char *)object + field->offset);
    const int count = int_at((const char *)object + field->count_offset);
    Json *json = &writing->json;
    if (field->kind == FIELD_PLACE) {
        write_place(writing, field->key, points[0]);
        return;
    }
    json_begin_array(json, field->key);
    for (int i = 0; i < count; i++) {
        if (field->kind == FIELD_PLACES) {
            write_place(writing, NULL, points[i]);
            continue;
        }
        json_begin_flat_array(json, NULL);
        json_number(json, NULL, rounded(length_from_mm(points[i].x, writing->units.length)));
        json_number(json, NULL, rounded(length_from_mm(points[i].y, writing->units.length)));
        json_end_array(json);
    }
    json_end_array(json);
}

static void write_object(Writing *writing, const char *key, const ObjectType *type,
                         const void *object, const void *usual);

static void write_value(Writing *writing, const char *key, const Field *field, const char *slot,
                        const char *usual)
{
    Json *json = &writing->json;
    if (field_is_measure(field)) {
        json_number(json, key, shown_value(field, slot, writing->units));
        return;
    }
    switch ((int)field->kind) {
    case FIELD_VERSION:
        json_int(json, key, JOB_VERSION);
        break;
    case FIELD_UNITS:
        write_units(writing, key);
        break;
    case FIELD_WHOLE:
        json_int(json, key, int_at(slot));
        break;
    case FIELD_SEED:
        json_int(json, key, (long long)seed_at(slot));
        break;
    case FIELD_MONEY:
        json_number(json, key, money_to_number(money_at(slot), writing->money_decimals));
        break;
    case FIELD_TEXT:
    case FIELD_NOTES:
    case FIELD_CURRENCY:
        json_text(json, key, text_at(slot));
        break;
    case FIELD_CHOICE:
        json_text(json, key, field->names[int_at(slot)]);
        break;
    case FIELD_GRADE:
        json_text(json, key, grade_name_at(slot));
        break;
    case FIELD_EITHER:
        json_text(json, key, field->names[bool_at(slot)]);
        break;
    case FIELD_YES_NO:
        json_bool(json, key, bool_at(slot));
        break;
    case FIELD_OBJECT:
        write_object(writing, key, field->type, slot, usual);
        break;
    default:
        break;
    }
}

static void write_each(Writing *writing, const Field *field, const char *slot, const char *usual)
{
    const size_t stride = field_stride(field);
    bool alike = field->each_alike;
    for (int i = 1; i < field->each_count && alike; i++) {
        alike = value_same(field, slot, slot + (size_t)i * stride, writing->units);
    }
    if (alike) {
        write_value(writing, field->key, field, slot, usual);
        return;
    }
    if (field->kind == FIELD_OBJECT) {
        json_begin_object(&writing->json, field->key);
    } else {
        json_begin_flat_object(&writing->json, field->key);
    }
    for (int i = 0; i < field->each_count; i++) {
        const size_t at = (size_t)i * stride;
        // Sides and corners are written all; of long tables only what differs.
        if (field->each_alike || !value_same(field, slot + at, usual + at, writing->units)) {
            write_value(writing, field->each[i], field, slot + at, usual + at);
        }
    }
    json_end_object(&writing->json);
}

// A chair is written against its kind; everything else against what is usual.
static void chair_usual(const JobSeat *seat, const JobChair *chair, JobChair *usual)
{
    chair_begin(seat, usual);
    if (chair->frame.shape != seat->frame.shape) {
        frame_reshape(&usual->frame, chair->frame.shape);
        usual->frame.shape = seat->frame.shape; // so that the new one is written
    }
}

static void write_list(Writing *writing, const Field *field, const void *object)
{
    const char *items = list_items(field, object);
    const int count = int_at((const char *)object + field->count_offset);
    Json *json = &writing->json;
    void *usual = arena_alloc(json->text.keep, 1, field->type->bytes);
    const bool correction = writing->correction;
    writing->correction = false; // the items of a list are whole
    json_begin_array(json, field->key);
    for (int i = 0; i < count; i++) {
        const char *item = items + (size_t)i * field->type->bytes;
        object_begin_beside(field->type, item, usual, writing->units);
        if (field->type == &chair_type) {
            chair_usual(object, (const void *)item, usual);
        }
        write_object(writing, NULL, field->type, item, usual);
    }
    json_end_array(json);
    writing->correction = correction;
}

static bool needs_writing(const Writing *writing, const Field *field, unsigned variant,
                          const void *object, const void *usual)
{
    if (!field_used(field, variant) || field->kind == FIELD_SCHEMA || field->kind == FIELD_STAMP) {
        return false; // a stamp is written as `stamped_area`, whose value it shares
    }
    const bool needed = (field->needed & variant) != 0 && !writing->correction;
    return needed || !field_same(field, object, usual, writing->units);
}

static void write_field(Writing *writing, const ObjectType *type, const Field *field,
                        const void *object, const void *usual)
{
    const char *slot = (const char *)object + field->offset;
    const char *usual_slot = (const char *)usual + field->offset;
    const bool correction = writing->correction;
    writing->correction = correction || (type == &chair_type && field->kind == FIELD_OBJECT);
    if (field->kind == FIELD_LIST) {
        write_list(writing, field, object);
    } else if (field->count_offset) {
        write_points(writing, field, object);
    } else if (field->each) {
        write_each(writing, field, slot, usual_slot);
    } else {
        write_value(writing, field->key, field, slot, usual_slot);
    }
    writing->correction = correction;
}

static void write_object(Writing *writing, const char *key, const ObjectType *type,
                         const void *object, const void *usual)
{
    if (type->flat) {
        json_begin_flat_object(&writing->json, key);
    } else {
        json_begin_object(&writing->json, key);
    }
    const unsigned variant = object_variant(type, object);
    for (int i = 0; i < type->field_count; i++) {
        const Field *field = &type->fields[i];
        if (needs_writing(writing, field, variant, object, usual)) {
            write_field(writing, type, field, object, usual);
        }
    }
    json_end_object(&writing->json);
}

static void write_document(const ObjectType *type, const void *object, void *usual,
                           Writing *writing)
{
    object_begin(type, usual, writing->units);
    write_object(writing, NULL, type, object, usual);
}

void job_write(const Job *job, Text *text)
{
    Writing writing = {.json = {.text = *text},
                       .units = job->units,
                       .money_decimals = currency_decimals(job->currency)};
    Job usual = {0};
    write_document(&job_type, job, &usual, &writing);
    *text = writing.json.text;
}

void job_hide_write(const JobHide *hide, Text *text)
{
    Writing writing = {
        .json = {.text = *text}, .units = hide->units, .money_decimals = currency_decimals(NULL)};
    JobHide usual = {0};
    write_document(&hide_document_type, hide, &usual, &writing);
    *text = writing.json.text;
}
