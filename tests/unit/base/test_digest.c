#include "base/digest.h"

#include "support/check.h"

static Digest of_bytes(const char *bytes)
{
    Digest digest = digest_begin();
    digest_add(&digest, bytes, strlen(bytes));
    return digest;
}

// Test vectors of FNV-1a, 64 bits: draft-eastlake-fnv (from memory of its code).
static void published_vectors(void **state)
{
    assert_string_equal(digest_hex(of_bytes(""), *state), "cbf29ce484222325");
    assert_string_equal(digest_hex(of_bytes("a"), *state), "af63dc4c8601ec8c");
    assert_string_equal(digest_hex(of_bytes("foobar"), *state), "85944171f73967e8");
}

static void parts_keep_their_ends(void **state)
{
    (void)state;
    Digest one = digest_begin();
    digest_text(&one, "ab");
    digest_text(&one, "c");
    Digest other = digest_begin();
    digest_text(&other, "a");
    digest_text(&other, "bc");
    assert_true(one.bits != other.bits);
    Digest none = digest_begin();
    digest_text(&none, NULL);
    Digest empty = digest_begin();
    digest_text(&empty, "");
    assert_true(none.bits != empty.bits);
}

static void numbers_differ_by_their_last_bit(void **state)
{
    (void)state;
    Digest one = digest_begin();
    digest_number(&one, 0.1);
    Digest next = digest_begin();
    digest_number(&next, nextafter(0.1, 1));
    assert_true(one.bits != next.bits);
    Digest zero = digest_begin();
    digest_number(&zero, 0.0);
    Digest minus = digest_begin();
    digest_number(&minus, -0.0);
    assert_true(zero.bits == minus.bits);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(published_vectors),
        cmocka_unit_test(parts_keep_their_ends),
        cmocka_unit_test(numbers_differ_by_their_last_bit),
    };
    return cmocka_run_group_tests_name("base/digest", tests, NULL, NULL);
}
