// Hides between the documents of jobs and those of the workshop. Private to the module.
#pragma once

#include "plan/workshop.h"

/// Brings the workshop's hides up to date with a job that was kept: new ones begin, those that
/// changed get a new version, those that it has no more leave its table.
MUST_CHECK bool shop_register(Store *store, const Record *record, const Job *job, Arena *keep,
                              int *begun, Problems *problems);

/// The workshop's hide of that name on a job's table; 0 when there is none.
int64_t shop_hide_called(const OnTables *places, const char *called);

/// A hide's document, read.
MUST_CHECK bool shop_read_hide(Store *store, int64_t hide, Arena *keep, JobHide *read,
                               Problems *problems);
