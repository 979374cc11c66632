// Taking over from one workshop file what another lacks. Private to the module.
#pragma once

#include "store/exchange.h"
#include "store/sql.h"

/// The number of one version in both files.
typedef struct NumberPair {
    int64_t from;
    int64_t to;
} NumberPair;

/// One record of both files.
typedef struct RecordPair {
    int64_t from;
    int64_t to;
    NumberPair *numbers; ///< its versions, in the order of `from`
    int count;
    int room;
} RecordPair;

/// A merge under way, within a change of `to`.
typedef struct Merge {
    Store *from;
    Store *to;
    Arena *keep;
    const int64_t *wanted; ///< records of `from`, ascending; NULL: all
    int wanted_count;
    RecordPair *records; ///< in the order of `from`
    int record_count;
    int record_room;
    int64_t *pictures; ///< of `from`, that documents of wanted records name
    int picture_count;
    int picture_room;
    ImportReport report;
    Problems *problems;
} Merge;

/// Copies all that is missing. False: told, or a failure of one of the stores.
MUST_CHECK bool merge_all(Merge *merge);

/// Cuts, remnants, tables and keepsakes, once the records are merged. Of what is wanted, pictures
/// that documents name go too, whomever they belong to.
MUST_CHECK bool merge_links(Merge *merge);

/// NULL when the record is not merged.
const RecordPair *merged_record(const Merge *merge, int64_t from);
/// NO_VERSION when the version is not merged.
int64_t merged_number(const RecordPair *record, int64_t from);

/// The file that is read breaks a rule that the tables cannot hold. Returns false.
bool merge_refuse(const Merge *merge, const char *format, ...) PRINTF_LIKE(2, 3);
