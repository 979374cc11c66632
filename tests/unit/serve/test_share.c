#include "serve/share.h"

#include "support/check.h"

enum { NOON = 1000000, MINUTE = 60000 };

static int cuts;
static int ends;

static void on_cut(void *context, bool ended)
{
    (void)context;
    cuts++;
    ends += ended;
}

static Share *shared(void)
{
    static const Network network = {.addresses = {{"192.168.1.20"}}, .count = 1};
    cuts = ends = 0;
    Share *share = share_begin(&(ShareOptions){&network, on_cut, NULL});
    assert_non_null(share);
    return share;
}

static ShareCode new_code(Share *share, int64_t now_ms)
{
    ShareCode code;
    assert_true(share_new_code(share, now_ms, &code));
    return code;
}

static void a_code_is_for_one_device_and_ten_minutes(void **state)
{
    (void)state;
    Share *share = shared();
    assert_string_equal(share_code(share, NOON).text, "");
    assert_int_equal(share_try(share, "", 1, NOON), PAIRING_WRONG);
    ShareCode code = new_code(share, NOON);
    assert_int_equal(strlen(code.text), CODE_LETTERS + 1);
    assert_int_equal(code.text[4], '-');
    assert_int_equal(strspn(code.text, "-23456789ABCDEFGHJKLMNPQRSTUVWXYZ"), CODE_LETTERS + 1);
    assert_int_equal(code.lives_s, CODE_LIVES_S);
    assert_string_equal(share_code(share, NOON + 9 * MINUTE).text, code.text);
    assert_int_equal(share_try(share, code.text, 1, NOON + 1), PAIRING_RIGHT);
    assert_int_equal(share_try(share, code.text, 1, NOON + 2), PAIRING_WRONG);
    assert_string_equal(share_code(share, NOON + 2).text, "");
    code = new_code(share, NOON);
    const int64_t late = NOON + (int64_t)CODE_LIVES_S * 1000;
    assert_int_equal(share_code(share, late - 1).lives_s, 1);
    assert_string_equal(share_code(share, late).text, "");
    assert_int_equal(share_try(share, code.text, 1, late), PAIRING_WRONG);
    share_end(share);
}

static void every_letter_of_a_code_counts(void **state)
{
    (void)state;
    Share *share = shared();
    const ShareCode code = new_code(share, NOON);
    int64_t now_ms = NOON;
    for (int i = 0; i < CODE_LETTERS + 1; i++) {
        char wrong[CODE_ROOM];
        memcpy(wrong, code.text, sizeof wrong);
        if (wrong[i] != '-') {
            wrong[i] = wrong[i] == 'A' ? 'B' : 'A';
            now_ms += MINUTE;
            assert_int_equal(share_try(share, wrong, 1, now_ms), PAIRING_WRONG);
        }
    }
    char shorter[CODE_ROOM];
    char longer[CODE_ROOM + 1];
    (void)snprintf(shorter, sizeof shorter, "%.*s", CODE_LETTERS, code.text);
    (void)snprintf(longer, sizeof longer, "%s2", code.text);
    assert_int_equal(share_try(share, shorter, 1, now_ms), PAIRING_WRONG);
    assert_int_equal(share_try(share, longer, 1, now_ms), PAIRING_WRONG);
    assert_int_equal(share_try(share, code.text, 1, now_ms), PAIRING_RIGHT);
    share_end(share);
}

// In small letters, a blank for the hyphen, and blanks before and behind.
static void type_carelessly(const char *code, char typed[2 * CODE_ROOM])
{
    (void)snprintf(typed, 2, " ");
    for (const char *c = code; *c; c++) {
        const int small = *c == '-' ? ' ' : *c | 0x20; // of digits the same
        (void)snprintf(typed + strlen(typed), 3, "%c%s", small, c[1] ? "" : " ");
    }
}

static void how_a_code_is_typed_does_not_matter(void **state)
{
    (void)state;
    Share *share = shared();
    const ShareCode code = new_code(share, NOON);
    char typed[2 * CODE_ROOM];
    type_carelessly(code.text, typed);
    assert_int_equal(share_try(share, typed, 1, NOON + 2), PAIRING_RIGHT);
    share_end(share);
}

static void who_guesses_must_wait(void **state)
{
    (void)state;
    Share *share = shared();
    const ShareCode code = new_code(share, NOON);
    for (int i = 0; i < TRIES_EACH; i++) {
        assert_int_equal(share_try(share, "2222-2222", 7, NOON + i), PAIRING_WRONG);
    }
    assert_int_equal(share_try(share, code.text, 7, NOON + TRIES_EACH), PAIRING_TOO_OFTEN);
    const int64_t over = NOON + (int64_t)TRIES_WITHIN_S * 1000;
    assert_int_equal(share_try(share, code.text, 7, over - 1), PAIRING_TOO_OFTEN);
    assert_int_equal(share_try(share, "2222-2222", 8, over - 1), PAIRING_WRONG);
    assert_int_equal(share_try(share, code.text, 7, over), PAIRING_RIGHT);
    share_end(share);
}

// From however many addresses: after so many the code is void, and a new one waits too.
static void all_guesses_together_are_counted(void **state)
{
    (void)state;
    Share *share = shared();
    const ShareCode code = new_code(share, NOON);
    for (uint32_t i = 0; i < TRIES_ALL; i++) {
        assert_string_equal(share_code(share, NOON + 1).text, code.text);
        assert_int_equal(share_try(share, "2222-2222", 1000 + i, NOON + 1), PAIRING_WRONG);
    }
    assert_string_equal(share_code(share, NOON + 2).text, "");
    const ShareCode next = new_code(share, NOON + 2);
    assert_int_equal(share_try(share, next.text, 5, NOON + 3), PAIRING_TOO_OFTEN);
    const int64_t over = NOON + 1 + (int64_t)TRIES_WITHIN_S * 1000;
    assert_int_equal(share_try(share, next.text, 5, over), PAIRING_RIGHT);
    share_end(share);
}

// More addresses than are remembered: the count of all holds them.
static void no_number_of_addresses_gives_more_tries(void **state)
{
    (void)state;
    Share *share = shared();
    int wrong = 0;
    (void)new_code(share, NOON);
    for (uint32_t i = 0; i < 1000; i++) {
        wrong += share_try(share, "2222-2222", i, NOON + i) == PAIRING_WRONG;
    }
    assert_int_equal(wrong, TRIES_ALL);
    share_end(share);
}

static Device device_of(int64_t id, char token[TOKEN_ROOM])
{
    Device device = {.id = id, .name = "phone", .seen_ms = NOON};
    assert_true(share_new_token(token, device.digest));
    return device;
}

static void a_device_is_known_by_its_token_until_it_is_put_out(void **state)
{
    Share *share = shared();
    char tokens[2][TOKEN_ROOM];
    bool note = true;
    for (int i = 0; i < 2; i++) {
        const Device device = device_of(i + 1, tokens[i]);
        assert_true(share_let_in(share, &device));
    }
    assert_string_not_equal(tokens[0], tokens[1]);
    assert_int_equal(share_whose(share, tokens[1], NOON + 1, &note), 2);
    assert_false(note);
    assert_int_equal(share_whose(share, tokens[1], NOON + MINUTE, &note), 2);
    assert_true(note); // once a minute
    assert_int_equal(share_whose(share, tokens[1], NOON + MINUTE + 1, &note), 2);
    assert_false(note);
    assert_true(share_devices(share, *state).items[1].seen_ms == NOON + MINUTE);
    assert_int_equal(share_whose(share, tokens[1], 0, NULL), 2);
    assert_int_equal(share_whose(share, NULL, NOON, &note), 0);
    assert_int_equal(share_whose(share, NULL, 0, NULL), 0);
    assert_int_equal(share_whose(share, "", NOON, &note), 0);
    tokens[0][5] = tokens[0][5] == 'a' ? 'b' : 'a';
    assert_int_equal(share_whose(share, tokens[0], NOON, &note), 0);
    share_put_out(share, 2);
    assert_int_equal(cuts, 1);
    assert_int_equal(share_whose(share, tokens[1], NOON, &note), 0);
    assert_int_equal(share_devices(share, *state).count, 1);
    share_put_out(share, 0);
    assert_int_equal(share_devices(share, *state).count, 0);
    for (int i = 0; i < DEVICES_MAX; i++) {
        const Device device = device_of(10 + i, tokens[0]);
        assert_true(share_let_in(share, &device));
    }
    const Device more = device_of(100, tokens[0]);
    assert_false(share_let_in(share, &more));
    // The code is not used up by being of no use.
    const ShareCode code = new_code(share, NOON);
    assert_int_equal(share_try(share, code.text, 1, NOON), PAIRING_NO_ROOM);
    share_put_out(share, 10);
    assert_int_equal(share_try(share, code.text, 1, NOON), PAIRING_RIGHT);
    share_end(share);
}

static void what_has_ended_lets_nobody_in(void **state)
{
    (void)state;
    Share *share = shared();
    const ShareCode code = new_code(share, NOON);
    ShareCode more;
    assert_true(share_is_open(share));
    share_close(share);
    share_close(share);
    assert_int_equal(ends, 1);
    assert_false(share_is_open(share));
    assert_int_equal(share_try(share, code.text, 1, NOON), PAIRING_WRONG);
    assert_false(share_new_code(share, NOON, &more));
    share_end(share);
    const Network nothing = {.count = 0};
    share = share_begin(&(ShareOptions){&nothing, NULL, NULL});
    assert_non_null(share);
    assert_false(share_is_open(share));
    assert_false(share_new_code(share, NOON, &more));
    share_end(share);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_code_is_for_one_device_and_ten_minutes),
        cmocka_unit_test(every_letter_of_a_code_counts),
        cmocka_unit_test(how_a_code_is_typed_does_not_matter),
        cmocka_unit_test(who_guesses_must_wait),
        cmocka_unit_test(all_guesses_together_are_counted),
        cmocka_unit_test(no_number_of_addresses_gives_more_tries),
        TEST_IN_ARENA(a_device_is_known_by_its_token_until_it_is_put_out),
        cmocka_unit_test(what_has_ended_lets_nobody_in),
    };
    return cmocka_run_group_tests_name("serve/share", tests, NULL, NULL);
}
