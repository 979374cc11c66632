// What a device sends that wants to be let into the workshop over its network.
#pragma once

#include "base/problem.h"

typedef struct AskedPairing {
    const char *code;
    const char *name; ///< what it is to be called
} AskedPairing;

enum { ASKED_PAIRING_BYTES_MAX = 1 << 10 };

/// Reads `{"code": "...", "name": "..."}`.
/// Errors   false with all mistakes, as job_read(); *pairing is then untouched.
MUST_CHECK bool asked_pairing_read(const char *text, size_t bytes, Arena *keep,
                                   AskedPairing *pairing, Problems *problems);
