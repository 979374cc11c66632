// What the schema says of a field that is left out: `default` where it is the same in every
// document, `x-usual` with a value for each unit where the trade rounds otherwise in inches than
// in millimetres, or with words where no number would tell.
#include "job/schema_usual.h"

#include <string.h>

static const Units unit_systems[UNIT_SYSTEM_COUNT] = {
    [METRIC] = {LENGTH_MM, AREA_M2, LEATHER_MM}, [IMPERIAL] = {LENGTH_IN, AREA_FT2, LEATHER_OZ}};

// A measure's value in an object as usual, in the document's unit. False: none, as 0 or below is
// for a field that must be more.
static bool usual_measure(const Field *field, const void *object, Units units, double *value)
{
    double inside;
    memcpy(&inside, (const char *)object + field->offset, sizeof inside);
    *value = field_from_inside(field, inside, units);
    const Limits limits = field->limits[field_system(field, units)];
    return *value >= limits.min && *value <= limits.max;
}

static void add_measure(Json *json, const Field *field, const UsualObjects *usual)
{
    double value[UNIT_SYSTEM_COUNT];
    for (int i = 0; i < UNIT_SYSTEM_COUNT; i++) {
        if (!usual_measure(field, usual->object[i], unit_systems[i], &value[i])) {
            return;
        }
    }
    if (value[METRIC] == value[IMPERIAL]) {
        json_rounded(json, "default", value[METRIC], 6);
        return;
    }
    json_begin_flat_object(json, "x-usual");
    for (int i = 0; i < UNIT_SYSTEM_COUNT; i++) {
        json_rounded(json, field_unit_name(field, unit_systems[i]), value[i], 6);
    }
    json_end_object(json);
}

static void add_choice(Json *json, const Field *field, const UsualObjects *usual)
{
    int choice[UNIT_SYSTEM_COUNT];
    for (int i = 0; i < UNIT_SYSTEM_COUNT; i++) {
        memcpy(&choice[i], (const char *)usual->object[i] + field->offset, sizeof choice[i]);
        if (choice[i] < 0 || choice[i] >= field->name_count) {
            return;
        }
    }
    if (choice[METRIC] == choice[IMPERIAL]) {
        json_text(json, "default", field->names[choice[METRIC]]);
        return;
    }
    json_begin_flat_object(json, "x-usual");
    json_text(json, "mm", field->names[choice[METRIC]]);
    json_text(json, "in", field->names[choice[IMPERIAL]]);
    json_end_object(json);
}

void schema_add_usual(Json *json, const Field *field, const UsualObjects *usual)
{
    const double plain = field->usual[METRIC];
    if (field->usual_text) {
        json_text(json, "x-usual", field->usual_text);
    } else if (field->needed || field->given_offset != 0 || (field->each && !field->each_alike)) {
        return;
    } else if (field_is_measure(field) && field->kind != FIELD_STAMP) {
        add_measure(json, field, usual);
    } else if (field->kind == FIELD_CHOICE) {
        add_choice(json, field, usual);
    } else if (field->kind == FIELD_YES_NO) {
        json_bool(json, "default", plain != 0);
    } else if ((field->kind == FIELD_WHOLE || field->kind == FIELD_SEED) &&
               plain >= field->limits[METRIC].min) {
        json_int(json, "default", (long long)plain);
    }
}

UsualObjects usual_objects(const ObjectType *type, Arena *keep)
{
    UsualObjects usual;
    for (int i = 0; i < UNIT_SYSTEM_COUNT; i++) {
        usual.object[i] = arena_alloc(keep, 1, type->bytes);
        object_begin(type, usual.object[i], unit_systems[i]);
    }
    return usual;
}
