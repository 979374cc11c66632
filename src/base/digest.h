// Digests: 64 bits that tell whether two things are the same, for people who make no mistakes
// on purpose. Nothing here is of use against somebody who forges.
//
// Source  the hash FNV-1a, 64 bits (Fowler, Noll and Vo; Eastlake et al., draft-eastlake-fnv).
#pragma once

#include "base/arena.h"

#include <stdint.h>

typedef struct Digest {
    uint64_t bits;
} Digest;

Digest digest_begin(void);
void digest_add(Digest *digest, const void *bytes, size_t count);
/// The text and its end, so that `ab`, `c` is not `a`, `bc`. NULL is unlike "".
void digest_text(Digest *digest, const char *text);
void digest_whole(Digest *digest, uint64_t value);
/// Every bit of it, but -0 is 0. The same on machines of either byte order.
void digest_number(Digest *digest, double value);

/// 16 hexadecimal digits.
const char *digest_hex(Digest digest, Arena *keep);
