// Whether a file is a workshop file, of which version, and undamaged. Private to the module.
#pragma once

#include "store/sql.h"

/// store_check() for tables of a version. *damage: it is damage, and no other trouble,
/// that the problem tells of.
MUST_CHECK bool damage_none(Store *store, int version, Problems *problems, bool *damage);

/// The two numbers that SQLite keeps in the file's head, by their pragmas: whose file it is, and
/// the version of its tables.
MUST_CHECK bool file_version(Store *store, int *application, int *version);

/// Whether it is a workshop file of a version that we know; *version. What is wrong is told.
MUST_CHECK bool file_identify(Store *store, int *version, Problems *problems);

/// Opens a file to look at only, as it lies there, and checks it. NULL when it is not good;
/// the problems say why.
Store *store_look(const char *path, Problems *problems);
