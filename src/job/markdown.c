// The tables of docs/job-file.md.
#include "job/fields.h"

#include <string.h>

static void add_limits(Text *text, const Field *field)
{
    static const Units metric = {LENGTH_MM, AREA_M2, LEATHER_MM};
    static const Units imperial = {LENGTH_IN, AREA_FT2, LEATHER_OZ};
    const Limits in_metric = field->limits[METRIC];
    const Limits in_imperial = field->limits[IMPERIAL];
    const char *unit = field_unit_name(field, metric);
    const char *other = field_unit_name(field, imperial);
    if (strcmp(unit, other) == 0) {
        text_add(text, "%.16g to %.16g%s%s", in_imperial.min, in_imperial.max, *unit ? " " : "",
                 unit);
    } else {
        text_add(text, "%.16g to %.16g %s, %.16g to %.16g %s", in_metric.min, in_metric.max, unit,
                 in_imperial.min, in_imperial.max, other);
    }
}

static void add_names(Text *text, const Field *field)
{
    for (int i = 0; i < field->name_count; i++) {
        text_add(text, "%s`%s`", i == 0 ? "" : ", ", field->names[i]);
    }
}

static void add_each(Text *text, const Field *field)
{
    text_add(text, "%s%sone for each of ", field->range ? "`\"48-52\"`, " : "",
             field->each_alike ? "one for all, or " : "");
    for (int i = 0; i < field->each_count; i++) {
        text_add(text, "%s`%s`", i == 0 ? "" : ", ", field->each[i]);
    }
    text_add(text, ": ");
}

static void add_list(Text *text, const Field *field)
{
    text_add(text, "list of %d to %d ", field->count_min, field->count_max);
    if (field->kind == FIELD_OUTLINE) {
        text_add(text, "pairs, each number ");
        add_limits(text, field);
        return;
    }
    const char *name = field->kind == FIELD_LIST ? field->type->name : place_type.name;
    text_add(text, "[%s](#%s)", name, name);
}

// What may stand there.
static void add_allowed(Text *text, const Field *field)
{
    switch (field->kind) {
    case FIELD_VERSION:
        text_add(text, "%d", (int)JOB_VERSION);
        break;
    case FIELD_UNITS:
        text_add(text, "`in`, `mm`, or an object");
        break;
    case FIELD_CURRENCY:
        text_add(text, "three capital letters");
        break;
    case FIELD_TEXT:
    case FIELD_NOTES:
        text_add(text, "text, up to %d bytes",
                 (int)(field->kind == FIELD_TEXT ? JOB_NAME_MAX : JOB_NOTES_MAX));
        break;
    case FIELD_SCHEMA:
        text_add(text, "text");
        break;
    case FIELD_CHOICE:
    case FIELD_EITHER:
        add_names(text, field);
        break;
    case FIELD_YES_NO:
        text_add(text, "`true`, `false`");
        break;
    case FIELD_OBJECT:
        text_add(text, "[%s](#%s)", field->type->name, field->type->name);
        break;
    case FIELD_GRADE:
        for (int i = 0; i < HIDE_GRADES; i++) {
            text_add(text, "`%s`, ", hide_grades[i].name);
        }
        text_add(text, "or the name of a [grade](#grade)");
        break;
    case FIELD_PLACE:
        text_add(text, "[place](#place)");
        break;
    case FIELD_LIST:
    case FIELD_PLACES:
    case FIELD_OUTLINE:
        add_list(text, field);
        break;
    case FIELD_STAMP:
    case FIELD_WHOLE:
    case FIELD_SEED:
        text_add(text, field->kind == FIELD_STAMP ? "text, " : "whole number, ");
        add_limits(text, field);
        break;
    case FIELD_LENGTH:
    case FIELD_AREA:
    case FIELD_LEATHER:
    case FIELD_SHARE:
    case FIELD_FACTOR:
    case FIELD_DEGREES:
    case FIELD_MONEY:
        add_limits(text, field);
        break;
    }
}

static void add_usual_measure(Text *text, const Field *field, const void *metric)
{
    static const Units imperial = {LENGTH_IN, AREA_FT2, LEATHER_OZ};
    if (field->kind != FIELD_LENGTH || field->usual[IMPERIAL] == 0) {
        double value;
        memcpy(&value, metric, sizeof value);
        const Units units = {LENGTH_MM, AREA_M2, LEATHER_MM};
        const char *unit = field_unit_name(field, units);
        value = field_from_inside(field, value, units);
        text_add(text, "%.6g%s%s", value, *unit && value != 0 ? " " : "", value != 0 ? unit : "");
        return;
    }
    text_add(text, "%.6g mm, %.6g %s", field->usual[METRIC], field->usual[IMPERIAL],
             field_unit_name(field, imperial));
}

// What holds when it is left out; `metric` is an object as usual in a metric document.
static void add_usual(Text *text, const Field *field, const char *metric)
{
    const char *slot = metric + field->offset;
    if (field->usual_text) {
        text_add(text, "%s", field->usual_text);
    } else if (field->needed) {
        text_add(text, "needed");
    } else if (field->each && !field->each_alike) {
        text_add(text, field->kind == FIELD_OBJECT ? "none" : "see below");
    } else if (field->kind == FIELD_CHOICE && field->usual[METRIC] != field->usual[IMPERIAL]) {
        text_add(text, "`%s` with mm, `%s` with in", field->names[(int)field->usual[METRIC]],
                 field->names[(int)field->usual[IMPERIAL]]);
    } else if (field->kind == FIELD_CHOICE) {
        int choice;
        memcpy(&choice, slot, sizeof choice);
        text_add(text, "`%s`", field->names[choice]);
    } else if (field->kind == FIELD_GRADE) {
        text_add(text, "`%s`", hide_grades[(int)field->usual[METRIC]].name);
    } else if (field->kind == FIELD_YES_NO) {
        text_add(text, field->usual[METRIC] != 0 ? "`true`" : "`false`");
    } else if (field->kind == FIELD_WHOLE || field->kind == FIELD_SEED ||
               field->kind == FIELD_MONEY) {
        text_add(text, "%.16g", field->usual[METRIC]);
    } else if (field_is_measure(field)) {
        add_usual_measure(text, field, slot);
    } else if (field->kind == FIELD_OBJECT) {
        text_add(text, "as usual");
    } else {
        text_add(text, "none");
    }
}

// Which variants a field belongs to.
static void add_uses(Text *text, const ObjectType *type, const Field *field)
{
    if (field->uses == 0) {
        return;
    }
    if (type->variant_key) {
        text_add(text, " Only for %s.", variant_list(type, field->uses, text->keep));
        return;
    }
    for (int i = 0; i < type->variant_count; i++) {
        if (field->uses != 1U << i) {
            continue;
        }
        if (strcmp(type->variant_marks[i], field->key) == 0) {
            text_add(text, " Exactly one of %s.",
                     name_list(type->variant_marks, type->variant_count, text->keep));
        } else {
            text_add(text, " Only with `%s`.", type->variant_marks[i]);
        }
    }
}

static void add_object(Text *text, const ObjectType *type)
{
    const Units units = {LENGTH_MM, AREA_M2, LEATHER_MM};
    char *metric = arena_alloc(text->keep, 1, type->bytes);
    object_begin(type, metric, units);
    text_add(text, "### %s\n\n%s\n\n", type->name, type->help);
    text_add(text, "| key | what it is | what may stand there | when left out |\n");
    text_add(text, "|---|---|---|---|\n");
    for (int i = 0; i < type->field_count; i++) {
        const Field *field = &type->fields[i];
        text_add(text, "| `%s` | %s", field->key, field->help);
        add_uses(text, type, field);
        text_add(text, " | ");
        if (field->each) {
            add_each(text, field);
        }
        add_allowed(text, field);
        text_add(text, " | ");
        add_usual(text, field, metric);
        text_add(text, " |\n");
    }
    text_add(text, "\n");
}

static const char *band_word(Tolerance tolerance)
{
    const Field *rim = field_find(&tolerance_type, "rim");
    return rim->names[tolerance];
}

// The usual tolerance table, which has a value for each kind of flaw.
static void add_tolerances(Text *text)
{
    const ToleranceTable table = tolerance_defaults();
    text_add(text, "Usual values of `flaws`, `margins` and `firmness`:\n\n");
    text_add(text, "| flaw | innermost band | margin |\n|---|---|---|\n");
    for (int i = 0; i < FLAW_KIND_COUNT; i++) {
        text_add(text, "| `%s` | `%s` | %.6g mm |\n", flaw_kind_names[i], band_word(table.flaw[i]),
                 table.margin_mm[i]);
    }
    text_add(text, "\n| firmness | innermost band |\n|---|---|\n");
    for (int i = 0; i < FIRMNESS_COUNT; i++) {
        text_add(text, "| `%s` | `%s` |\n", firmness_names[i], band_word(table.firmness[i]));
    }
    text_add(text, "\n");
}

void job_fields_markdown(Text *text)
{
    for (int i = 0; i < OBJECT_TYPE_COUNT; i++) {
        add_object(text, object_types[i]);
        if (object_types[i] == &tolerance_type) {
            add_tolerances(text);
        }
    }
}
