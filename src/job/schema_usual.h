// Private to the job module: what a field holds that is left out, for the schema.
#pragma once

#include "base/json.h"
#include "job/fields.h"

/// An object as usual in a document of each system of units.
typedef struct UsualObjects {
    void *object[UNIT_SYSTEM_COUNT];
} UsualObjects;

UsualObjects usual_objects(const ObjectType *type, Arena *keep);

/// Adds `default` or `x-usual` to a field's schema, or nothing when it has no usual value.
void schema_add_usual(Json *json, const Field *field, const UsualObjects *usual);
