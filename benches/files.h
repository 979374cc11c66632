// Files of instances and layouts: what all benches read and write alike.
#pragma once

#include "base/json.h"
#include "base/problem.h"
#include "layout/layout.h"

#include <jansson.h>

/// The document in a file, or NULL with a problem said. Free it with json_decref().
MUST_CHECK json_t *files_load(const char *path, Problems *problems);

/// Says that a place in a file is missing or of the wrong kind. Returns false.
bool files_refuse(Problems *problems, const char *path, const char *place, const char *allowed);

/// A list of points as a counter-clockwise ring. False unless it has 3 to
/// LAYOUT_POINTS_MAX points.
bool files_ring(const json_t *points, Arena *keep, Ring *ring);

void files_put_ring(Json *json, const char *key, Ring ring);

/// Writes what has been put together to a file.
MUST_CHECK bool files_write(const char *path, Json *json, Problems *problems);

/// Makes a folder unless it is there.
MUST_CHECK bool files_make_folder(const char *path, Problems *problems);
