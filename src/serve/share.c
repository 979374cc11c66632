#include "serve/share.h"

#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/random.h>

// No letters that are taken for one another: neither 0 nor O, neither 1 nor I.
static const char letters[] = "23456789ABCDEFGHJKLMNPQRSTUVWXYZ";
enum { LETTERS = sizeof letters - 1, TRIERS = 64, MS = 1000 };

// One address that gave wrong codes.
typedef struct Trier {
    uint32_t from;
    int64_t since_ms;
    int tries;
} Trier;

// A device, with room for its name.
typedef struct Guest {
    Device device;
    char name[DEVICE_NAME_MAX + 1];
} Guest;

struct Share {
    pthread_mutex_t lock;
    ShareOptions options;
    Network network;
    bool open;
    char code[CODE_LETTERS]; // letters only
    int64_t code_until_ms;   // 0: there is none
    Trier triers[TRIERS];
    Trier all; // of all addresses together
    Guest guests[DEVICES_MAX];
    int guest_count;
};

static void lock(Share *share)
{
    (void)pthread_mutex_lock(&share->lock);
}

static void unlock(Share *share)
{
    (void)pthread_mutex_unlock(&share->lock);
}

static bool draw(void *bytes, size_t count)
{
    return getrandom(bytes, count, 0) == (ssize_t)count;
}

// With the lock.
static bool add_guest(Share *share, const Device *device)
{
    if (share->guest_count == DEVICES_MAX) {
        return false;
    }
    Guest *guest = &share->guests[share->guest_count++];
    guest->device = *device;
    const size_t length = strnlen(device->name, DEVICE_NAME_MAX);
    memcpy(guest->name, device->name, length);
    guest->name[length] = '\0';
    return true;
}

Share *share_begin(const ShareOptions *options)
{
    Share *share = calloc(1, sizeof *share);
    if (!share) {
        return NULL;
    }
    (void)pthread_mutex_init(&share->lock, NULL);
    share->options = *options;
    share->network = *options->network;
    share->open = share->network.count > 0;
    return share;
}

void share_end(Share *share)
{
    if (share) {
        (void)pthread_mutex_destroy(&share->lock);
        free(share);
    }
}

bool share_is_open(Share *share)
{
    lock(share);
    const bool open = share->open;
    unlock(share);
    return open;
}

// Without the lock: whoever is called may ask again.
static void cut(Share *share, bool ended)
{
    if (share->options.cut) {
        share->options.cut(share->options.context, ended);
    }
}

void share_close(Share *share)
{
    lock(share);
    const bool was_open = share->open;
    share->open = false;
    share->code_until_ms = 0;
    unlock(share);
    if (was_open) {
        cut(share, true);
    }
}

const Network *share_network(const Share *share)
{
    return &share->network;
}

// With the lock.
static ShareCode told(const Share *share, int64_t now_ms)
{
    ShareCode code = {.text = ""};
    if (share->code_until_ms > now_ms) {
        const size_t half = CODE_LETTERS / 2;
        memcpy(code.text, share->code, half);
        code.text[half] = '-';
        memcpy(code.text + half + 1, share->code + half, half);
        code.lives_s = (int)((share->code_until_ms - now_ms + MS - 1) / MS);
    }
    return code;
}

bool share_new_code(Share *share, int64_t now_ms, ShareCode *code)
{
    uint8_t drawn[CODE_LETTERS];
    if (!draw(drawn, sizeof drawn)) {
        return false;
    }
    lock(share);
    const bool open = share->open;
    if (open) {
        for (int i = 0; i < CODE_LETTERS; i++) {
            share->code[i] = letters[drawn[i] % LETTERS]; // 256 is a multiple of 32
        }
        share->code_until_ms = now_ms + (int64_t)CODE_LIVES_S * MS;
        *code = told(share, now_ms);
    }
    unlock(share);
    return open;
}

ShareCode share_code(Share *share, int64_t now_ms)
{
    lock(share);
    const ShareCode code = told(share, now_ms);
    unlock(share);
    return code;
}

static bool is_over(const Trier *trier, int64_t now_ms)
{
    return now_ms - trier->since_ms >= (int64_t)TRIES_WITHIN_S * MS;
}

// With the lock: the place of an address, or that of the one who began longest ago.
static Trier *trier_of(Share *share, uint32_t from)
{
    Trier *oldest = &share->triers[0];
    for (int i = 0; i < TRIERS; i++) {
        Trier *trier = &share->triers[i];
        if (trier->tries > 0 && trier->from == from) {
            return trier;
        }
        oldest = trier->since_ms < oldest->since_ms ? trier : oldest;
    }
    *oldest = (Trier){.from = from};
    return oldest;
}

static void count_try(Trier *trier, int64_t now_ms)
{
    trier->since_ms = trier->tries == 0 ? now_ms : trier->since_ms;
    trier->tries++;
}

static int upper(char letter)
{
    return letter >= 'a' && letter <= 'z' ? letter - 'a' + 'A' : letter;
}

// Every letter is looked at, whatever the ones before it were.
static bool is_code(const char *code, const char *given)
{
    unsigned differ = 0;
    int count = 0;
    for (const char *c = given; *c; c++) {
        if (*c != '-' && *c != ' ') {
            const int wanted = count < CODE_LETTERS ? code[count] : '\0';
            differ |= (unsigned)upper(*c) ^ (unsigned)wanted;
            count += count <= CODE_LETTERS;
        }
    }
    return differ == 0 && count == CODE_LETTERS;
}

Pairing share_try(Share *share, const char *code, uint32_t from, int64_t now_ms)
{
    Pairing pairing = PAIRING_WRONG;
    lock(share);
    Trier *trier = trier_of(share, from);
    Trier *const both[] = {trier, &share->all};
    for (int i = 0; i < 2; i++) {
        both[i]->tries = is_over(both[i], now_ms) ? 0 : both[i]->tries;
    }
    if (trier->tries >= TRIES_EACH || share->all.tries >= TRIES_ALL) {
        pairing = PAIRING_TOO_OFTEN;
    } else if (share->open && share->code_until_ms > now_ms && is_code(share->code, code)) {
        const bool has_room = share->guest_count < DEVICES_MAX;
        share->code_until_ms = has_room ? 0 : share->code_until_ms;
        pairing = has_room ? PAIRING_RIGHT : PAIRING_NO_ROOM;
    } else {
        count_try(trier, now_ms);
        count_try(&share->all, now_ms);
        share->code_until_ms = share->all.tries >= TRIES_ALL ? 0 : share->code_until_ms;
    }
    unlock(share);
    return pairing;
}

void share_cookie_name(int port, char name[COOKIE_NAME_ROOM])
{
    (void)snprintf(name, COOKIE_NAME_ROOM, "seatwright-%d", port);
}

bool share_new_token(char token[TOKEN_ROOM], uint8_t digest[SHA256_BYTES])
{
    static const char digits[] = "0123456789abcdef";
    uint8_t drawn[SHA256_BYTES];
    if (!draw(drawn, sizeof drawn)) {
        return false;
    }
    for (int i = 0; i < SHA256_BYTES; i++) {
        char *at = token + (size_t)2 * (size_t)i;
        at[0] = digits[drawn[i] >> 4];
        at[1] = digits[drawn[i] & 15];
    }
    token[TOKEN_ROOM - 1] = '\0';
    sha256(token, TOKEN_ROOM - 1, digest);
    return true;
}

bool share_let_in(Share *share, const Device *device)
{
    lock(share);
    const bool room = add_guest(share, device);
    unlock(share);
    return room;
}

void share_put_out(Share *share, int64_t device)
{
    int left = 0;
    lock(share);
    for (int i = 0; i < share->guest_count; i++) {
        if (device != 0 && share->guests[i].device.id != device) {
            share->guests[left++] = share->guests[i];
        }
    }
    share->guest_count = left;
    unlock(share);
    cut(share, false);
}

// The digests are of tokens that nobody can choose, so that it tells nothing how far two agree.
int64_t share_whose(Share *share, const char *token, int64_t clock_ms, bool *note)
{
    uint8_t digest[SHA256_BYTES];
    int64_t found = 0;
    if (note) {
        *note = false;
    }
    if (!token || strlen(token) != TOKEN_ROOM - 1) {
        return 0;
    }
    sha256(token, TOKEN_ROOM - 1, digest);
    lock(share);
    for (int i = 0; i < share->guest_count; i++) {
        Device *device = &share->guests[i].device;
        if (memcmp(device->digest, digest, SHA256_BYTES) == 0) {
            found = device->id;
            if (note && clock_ms - device->seen_ms >= (int64_t)SEEN_EVERY_S * MS) {
                *note = true;
                device->seen_ms = clock_ms;
            }
        }
    }
    unlock(share);
    return found;
}

Devices share_devices(Share *share, Arena *keep)
{
    Devices devices = {.items = ARENA_ARRAY(keep, Device, DEVICES_MAX)};
    lock(share);
    for (int i = 0; i < share->guest_count; i++) {
        Device *device = &devices.items[devices.count++];
        *device = share->guests[i].device;
        device->name = arena_copy_text(keep, share->guests[i].name);
    }
    unlock(share);
    return devices;
}
