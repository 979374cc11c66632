// Reads single values: numbers with their units and limits, texts, choices.
#include "job/reading.h"

#include "base/number.h"
#include "base/text.h"

#include <math.h>
#include <string.h>

// A number as the user wrote it.
typedef struct Typed {
    double value;      ///< in the document's unit
    const char *shown; ///< as typed, with its unit
    bool bare;         ///< no unit of its own
} Typed;

static bool refuse_kind(Reading *reading, const Path *path, const Field *field, json_t *json)
{
    const bool mixed = field->kind == FIELD_LENGTH || field->kind == FIELD_LEATHER;
    const char *allowed = reading_allowed(reading, field);
    return reading_refuse(reading, path, reading_describe(reading, json), allowed,
                          mixed ? "write a number, or a text such as \"18 1/2\"" : NULL);
}

static double inside_unit_mm(Number number)
{
    switch (number.unit) {
    case NUMBER_IN:
        return number.value * MM_PER_IN;
    case NUMBER_FT:
        return number.value * 12 * MM_PER_IN;
    case NUMBER_CM:
        return number.value * 10;
    case NUMBER_M:
        return number.value * 1000;
    case NUMBER_MM:
    case NUMBER_BARE:
        break;
    }
    return number.value;
}

// A leather thickness may carry `oz`, which number_read() does not know.
static const char *without_ounces(const Reading *reading, const char *text, bool *ounces)
{
    const size_t length = strlen(text);
    *ounces = length > 2 && strcmp(text + length - 2, "oz") == 0;
    return *ounces ? arena_text(reading_words(reading), "%.*s", (int)(length - 2), text) : text;
}

static bool read_number_text(Reading *reading, const Path *path, const Field *field,
                             const char *text, Typed *typed)
{
    bool ounces = false;
    const char *digits = text;
    if (field->kind == FIELD_LEATHER) {
        digits = without_ounces(reading, text, &ounces);
    }
    Number number;
    const char *fault = number_read(digits, &number);
    if (!fault && number.unit != NUMBER_BARE && (ounces || field->kind == FIELD_AREA)) {
        fault = "it has a unit that does not belong here";
    }
    if (fault) {
        return reading_refuse(reading, path,
                              arena_text(reading_words(reading), "%s cannot be read: %s",
                                         reading_quoted(reading, text), fault),
                              reading_allowed(reading, field), NULL);
    }
    typed->value = number.value;
    typed->bare = number.unit == NUMBER_BARE && !ounces;
    if (!typed->bare) {
        const double mm = ounces ? leather_to_mm(number.value, LEATHER_OZ) : inside_unit_mm(number);
        typed->value = field_from_inside(field, mm, reading->units);
    }
    typed->shown = reading_quoted(reading, text);
    return true;
}

// Only what a tape or rule measures may be a text; a share or an angle is a number.
static bool may_be_text(const Field *field)
{
    return field->kind == FIELD_LENGTH || field->kind == FIELD_LEATHER ||
           field->kind == FIELD_AREA || field->kind == FIELD_OUTLINE;
}

static bool read_typed(Reading *reading, const Path *path, const Field *field, json_t *json,
                       Typed *typed)
{
    if (json_is_number(json)) {
        const char *unit = field_unit_name(field, reading->units);
        typed->value = json_number_value(json);
        typed->bare = true;
        typed->shown =
            arena_text(reading_words(reading), "%.10g%s%s", typed->value, *unit ? " " : "", unit);
        return true;
    }
    if (json_is_string(json) && may_be_text(field)) {
        return read_number_text(reading, path, field, json_string_value(json), typed);
    }
    return refuse_kind(reading, path, field, json);
}

static bool within(Limits limits, double value)
{
    return value >= limits.min && value <= limits.max;
}

// What may have been meant by a value outside its limits: a slip of the decimal
// point, the other unit, a percentage, a sign. NULL when nothing fits.
static const char *guess(const Reading *reading, const Field *field, double value)
{
    Arena *words = reading_words(reading);
    const int system = field_system(field, reading->units);
    Limits meant = field->likely[system];
    if (!(meant.max > meant.min)) {
        meant = field->limits[system];
    }
    if (field->kind == FIELD_SHARE) {
        return within(meant, value / 100)
                   ? arena_text(words, "did you mean %.10g? it is a share, not a percentage",
                                value / 100)
                   : NULL;
    }
    if (field->kind != FIELD_LENGTH && field->kind != FIELD_LEATHER) {
        return NULL;
    }
    if (value < 0) {
        return within(meant, -value) ? arena_text(words, "did you mean %.10g?", -value) : NULL;
    }
    const double shifted = value > field->limits[system].max ? value / 10 : value * 10;
    const bool inch = system == IMPERIAL;
    const double other = inch ? value / MM_PER_IN : value * MM_PER_IN;
    const bool other_fits = field->kind == FIELD_LENGTH && within(meant, other);
    const char *unit = inch ? "mm" : "in";
    if (within(meant, shifted)) {
        return other_fits
                   ? arena_text(words, "did you mean %.10g, or \"%.10g %s\"?", shifted, value, unit)
                   : arena_text(words, "did you mean %.10g?", shifted);
    }
    return other_fits ? arena_text(words, "did you mean \"%.10g %s\"?", value, unit) : NULL;
}

// A value with a unit of its own may come out a rounding beyond a limit.
static const double limit_slack = 1e-9;

static bool check_limits(Reading *reading, const Path *path, const Field *field, Typed typed)
{
    const Limits limits = field->limits[field_system(field, reading->units)];
    const bool low = !(typed.value >= limits.min - limit_slack);
    if (!low && typed.value <= limits.max + limit_slack) {
        return true;
    }
    return reading_refuse(reading, path,
                          arena_text(reading_words(reading), "%s is %s than allowed", typed.shown,
                                     low ? "less" : "more"),
                          reading_allowed(reading, field),
                          typed.bare ? guess(reading, field, typed.value) : NULL);
}

static bool read_measure(Reading *reading, const Path *path, const Field *field, json_t *json,
                         void *slot)
{
    Typed typed = {0};
    if (!read_typed(reading, path, field, json, &typed) ||
        !check_limits(reading, path, field, typed)) {
        return false;
    }
    // + 0 turns a minus zero into a plain one, so that it is written as such.
    const double inside = field_to_inside(field, typed.value, reading->units) + 0.0;
    memcpy(slot, &inside, sizeof inside);
    return true;
}

static bool read_stamp(Reading *reading, const Path *path, const Field *field, json_t *json,
                       void *slot)
{
    Arena *words = reading_words(reading);
    const char *allowed = reading_allowed(reading, field);
    if (json_is_number(json)) {
        return reading_refuse(reading, path, reading_describe(reading, json), allowed,
                              "put the stamp in quotes as it reads, or give the area as "
                              "\"stamped_area\"");
    }
    if (!json_is_string(json)) {
        return refuse_kind(reading, path, field, json);
    }
    const char *text = json_string_value(json);
    Typed typed = {.shown = reading_quoted(reading, text)};
    const char *fault = stamp_read(text, &typed.value);
    if (fault) {
        return reading_refuse(reading, path,
                              arena_text(words, "%s cannot be read: %s", typed.shown, fault),
                              allowed, NULL);
    }
    if (!check_limits(reading, path, field, typed)) {
        return false;
    }
    const double inside = field_to_inside(field, typed.value, reading->units);
    memcpy(slot, &inside, sizeof inside);
    return true;
}

static bool read_whole(Reading *reading, const Path *path, const Field *field, json_t *json,
                       double *value)
{
    if (!json_is_number(json)) {
        return refuse_kind(reading, path, field, json);
    }
    const Typed typed = {.value = json_number_value(json),
                         .shown = reading_describe(reading, json)};
    if (typed.value != floor(typed.value)) {
        return reading_refuse(reading, path, typed.shown, reading_allowed(reading, field), NULL);
    }
    *value = typed.value + 0.0;
    return check_limits(reading, path, field, typed);
}

static bool read_text(Reading *reading, const Path *path, const Field *field, json_t *json,
                      void *slot)
{
    Arena *words = reading_words(reading);
    const bool lines = field->kind == FIELD_NOTES;
    const size_t bytes_max = lines ? JOB_NOTES_MAX : JOB_NAME_MAX;
    const char *allowed = reading_allowed(reading, field);
    if (!json_is_string(json)) {
        return refuse_kind(reading, path, field, json);
    }
    const char *text = json_string_value(json);
    if (text[strspn(text, " \t\n")] == '\0') {
        return reading_refuse(reading, path, "is an empty text", allowed,
                              field->needed ? NULL : "leave the key out instead");
    }
    if (strlen(text) > bytes_max) {
        return reading_refuse(reading, path, arena_text(words, "has %zu bytes", strlen(text)),
                              allowed, NULL);
    }
    for (const char *byte = text; *byte; byte++) {
        const bool control = (unsigned char)*byte < 0x20 || *byte == 0x7f;
        if (control && !(lines && (*byte == '\n' || *byte == '\t'))) {
            return reading_refuse(reading, path,
                                  arena_text(words, "%s has a control character in it",
                                             reading_quoted(reading, text)),
                                  lines ? "printable characters, line breaks and tabs"
                                        : "printable characters",
                                  NULL);
        }
    }
    const char *kept = arena_copy_text(reading->keep, text);
    memcpy(slot, &kept, sizeof kept);
    return true;
}

static bool read_choice(Reading *reading, const Path *path, const Field *field, json_t *json,
                        int *choice)
{
    Arena *words = reading_words(reading);
    if (!json_is_string(json)) {
        return refuse_kind(reading, path, field, json);
    }
    const char *text = json_string_value(json);
    for (int i = 0; i < field->name_count; i++) {
        if (strcmp(text, field->names[i]) == 0) {
            *choice = i;
            return true;
        }
    }
    const char *near = text_nearest(text, field->names, field->name_count);
    return reading_refuse(reading, path,
                          arena_text(words, "%s is not known here", reading_quoted(reading, text)),
                          reading_allowed(reading, field),
                          near ? arena_text(words, "did you mean \"%s\"?", near) : NULL);
}

static bool read_version(Reading *reading, const Path *path, const Field *field, json_t *json)
{
    if (json_is_integer(json) && json_integer_value(json) == JOB_VERSION) {
        return true;
    }
    const bool newer = json_is_integer(json) && json_integer_value(json) > JOB_VERSION;
    return reading_refuse(
        reading, path, reading_describe(reading, json), reading_allowed(reading, field),
        newer ? "the document is for a newer program; bring the program up to date" : NULL);
}

// The parts of a units object; `in` and `mm` are the sets of each system.
static const char *const length_words[2] = {"mm", "in"};
static const char *const area_words[2] = {"m2", "ft2"};
static const char *const leather_words[2] = {"mm", "oz"};

static const Field units_parts[] = {
    {.key = "length", .kind = FIELD_CHOICE, .names = length_words, .name_count = 2},
    {.key = "area", .kind = FIELD_CHOICE, .names = area_words, .name_count = 2},
    {.key = "leather", .kind = FIELD_CHOICE, .names = leather_words, .name_count = 2},
};
enum { UNITS_PARTS = sizeof units_parts / sizeof units_parts[0] };

static bool read_units_object(Reading *reading, const Path *path, json_t *json, Units *units)
{
    static const char *const keys[UNITS_PARTS] = {"length", "area", "leather"};
    bool good = true;
    const char *key;
    json_t *value;
    json_object_foreach(json, key, value)
    {
        bool known = false;
        for (int i = 0; i < UNITS_PARTS; i++) {
            known = known || strcmp(key, keys[i]) == 0;
        }
        const Path inner = {.parent = path, .key = key};
        good = (known || reading_refuse_key(reading, &inner, keys, UNITS_PARTS)) && good;
    }
    int choices[UNITS_PARTS] = {-1, -1, -1};
    for (int i = 0; i < UNITS_PARTS; i++) {
        const Path inner = {.parent = path, .key = keys[i]};
        json_t *part = json_object_get(json, keys[i]);
        if (part) {
            good = read_choice(reading, &inner, &units_parts[i], part, &choices[i]) && good;
        } else if (i == 0) {
            good = reading_refuse(reading, &inner, "is missing", "in or mm", NULL);
        }
    }
    const int system = choices[0];
    *units = (Units){.length = (LengthUnit)system,
                     .area = (AreaUnit)(choices[1] < 0 ? system : choices[1]),
                     .leather = (LeatherUnit)(choices[2] < 0 ? system : choices[2])};
    return good;
}

static bool read_units(Reading *reading, const Path *path, const Field *field, json_t *json,
                       Units *units)
{
    if (json_is_object(json)) {
        return read_units_object(reading, path, json, units);
    }
    const char *text = json_is_string(json) ? json_string_value(json) : "";
    if (strcmp(text, "in") == 0) {
        *units = (Units){LENGTH_IN, AREA_FT2, LEATHER_OZ};
        return true;
    }
    if (strcmp(text, "mm") == 0) {
        *units = (Units){LENGTH_MM, AREA_M2, LEATHER_MM};
        return true;
    }
    return refuse_kind(reading, path, field, json);
}

static bool read_either(Reading *reading, const Path *path, const Field *field, json_t *json,
                        void *slot)
{
    int choice = 0;
    if (!read_choice(reading, path, field, json, &choice)) {
        return false;
    }
    const bool second = choice == 1;
    memcpy(slot, &second, sizeof second);
    return true;
}

static bool read_yes_no(Reading *reading, const Path *path, const Field *field, json_t *json,
                        void *slot)
{
    if (!json_is_boolean(json)) {
        return refuse_kind(reading, path, field, json);
    }
    const bool yes = json_is_true(json);
    memcpy(slot, &yes, sizeof yes);
    return true;
}

static bool read_int(Reading *reading, const Path *path, const Field *field, json_t *json,
                     void *slot)
{
    double whole = 0;
    if (!read_whole(reading, path, field, json, &whole)) {
        return false;
    }
    const int value = (int)whole;
    memcpy(slot, &value, sizeof value);
    return true;
}

static bool read_seed(Reading *reading, const Path *path, const Field *field, json_t *json,
                      void *slot)
{
    double whole = 0;
    if (!read_whole(reading, path, field, json, &whole)) {
        return false;
    }
    const uint64_t value = (uint64_t)whole;
    memcpy(slot, &value, sizeof value);
    return true;
}

bool read_value(Reading *reading, const Path *path, const Field *field, json_t *json, void *slot)
{
    switch (field->kind) {
    case FIELD_LENGTH:
    case FIELD_AREA:
    case FIELD_LEATHER:
    case FIELD_SHARE:
    case FIELD_FACTOR:
    case FIELD_DEGREES:
    case FIELD_OUTLINE:
        return read_measure(reading, path, field, json, slot);
    case FIELD_STAMP:
        return read_stamp(reading, path, field, json, slot);
    case FIELD_WHOLE:
        return read_int(reading, path, field, json, slot);
    case FIELD_SEED:
        return read_seed(reading, path, field, json, slot);
    case FIELD_TEXT:
    case FIELD_NOTES:
        return read_text(reading, path, field, json, slot);
    case FIELD_CHOICE:
        return read_choice(reading, path, field, json, slot);
    case FIELD_EITHER:
        return read_either(reading, path, field, json, slot);
    case FIELD_YES_NO:
        return read_yes_no(reading, path, field, json, slot);
    case FIELD_VERSION:
        return read_version(reading, path, field, json);
    case FIELD_SCHEMA:
        return json_is_string(json) || refuse_kind(reading, path, field, json);
    case FIELD_UNITS:
        return read_units(reading, path, field, json, slot);
    case FIELD_CURRENCY:
        return read_currency(reading, path, field, json, slot);
    case FIELD_GRADE:
        return read_grade(reading, path, field, json, slot);
    case FIELD_MONEY:
        return read_money(reading, path, field, json, slot);
    case FIELD_OBJECT:
    case FIELD_LIST:
    case FIELD_PLACE:
    case FIELD_PLACES:
        break;
    }
    return false; // these are no single values; read_object() knows them
}
