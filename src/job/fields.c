// What follows from the tables: units, variants, usual values.
#include "job/fields.h"

#include <assert.h>
#include <string.h>

// Choices are stored as the int that their enum is.
static_assert(sizeof(FrameShape) == sizeof(int) && sizeof(FlawKind) == sizeof(int) &&
                  sizeof(JobPaper) == sizeof(int) && sizeof(Tolerance) == sizeof(int),
              "an enum is not stored as an int");
// `each` fields step from one value to the next.
static_assert(sizeof(Sides) == SIDE_COUNT * sizeof(double), "sides are not packed");

int field_system(const Field *field, Units units)
{
    switch (field->kind) {
    case FIELD_AREA:
        return units.area == AREA_FT2 ? IMPERIAL : METRIC;
    case FIELD_STAMP:
        return IMPERIAL; // stamps are in square feet, whatever the document's units
    case FIELD_LEATHER:
        return units.leather == LEATHER_OZ ? IMPERIAL : METRIC;
    case FIELD_VERSION:
    case FIELD_SCHEMA:
    case FIELD_UNITS:
    case FIELD_CURRENCY:
    case FIELD_MONEY:
    case FIELD_LENGTH:
    case FIELD_SHARE:
    case FIELD_FACTOR:
    case FIELD_DEGREES:
    case FIELD_WHOLE:
    case FIELD_SEED:
    case FIELD_TEXT:
    case FIELD_NOTES:
    case FIELD_CHOICE:
    case FIELD_EITHER:
    case FIELD_YES_NO:
    case FIELD_OBJECT:
    case FIELD_LIST:
    case FIELD_OUTLINE:
    case FIELD_PLACE:
    case FIELD_PLACES:
    case FIELD_GRADE:
        break;
    }
    return units.length == LENGTH_IN ? IMPERIAL : METRIC;
}

double field_to_inside(const Field *field, double value, Units units)
{
    if (field->kind == FIELD_LENGTH || field->kind == FIELD_OUTLINE) {
        return length_to_mm(value, units.length);
    }
    if (field->kind == FIELD_AREA) {
        return area_to_mm2(value, units.area);
    }
    if (field->kind == FIELD_STAMP) {
        return area_to_mm2(value, AREA_FT2);
    }
    if (field->kind == FIELD_LEATHER) {
        return leather_to_mm(value, units.leather);
    }
    return field->kind == FIELD_DEGREES ? value * RAD_PER_DEG : value;
}

double field_from_inside(const Field *field, double inside, Units units)
{
    if (field->kind == FIELD_LENGTH || field->kind == FIELD_OUTLINE) {
        return length_from_mm(inside, units.length);
    }
    if (field->kind == FIELD_AREA) {
        return area_from_mm2(inside, units.area);
    }
    if (field->kind == FIELD_STAMP) {
        return area_from_mm2(inside, AREA_FT2);
    }
    if (field->kind == FIELD_LEATHER) {
        return leather_from_mm(inside, units.leather);
    }
    return field->kind == FIELD_DEGREES ? inside / RAD_PER_DEG : inside;
}

const char *field_unit_name(const Field *field, Units units)
{
    if (field->kind == FIELD_LENGTH || field->kind == FIELD_OUTLINE) {
        return length_unit_name(units.length);
    }
    if (field->kind == FIELD_AREA) {
        return area_unit_name(units.area);
    }
    if (field->kind == FIELD_STAMP) {
        return area_unit_name(AREA_FT2);
    }
    if (field->kind == FIELD_LEATHER) {
        return units.leather == LEATHER_OZ ? "oz" : "mm";
    }
    return field->kind == FIELD_DEGREES ? "degrees" : "";
}

bool field_is_measure(const Field *field)
{
    return field->kind == FIELD_LENGTH || field->kind == FIELD_AREA || field->kind == FIELD_STAMP ||
           field->kind == FIELD_LEATHER || field->kind == FIELD_SHARE ||
           field->kind == FIELD_FACTOR || field->kind == FIELD_DEGREES;
}

const Field *field_find(const ObjectType *type, const char *key)
{
    for (int i = 0; i < type->field_count; i++) {
        if (strcmp(type->fields[i].key, key) == 0) {
            return &type->fields[i];
        }
    }
    return NULL;
}

unsigned object_variant(const ObjectType *type, const void *object)
{
    if (type->variant_count == 0) {
        return 1;
    }
    int variant = 0;
    memcpy(&variant, (const char *)object + type->variant_offset, sizeof variant);
    return 1U << variant;
}

bool field_used(const Field *field, unsigned variant)
{
    return field->uses == 0 || (field->uses & variant) != 0;
}

const char *name_list(const char *const *names, int count, Arena *keep)
{
    Text text = {.keep = keep};
    for (int i = 0; i < count; i++) {
        text_add(&text, "%s%s", i == 0 ? "" : (i + 1 == count ? " or " : ", "), names[i]);
    }
    return text_string(&text);
}

const char *variant_list(const ObjectType *type, unsigned mask, Arena *keep)
{
    const char *names[8 * sizeof mask];
    int count = 0;
    for (int i = 0; i < type->variant_count; i++) {
        if (mask & (1U << i)) {
            names[count++] = type->variant_names[i];
        }
    }
    return name_list(names, count, keep);
}

size_t field_stride(const Field *field)
{
    if (field->kind == FIELD_OBJECT) {
        return field->type->bytes;
    }
    return field->kind == FIELD_CHOICE ? sizeof(int) : sizeof(double);
}

static void put_usual(const Field *field, void *slot, Units units)
{
    const double usual = field->usual[field_system(field, units)];
    if (field_is_measure(field)) {
        const double inside = usual < 0 ? usual : field_to_inside(field, usual, units);
        memcpy(slot, &inside, sizeof inside);
    } else if (field->kind == FIELD_WHOLE || field->kind == FIELD_CHOICE) {
        const int whole = (int)usual;
        memcpy(slot, &whole, sizeof whole);
    } else if (field->kind == FIELD_GRADE) {
        const void *grade = &hide_grades[(int)usual];
        memcpy(slot, &grade, sizeof grade);
    } else if (field->kind == FIELD_SEED) {
        const uint64_t seed = (uint64_t)usual;
        memcpy(slot, &seed, sizeof seed);
    } else if (field->kind == FIELD_YES_NO || field->kind == FIELD_EITHER) {
        const bool yes = usual != 0;
        memcpy(slot, &yes, sizeof yes);
    } else if (field->kind == FIELD_OBJECT) {
        object_begin(field->type, slot, units);
    }
}

void object_begin(const ObjectType *type, void *object, Units units)
{
    for (int i = 0; i < type->field_count; i++) {
        const Field *field = &type->fields[i];
        const int count = field->each ? field->each_count : 1;
        for (int k = 0; k < count; k++) {
            put_usual(field, (char *)object + field->offset + (size_t)k * field_stride(field),
                      units);
        }
    }
    if (type->begin) {
        type->begin(object);
    }
}

void object_begin_beside(const ObjectType *type, const void *object, void *usual, Units units)
{
    object_begin(type, usual, units);
    for (int i = 0; i < type->field_count; i++) {
        const Field *field = &type->fields[i];
        if (field->then) {
            memcpy((char *)usual + field->offset, (const char *)object + field->offset,
                   sizeof(int));
            field->then(usual);
        }
    }
}
