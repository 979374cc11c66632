// What a document is called, and the words that it may be found by. Private to the module.
#pragma once

#include "store/records.h"

typedef struct Description {
    const char *title;
    const char *words; ///< names and notes, one behind the other
} Description;

/// Of a document as far as it can be read; one that cannot keeps the title `before`.
Description describe(RecordKind kind, Document document, const char *before, Arena *keep);
