#include "base/digest.h"

#include <inttypes.h>
#include <string.h>

static const uint64_t fnv_offset = 0xcbf29ce484222325U;
static const uint64_t fnv_prime = 0x100000001b3U;

Digest digest_begin(void)
{
    return (Digest){fnv_offset};
}

void digest_add(Digest *digest, const void *bytes, size_t count)
{
    const unsigned char *byte = bytes;
    for (size_t i = 0; i < count; i++) {
        digest->bits = (digest->bits ^ byte[i]) * fnv_prime;
    }
}

void digest_text(Digest *digest, const char *text)
{
    digest_whole(digest, text ? strlen(text) : UINT64_MAX);
    digest_add(digest, text, text ? strlen(text) : 0);
}

void digest_whole(Digest *digest, uint64_t value)
{
    unsigned char bytes[8];
    for (int i = 0; i < 8; i++) {
        bytes[i] = (unsigned char)(value >> (8 * i));
    }
    digest_add(digest, bytes, sizeof bytes);
}

void digest_number(Digest *digest, double value)
{
    const double plain = value == 0 ? 0 : value;
    uint64_t bits;
    memcpy(&bits, &plain, sizeof bits);
    digest_whole(digest, bits);
}

const char *digest_hex(Digest digest, Arena *keep)
{
    return arena_text(keep, "%016" PRIx64, digest.bits);
}
