#include "base/sha256.h"

#include "support/check.h"

static void check_digest(const void *bytes, size_t count, const char *expected)
{
    uint8_t digest[SHA256_BYTES];
    char hex[2 * SHA256_BYTES + 1];
    sha256(bytes, count, digest);
    for (int i = 0; i < SHA256_BYTES; i++) {
        (void)snprintf(hex + (size_t)2 * (size_t)i, 3, "%02x", digest[i]);
    }
    assert_string_equal(hex, expected);
}

// NIST, Examples with Intermediate Values (csrc.nist.gov), SHA256.pdf; the empty message and a
// million times `a`: the NESSIE test vectors for SHA-256, set 1, vectors 0 and 8.
static void published_digests(void **state)
{
    (void)state;
    check_digest("", 0, "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
    check_digest("abc", 3, "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    static const char two[] = "abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq";
    check_digest(two, sizeof two - 1,
                 "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
    static char many[1000000];
    memset(many, 'a', sizeof many);
    check_digest(many, sizeof many,
                 "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0");
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(published_digests)};
    return cmocka_run_group_tests_name("base/sha256", tests, NULL, NULL);
}
