// Sharing: who may come in over the workshop's network. A device is let in by a code that is
// shown at the machine itself, once, and then known by a token of its own.
//
// What is known here lies in memory; the workshop file has it too (store/devices.h). All times
// are given, so that tests need not wait. Everything may be called from any thread.
#pragma once

#include "serve/network.h"
#include "store/devices.h"

enum {
    CODE_LETTERS = 8,             ///< of 32 different ones: 2^40 codes
    CODE_ROOM = CODE_LETTERS + 2, ///< with a hyphen in its middle
    CODE_LIVES_S = 600,           ///< then nobody is let in by it
    TRIES_EACH = 5,               ///< wrong codes of one address within TRIES_WITHIN_S
    TRIES_ALL = 20,               ///< of all; then the code is void too
    TRIES_WITHIN_S = 60,
    TOKEN_ROOM = 2 * SHA256_BYTES + 1,
    SEEN_EVERY_S = 60, ///< more often it is not written down
    COOKIE_NAME_ROOM = 32,
};

typedef struct Share Share;

typedef struct ShareOptions {
    const Network *network; ///< no addresses: nothing is shared
    /// Called when somebody was put out, or sharing has ended: connections of guests must end.
    void (*cut)(void *context, bool ended);
    void *context;
} ShareOptions;

/// NULL: no memory.
MUST_CHECK Share *share_begin(const ShareOptions *options);
/// Accepts NULL.
void share_end(Share *share);

/// Whether anybody may come in over the network.
bool share_is_open(Share *share);
/// From now on nobody may, and all connections of guests end. It is not opened again.
void share_close(Share *share);

const Network *share_network(const Share *share);

/// What a device is asked for.
typedef struct ShareCode {
    char text[CODE_ROOM]; ///< `7KQ2-M4XD`; "": there is none
    int lives_s;          ///< for so long from now
} ShareCode;

/// Makes a new code, in the place of any other.
/// Errors   false: nothing is shared, or the system gives no random numbers.
MUST_CHECK bool share_new_code(Share *share, int64_t now_ms, ShareCode *code);
ShareCode share_code(Share *share, int64_t now_ms);

typedef enum Pairing {
    PAIRING_RIGHT, ///< the code is used up by it
    PAIRING_WRONG,
    PAIRING_TOO_OFTEN,
    PAIRING_NO_ROOM ///< right, but DEVICES_MAX are in; the code holds on
} Pairing;

/// Tries a code; capitals, hyphens and blanks do not matter. The right one is void from then
/// on. `from` is the address of who tries.
///
/// Method   compared in a time that does not tell how much of it is right. Who tries 20 a minute
///          for the ten minutes that it lives has 200 of 2^40: a chance of 2 in 10^10.
Pairing share_try(Share *share, const char *code, uint32_t from, int64_t now_ms);

/// The cookie that holds a token. Cookies know no ports: its name tells two workshops apart.
void share_cookie_name(int port, char name[COOKIE_NAME_ROOM]);

/// A new token, and its digest. Errors   false: the system gives no random numbers.
MUST_CHECK bool share_new_token(char token[TOKEN_ROOM], uint8_t digest[SHA256_BYTES]);

/// Lets a device in that the workshop file has; the name is copied.
/// Errors   false: too many are in already.
MUST_CHECK bool share_let_in(Share *share, const Device *device);
/// Puts one out, or all (0), and ends the connections of all guests: the others come back.
void share_put_out(Share *share, int64_t device);

/// Whose token it is; 0: nobody's. *note: that it was seen should be written down; NULL: it has
/// been seen already, and the time does not matter.
int64_t share_whose(Share *share, const char *token, int64_t clock_ms, bool *note);

/// All that are in, in the arena of who asks.
Devices share_devices(Share *share, Arena *keep);
