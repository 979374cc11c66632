// The JSON Schema of the document, made of the tables.
//
// It says less than the reader checks: a schema cannot know the document's units, so
// limits are those of the looser unit, and what several fields must hold together is
// left to the reader.
// Source: json-schema.org, draft 2020-12 (Core and Validation).
#include "job/fields.h"
#include "job/schema_usual.h"

#include <math.h>

// Numbers as people write them (base/number.h), with a unit or without.
static const char measure_pattern[] =
    "^\\s*[-+]?(\\d+[.,]\\d+|[.,]\\d+|\\d+([ -]+\\d+/\\d+|/\\d+| *[½¼¾⅛⅜⅝⅞⅓⅔])?|[½¼¾⅛⅜⅝⅞⅓⅔])\\s*"
    "(in\\.?|inch|inches|\"|″|ft|foot|feet|'|′|mm|cm|m|oz)?\\s*$";

static const char range_pattern[] = "^\\s*\\d+([.,]\\d+)?\\s*[-–]\\s*\\d+([.,]\\d+)?\\s*$";

typedef struct Schema {
    Json json;
    bool correction; // of a chair: nothing is needed
} Schema;

static double least(const Field *field)
{
    return fmin(field->limits[METRIC].min, field->limits[IMPERIAL].min);
}

static double greatest(const Field *field)
{
    return fmax(field->limits[METRIC].max, field->limits[IMPERIAL].max);
}

static void add_bounds(Json *json, const Field *field)
{
    json_number(json, "minimum", least(field));
    json_number(json, "maximum", greatest(field));
}

// A number within its limits, or a text that the reader looks at more closely.
static void add_length(Json *json, const Field *field)
{
    json_begin_array(json, "oneOf");
    json_begin_flat_object(json, NULL);
    json_text(json, "type", "number");
    add_bounds(json, field);
    json_end_object(json);
    json_begin_flat_object(json, NULL);
    json_text(json, "$ref", "#/$defs/measure");
    json_end_object(json);
    json_end_array(json);
}

static void add_names(Json *json, const char *const *names, int count)
{
    json_begin_flat_array(json, "enum");
    for (int i = 0; i < count; i++) {
        json_text(json, NULL, names[i]);
    }
    json_end_array(json);
}

static void add_reference(Schema *schema, const ObjectType *type)
{
    json_text(&schema->json, "$ref",
              arena_text(schema->json.text.keep, "#/$defs/%s%s", type->name,
                         schema->correction ? "_correction" : ""));
}

static void add_list(Schema *schema, const Field *field)
{
    Json *json = &schema->json;
    json_text(json, "type", "array");
    json_int(json, "minItems", field->count_min);
    json_int(json, "maxItems", field->count_max);
    const bool pairs = field->kind == FIELD_OUTLINE;
    json_begin_object(json, "items");
    if (pairs) {
        json_text(json, "type", "array");
        json_int(json, "minItems", 2);
        json_int(json, "maxItems", 2);
        json_begin_object(json, "items");
        add_length(json, field);
        json_end_object(json);
    } else {
        const bool correction = schema->correction;
        schema->correction = false; // the items of a list are whole
        add_reference(schema, field->kind == FIELD_PLACES ? &place_type : field->type);
        schema->correction = correction;
    }
    json_end_object(json);
}

static void add_units(Json *json)
{
    static const char *const systems[2] = {"in", "mm"};
    static const char *const areas[2] = {"ft2", "m2"};
    static const char *const leathers[2] = {"oz", "mm"};
    static const char *const keys[3] = {"length", "area", "leather"};
    const char *const *const words[3] = {systems, areas, leathers};
    json_begin_array(json, "oneOf");
    json_begin_flat_object(json, NULL);
    add_names(json, systems, 2);
    json_end_object(json);
    json_begin_object(json, NULL);
    json_text(json, "type", "object");
    json_bool(json, "additionalProperties", false);
    json_begin_object(json, "properties");
    for (int i = 0; i < 3; i++) {
        json_begin_flat_object(json, keys[i]);
        add_names(json, words[i], 2);
        json_end_object(json);
    }
    json_end_object(json);
    json_begin_flat_array(json, "required");
    json_text(json, NULL, "length");
    json_end_array(json);
    json_end_object(json);
    json_end_array(json);
}

static void add_text(Json *json, const Field *field)
{
    json_text(json, "type", "string");
    json_int(json, "maxLength", field->kind == FIELD_NOTES ? JOB_NOTES_MAX : JOB_NAME_MAX);
    json_text(json, "pattern", "\\S");
}

// Members of the schema of one value.
static void add_value(Schema *schema, const Field *field)
{
    Json *json = &schema->json;
    switch (field->kind) {
    case FIELD_VERSION:
        json_int(json, "const", JOB_VERSION);
        break;
    case FIELD_SCHEMA:
        json_text(json, "type", "string");
        break;
    case FIELD_UNITS:
        add_units(json);
        break;
    case FIELD_LENGTH:
    case FIELD_AREA:
    case FIELD_LEATHER:
        add_length(json, field);
        break;
    case FIELD_STAMP:
        json_text(json, "type", "string");
        json_text(json, "pattern", "\\d");
        break;
    case FIELD_CURRENCY:
        json_text(json, "type", "string");
        json_text(json, "pattern", "^[A-Z]{3}$");
        break;
    case FIELD_SHARE:
    case FIELD_FACTOR:
    case FIELD_DEGREES:
    case FIELD_MONEY:
        json_text(json, "type", "number");
        add_bounds(json, field);
        break;
    case FIELD_WHOLE:
    case FIELD_SEED:
        json_text(json, "type", "integer");
        add_bounds(json, field);
        break;
    case FIELD_TEXT:
    case FIELD_NOTES:
    case FIELD_GRADE: // a name, which may be the document's own
        add_text(json, field);
        break;
    case FIELD_CHOICE:
    case FIELD_EITHER:
        add_names(json, field->names, field->name_count);
        break;
    case FIELD_YES_NO:
        json_text(json, "type", "boolean");
        break;
    case FIELD_OBJECT:
    case FIELD_PLACE:
        add_reference(schema, field->kind == FIELD_PLACE ? &place_type : field->type);
        break;
    case FIELD_LIST:
    case FIELD_OUTLINE:
    case FIELD_PLACES:
        add_list(schema, field);
        break;
    }
}

static void add_keys_needed(Json *json, const Field *field)
{
    json_begin_array(json, "anyOf");
    json_begin_flat_object(json, NULL);
    json_begin_array(json, "required");
    json_text(json, NULL, "all");
    json_end_array(json);
    json_end_object(json);
    json_begin_flat_object(json, NULL);
    json_begin_array(json, "required");
    for (int i = 0; i < field->each_count; i++) {
        json_text(json, NULL, field->each[i]);
    }
    json_end_array(json);
    json_end_object(json);
    json_end_array(json);
}

// An object with one value for each key.
static void add_each_object(Schema *schema, const Field *field)
{
    Json *json = &schema->json;
    json_text(json, "type", "object");
    json_bool(json, "additionalProperties", false);
    json_begin_object(json, "properties");
    for (int i = 0; i < field->each_count; i++) {
        json_begin_object(json, field->each[i]);
        add_value(schema, field);
        json_end_object(json);
    }
    if (field->each_alike) {
        json_begin_object(json, "all");
        add_value(schema, field);
        json_end_object(json);
    }
    json_end_object(json);
    if (field->needed && field->each_alike && !schema->correction) {
        add_keys_needed(json, field);
    }
}

static void add_each(Schema *schema, const Field *field)
{
    if (!field->each_alike) {
        add_each_object(schema, field);
        return;
    }
    Json *json = &schema->json;
    json_begin_array(json, "oneOf");
    json_begin_object(json, NULL);
    add_value(schema, field);
    json_end_object(json);
    json_begin_object(json, NULL);
    add_each_object(schema, field);
    json_end_object(json);
    if (field->range) {
        json_begin_flat_object(json, NULL);
        json_text(json, "type", "string");
        json_text(json, "pattern", range_pattern);
        json_end_object(json);
    }
    json_end_array(json);
}

// What a number is a measure of, for forms. Plain numbers, and lengths, have none.
static const char *quantity_name(FieldKind kind)
{
    static const char *const names[] = {[FIELD_AREA] = "area",
                                        [FIELD_LEATHER] = "leather",
                                        [FIELD_MONEY] = "money",
                                        [FIELD_SHARE] = "share",
                                        [FIELD_DEGREES] = "angle"};
    return kind < sizeof names / sizeof *names ? names[kind] : NULL;
}

static void add_field(Schema *schema, const ObjectType *type, const Field *field,
                      const UsualObjects *usual)
{
    const bool correction = schema->correction;
    json_begin_object(&schema->json, field->key);
    json_text(&schema->json, "description", field->help);
    const char *quantity = quantity_name(field->kind);
    if (quantity) {
        json_text(&schema->json, "x-quantity", quantity);
    }
    if (!correction) {
        schema_add_usual(&schema->json, field, usual);
    }
    schema->correction = correction || (type == &chair_type && field->kind == FIELD_OBJECT);
    if (field->each) {
        add_each(schema, field);
    } else {
        add_value(schema, field);
    }
    schema->correction = correction;
    json_end_object(&schema->json);
}

static void add_required(Json *json, const ObjectType *type, unsigned variants)
{
    json_begin_flat_array(json, "required");
    for (int i = 0; i < type->field_count; i++) {
        if ((type->fields[i].needed & variants) == variants) {
            json_text(json, NULL, type->fields[i].key);
        }
    }
    json_end_array(json);
}

// What one variant needs, and the keys that it has no use for.
static void add_variant_rules(Json *json, const ObjectType *type, unsigned variant)
{
    add_required(json, type, variant);
    json_begin_flat_object(json, "properties");
    for (int i = 0; i < type->field_count; i++) {
        if (!field_used(&type->fields[i], variant)) {
            json_bool(json, type->fields[i].key, false);
        }
    }
    json_end_object(json);
}

static void add_variants(Json *json, const ObjectType *type)
{
    json_begin_array(json, type->variant_key ? "allOf" : "oneOf");
    for (int i = 0; i < type->variant_count; i++) {
        json_begin_object(json, NULL);
        if (type->variant_key) {
            json_begin_flat_object(json, "if");
            json_begin_object(json, "properties");
            json_begin_object(json, type->variant_key);
            json_text(json, "const", type->variant_names[i]);
            json_end_object(json);
            json_end_object(json);
            json_begin_array(json, "required");
            json_text(json, NULL, type->variant_key);
            json_end_array(json);
            json_end_object(json);
            json_begin_object(json, "then");
        }
        add_variant_rules(json, type, 1U << i);
        if (type->variant_key) {
            json_end_object(json);
        }
        json_end_object(json);
    }
    json_end_array(json);
}

static void add_object(Schema *schema, const ObjectType *type, bool correction)
{
    Json *json = &schema->json;
    json_begin_object(
        json, arena_text(json->text.keep, "%s%s", type->name, correction ? "_correction" : ""));
    json_text(json, "description", type->help);
    json_text(json, "type", "object");
    json_bool(json, "additionalProperties", false);
    schema->correction = correction;
    const UsualObjects usual = usual_objects(type, json->text.keep);
    json_begin_object(json, "properties");
    for (int i = 0; i < type->field_count; i++) {
        add_field(schema, type, &type->fields[i], &usual);
    }
    json_end_object(json);
    schema->correction = false;
    if (!correction) {
        add_required(json, type, type->variant_count > 0 ? (1U << type->variant_count) - 1U : 1U);
        if (type->variant_count > 0) {
            add_variants(json, type);
        }
    }
    json_end_object(json);
}

// What a chair may correct.
static const ObjectType *const corrected_types[] = {&frame_type, &notch_type, &board_type,
                                                    &padding_type, &fixing_type};

void job_schema(Text *text)
{
    Schema schema = {.json = {.text = *text}};
    Json *json = &schema.json;
    json_begin_object(json, NULL);
    json_text(json, "$schema", "https://json-schema.org/draft/2020-12/schema");
    json_text(json, "title", "Seatwright job");
    json_text(json, "description",
              "A job of Seatwright. Lengths are in the unit that the document states; limits here "
              "are those of the looser unit, and the program checks more closely.");
    json_text(json, "$ref", "#/$defs/job");
    json_begin_object(json, "$defs");
    json_begin_object(json, "measure");
    json_text(json, "description",
              "A measure as one writes it: 18 1/2, 18-1/2, 18.5, or with a unit of its own: "
              "470 mm.");
    json_text(json, "type", "string");
    json_text(json, "pattern", measure_pattern);
    json_end_object(json);
    for (int i = 0; i < OBJECT_TYPE_COUNT; i++) {
        add_object(&schema, object_types[i], false);
    }
    for (size_t i = 0; i < sizeof corrected_types / sizeof corrected_types[0]; i++) {
        add_object(&schema, corrected_types[i], true);
    }
    json_end_object(json);
    json_end_object(json);
    *text = schema.json.text;
}
