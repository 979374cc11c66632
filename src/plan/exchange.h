// Exports and imports that travel as bytes instead of files that somebody names.
#pragma once

#include "store/exchange.h"

/// store_export() into a file that has no name: *file is open for reading, at its start, and gone
/// once it is closed.
/// Errors   as store_export(); no room for it beside the workshop file.
MUST_CHECK bool exchange_export(Store *store, const int64_t *jobs, int count, Arena *keep,
                                int *file, Problems *problems);

/// store_import() of bytes. Errors   as there, told of `the file`.
MUST_CHECK bool exchange_import(Store *store, Document bytes, Arena *keep, ImportReport *report,
                                Problems *problems);
