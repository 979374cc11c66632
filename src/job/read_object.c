// Reads objects and lists by their tables.
#include "job/reading.h"

#include "base/number.h"
#include "base/text.h"

#include <string.h>

// An object being read.
typedef struct Target {
    const ObjectType *type;
    json_t *json;
    void *object;
    unsigned variant;   ///< as a bit
    unsigned inherited; ///< the variant that a correction started from
    bool correction;
} Target;

static void *slot_of(const Target *target, const Field *field)
{
    return (char *)target->object + field->offset;
}

static bool read_keys(Reading *reading, const Path *path, const Target *target)
{
    const ObjectType *type = target->type;
    const char *keys[32];
    int count = 0;
    for (int i = 0; i < type->field_count; i++) {
        keys[count++] = type->fields[i].key;
    }
    bool good = true;
    const char *key;
    json_t *value;
    json_object_foreach(target->json, key, value)
    {
        const Path inner = {.parent = path, .key = key};
        if (!reading->says_more && !field_find(type, key) && !reading_full(reading)) {
            good = reading_refuse_key(reading, &inner, keys, count);
        }
    }
    return good;
}

// The keys that may stand in an `each` object: its names, and "all".
static bool read_each_keys(Reading *reading, const Path *path, const Field *field, json_t *json)
{
    const char *keys[32];
    int count = 0;
    for (int i = 0; i < field->each_count; i++) {
        keys[count++] = field->each[i];
    }
    if (field->each_alike) {
        keys[count++] = "all";
    }
    bool good = true;
    const char *key;
    json_t *value;
    json_object_foreach(json, key, value)
    {
        bool known = false;
        for (int i = 0; i < count; i++) {
            known = known || strcmp(keys[i], key) == 0;
        }
        const Path inner = {.parent = path, .key = key};
        if (!known && !reading_full(reading)) {
            good = reading_refuse_key(reading, &inner, keys, count);
        }
    }
    return good;
}

static bool read_alike(Reading *reading, const Path *path, const Field *field, json_t *json,
                       char *slot)
{
    if (!read_value(reading, path, field, json, slot)) {
        return false;
    }
    for (int i = 1; i < field->each_count; i++) {
        memcpy(slot + (size_t)i * field_stride(field), slot, field_stride(field));
    }
    return true;
}

// `48-52`: two texts of numbers, the second larger; `48-1/2` is one number. NULL, NULL
// when it is no range.
static void split_range(const char *text, Arena *keep, const char *ends[2])
{
    static const char en_dash[] = "\u2013";
    const char *dash = strstr(text, en_dash);
    const size_t length = dash ? strlen(en_dash) : 1;
    dash = dash ? dash : strchr(text, '-');
    Number low;
    Number high;
    ends[0] = ends[1] = NULL;
    if (!dash || dash == text) {
        return;
    }
    const char *first = arena_text(keep, "%.*s", (int)(dash - text), text);
    if (!number_read(first, &low) && !number_read(dash + length, &high) && high.value > low.value) {
        ends[0] = first;
        ends[1] = dash + length;
    }
}

// Reads a range that is written as one text; *is_range is false when it is something else.
static bool read_range(Reading *reading, const Path *path, const Field *field, json_t *json,
                       char *slot, bool *is_range)
{
    const char *ends[2] = {NULL, NULL};
    if (field->range && json_is_string(json)) {
        split_range(json_string_value(json), reading->keep, ends);
    }
    *is_range = ends[0] != NULL;
    bool good = true;
    for (int i = 0; *is_range && i < 2; i++) {
        json_t *end = json_string(ends[i]);
        good = end &&
               read_value(reading, path, field, end, slot + (size_t)i * field_stride(field)) &&
               good;
        json_decref(end);
    }
    return good;
}

static bool read_each(Reading *reading, const Path *path, const Field *field, json_t *json,
                      const Target *target)
{
    char *slot = slot_of(target, field);
    bool is_range = false;
    const bool range_good = read_range(reading, path, field, json, slot, &is_range);
    if (is_range) {
        return range_good;
    }
    if (!json_is_object(json)) {
        if (field->each_alike) {
            return read_alike(reading, path, field, json, slot);
        }
        return reading_refuse(
            reading, path, reading_describe(reading, json),
            arena_text(reading_words(reading), "an object with the keys %s",
                       name_list(field->each, field->each_count, reading_words(reading))),
            NULL);
    }
    bool good = read_each_keys(reading, path, field, json);
    json_t *all = field->each_alike ? json_object_get(json, "all") : NULL;
    if (all) {
        const Path inner = {.parent = path, .key = "all"};
        good = read_alike(reading, &inner, field, all, slot) && good;
    }
    for (int i = 0; i < field->each_count; i++) {
        json_t *value = json_object_get(json, field->each[i]);
        const Path inner = {.parent = path, .key = field->each[i]};
        char *here = slot + (size_t)i * field_stride(field);
        if (value && field->kind == FIELD_OBJECT) {
            good =
                read_object(reading, &inner, field->type, value, here, target->correction) && good;
        } else if (value) {
            good = read_value(reading, &inner, field, value, here) && good;
        }
    }
    // A needed value for each side: without "all", none may be missing.
    if (field->needed && !target->correction && !all) {
        for (int i = 0; i < field->each_count; i++) {
            const Path inner = {.parent = path, .key = field->each[i]};
            if (!json_object_get(json, field->each[i])) {
                good = reading_refuse(reading, &inner, "is missing",
                                      reading_allowed(reading, field), NULL);
            }
        }
    }
    return good;
}

static bool read_list(Reading *reading, const Path *path, const Field *field, json_t *json,
                      const Target *target)
{
    if (!json_is_array(json)) {
        return reading_refuse(reading, path, reading_describe(reading, json),
                              reading_allowed(reading, field), NULL);
    }
    const size_t count = json_array_size(json);
    if (!read_count(reading, path, field, count, field->key)) {
        return false;
    }
    char *items = slot_of(target, field);
    if (!field->in_place) {
        items = arena_alloc(reading->keep, count, field->type->bytes);
        memcpy(slot_of(target, field), &items, sizeof items);
    }
    const int kept_count = (int)count;
    memcpy((char *)target->object + field->count_offset, &kept_count, sizeof kept_count);
    bool good = true;
    int done = 0;
    for (size_t i = 0; i < count && !reading_full(reading); i++, done++) {
        const Path inner = {.parent = path, .index = (int)i};
        char *item = items + i * field->type->bytes;
        memset(item, 0, field->type->bytes);
        if (field->type == &chair_type) {
            chair_begin(target->object, (JobChair *)(void *)item);
        } else {
            object_begin(field->type, item, reading->units);
        }
        good =
            read_object(reading, &inner, field->type, json_array_get(json, i), item, false) && good;
    }
    if (field->type == &grade_type) { // from now on they can be named
        reading->grades = (JobGrade *)(void *)items;
        reading->grade_count = done;
    }
    return good;
}

static bool read_field(Reading *reading, const Path *path, const Field *field, json_t *json,
                       const Target *target)
{
    if (field->each) {
        return read_each(reading, path, field, json, target);
    }
    switch ((int)field->kind) {
    case FIELD_LIST:
        return read_list(reading, path, field, json, target);
    case FIELD_OBJECT:
        return read_object(reading, path, field->type, json, slot_of(target, field),
                           target->correction || target->type == &chair_type);
    case FIELD_OUTLINE:
    case FIELD_PLACE:
    case FIELD_PLACES:
        return read_points(reading, path, field, json, target->object);
    default:
        return read_value(reading, path, field, json, slot_of(target, field));
    }
}

// `"shape": "taper"`, or `"line"`: how a document says which variant it is.
static const char *variant_words(const Reading *reading, const Target *target, unsigned variant)
{
    Arena *words = reading_words(reading);
    const ObjectType *type = target->type;
    int i = 0;
    while (i + 1 < type->variant_count && variant != (1U << i)) {
        i++;
    }
    return type->variant_key
               ? arena_text(words, "\"%s\": \"%s\"", type->variant_key, type->variant_names[i])
               : arena_text(words, "\"%s\"", type->variant_marks[i]);
}

static bool refuse_unused(Reading *reading, const Path *path, const Field *field,
                          const Target *target)
{
    Arena *words = reading_words(reading);
    const ObjectType *type = target->type;
    const char *uses = NULL;
    if (type->variant_key) {
        uses = arena_text(words, "only with \"%s\": %s", type->variant_key,
                          variant_list(type, field->uses, words));
    }
    for (int i = 0; i < type->variant_count && !type->variant_key; i++) {
        if (field->uses & (1U << i)) { // of marks, a field belongs to one
            uses = arena_text(words, "only with \"%s\"", type->variant_marks[i]);
        }
    }
    return reading_refuse(
        reading, path,
        arena_text(words, "is not used with %s", variant_words(reading, target, target->variant)),
        uses, "take it out");
}

static bool read_missing(Reading *reading, const Path *path, const Field *field,
                         const Target *target)
{
    // A correction inherits what its kind has already.
    const bool inherited = target->correction && (target->variant == target->inherited ||
                                                  field_used(field, target->inherited));
    const bool needed = target->variant ? (field->needed & target->variant) != 0
                                        : field->needed == ALWAYS; // whatever variant it is
    if (!needed || inherited) {
        return true;
    }
    const bool told = target->type->variant_count > 0 && field->uses != 0;
    return reading_refuse(reading, path, "is missing", reading_allowed(reading, field),
                          told ? arena_text(reading_words(reading), "%s needs it",
                                            variant_words(reading, target, target->variant))
                               : NULL);
}

static bool read_variant_key(Reading *reading, const Path *path, Target *target)
{
    const Field *field = field_find(target->type, target->type->variant_key);
    json_t *value = json_object_get(target->json, field->key);
    const Path inner = {.parent = path, .key = field->key};
    if (!value) {
        return read_missing(reading, &inner, field, target);
    }
    int variant = 0;
    if (!read_value(reading, &inner, field, value, &variant)) {
        return false;
    }
    target->variant = 1U << variant;
    if (!target->correction) {
        memcpy(slot_of(target, field), &variant, sizeof variant);
    } else if (target->variant != target->inherited) {
        // One chair of a kind may be out of square or odd, but it is no other shape.
        if (variant != FRAME_MEASURED && variant != FRAME_TRACED) {
            return reading_refuse(
                reading, &inner,
                arena_text(reading_words(reading), "%s is another shape than its kind's",
                           reading_quoted(reading, json_string_value(value))),
                "measured, traced, or the shape of the kind", "make it a seat kind of its own");
        }
        frame_reshape(target->object, (FrameShape)variant);
    }
    return true;
}

static bool read_variant_mark(Reading *reading, const Path *path, Target *target)
{
    const ObjectType *type = target->type;
    int found = 0;
    int variant = 0;
    for (int i = 0; i < type->variant_count; i++) {
        if (json_object_get(target->json, type->variant_marks[i])) {
            variant = i;
            found++;
        }
    }
    if (found != 1) {
        Arena *words = reading_words(reading);
        const char *marks = name_list(type->variant_marks, type->variant_count, words);
        return reading_refuse(reading, path,
                              found == 0 ? "does not say where it lies"
                                         : "says more than once where it lies",
                              arena_text(words, "exactly one of %s", marks), NULL);
    }
    memcpy((char *)target->object + type->variant_offset, &variant, sizeof variant);
    target->variant = 1U << variant;
    return true;
}

static bool read_variant(Reading *reading, const Path *path, Target *target)
{
    if (target->type->variant_count == 0) {
        return true;
    }
    return target->type->variant_key ? read_variant_key(reading, path, target)
                                     : read_variant_mark(reading, path, target);
}

// Without a version that we know, or units, values cannot be judged; only what is
// missing is told then.
static bool blinds(const Field *field, json_t *value, bool good)
{
    return !good && (field->kind == FIELD_UNITS || (field->kind == FIELD_VERSION && value));
}

// Reads the fields; false in *plain_good when one that is no object or list failed.
static bool read_fields(Reading *reading, const Path *path, const Target *target, bool *plain_good)
{
    bool good = true;
    bool blind = false;
    for (int i = 0; i < target->type->field_count && !reading_full(reading); i++) {
        const Field *field = &target->type->fields[i];
        const Path inner = {.parent = path, .key = field->key};
        json_t *value = json_object_get(target->json, field->key);
        bool field_good = true;
        if (field->uses != 0 && target->variant == 0) {
            continue; // the variant is not known
        }
        if (!field_used(field, target->variant)) {
            field_good = !value || refuse_unused(reading, &inner, field, target);
        } else if (target->type->variant_key &&
                   strcmp(field->key, target->type->variant_key) == 0) {
            continue; // read already
        } else if (!value) {
            field_good = read_missing(reading, &inner, field, target);
        } else if (!blind) {
            field_good = read_field(reading, &inner, field, value, target);
            if (field->given_offset) {
                *((bool *)target->object + field->given_offset) = true;
            }
        }
        if (!field_good) {
            good = false;
            *plain_good = *plain_good && (field->kind == FIELD_OBJECT || field->kind == FIELD_LIST);
            blind = blind || blinds(field, value, field_good);
        } else if (value && field->then) {
            field->then(target->object);
        } else if (field->kind == FIELD_UNITS) {
            // Usual values and limits of the fields that follow depend on them.
            memcpy(&reading->units, slot_of(target, field), sizeof reading->units);
            object_begin(target->type, target->object, reading->units);
        }
    }
    return good;
}

bool read_object(Reading *reading, const Path *path, const ObjectType *type, json_t *json,
                 void *object, bool correction)
{
    if (!json_is_object(json)) {
        return reading_refuse(reading, path, reading_describe(reading, json),
                              type == &place_type ? "a place, such as {\"up\": 10, \"left\": 5}"
                                                  : "an object { }",
                              NULL);
    }
    Target target = {.type = type, .json = json, .object = object, .correction = correction};
    target.variant = object_variant(type, object);
    target.inherited = target.variant;
    bool good = read_keys(reading, path, &target);
    bool plain_good = read_variant(reading, path, &target);
    if (!plain_good) {
        good = false;
        target.variant = 0;
    }
    good = read_fields(reading, path, &target, &plain_good) && good;
    return (!plain_good || read_check(reading, path, type, json, object)) && good;
}
