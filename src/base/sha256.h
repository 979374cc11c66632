// SHA-256: tells whether two things are the same even against somebody who forges.
//
// Source  FIPS 180-4, Secure Hash Standard, sections 4.1.2, 5.1.1 and 6.2.
#pragma once

#include <stddef.h>
#include <stdint.h>

enum { SHA256_BYTES = 32 };

/// The digest of `count` bytes, fewer than 2^56.
void sha256(const void *bytes, size_t count, uint8_t digest[SHA256_BYTES]);
