// The tables, version by version. Private to the module.
#pragma once

#include "store/sql.h"

/// Brings the tables from one version to another, within a change. From 0: all anew.
MUST_CHECK bool schema_bring(Store *store, int from, int to);

/// Whether the tables are exactly those of a version, with nothing beside them.
/// Errors   false in *same; the function returns false when it could not look.
MUST_CHECK bool schema_is(Store *store, int version, bool *same);
