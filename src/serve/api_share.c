// The workshop's network: what is shown at the machine itself, and how a device comes in.
#include "serve/clock.h"
#include "serve/handlers.h"
#include "serve/qr.h"
#include "serve/share.h"

#include "base/json.h"
#include "job/asked_pairing.h"

#include <string.h>

static const char *address_text(const Share *share, int i, int port, Arena *keep)
{
    return arena_text(keep, "http://%s:%d/", share_network(share)->addresses[i].text, port);
}

static void put_devices(Json *json, const Devices *devices)
{
    json_begin_array(json, "devices");
    for (int i = 0; i < devices->count; i++) {
        const Device *device = &devices->items[i];
        json_begin_object(json, NULL);
        json_int(json, "id", device->id);
        json_text(json, "name", device->name);
        json_int(json, "paired_ms", device->paired_ms);
        json_int(json, "seen_ms", device->seen_ms);
        json_end_object(json);
    }
    json_end_array(json);
}

static void answer_state(Desk *desk, const Request *request, int status, Answer *answer)
{
    Share *share = desk->share;
    const ShareCode code = share_code(share, steady_ms());
    const Devices devices = share_devices(share, desk->keep);
    const bool open = share_is_open(share);
    Json json = {.text.keep = desk->keep};
    json_begin_object(&json, NULL);
    json_bool(&json, "shared", open);
    json_begin_array(&json, "addresses");
    for (int i = 0; open && i < share_network(share)->count; i++) {
        json_text(&json, NULL, address_text(share, i, request->port, desk->keep));
    }
    json_end_array(&json);
    json_text(&json, "code", *code.text ? code.text : NULL);
    json_int(&json, "lives_s", code.lives_s);
    put_devices(&json, &devices);
    json_end_object(&json);
    answer_json(answer, status, &json.text);
}

void answer_share(Desk *desk, const Request *request, Answer *answer)
{
    answer_state(desk, request, 200, answer);
}

static void answer_unshared(Desk *desk, Answer *answer)
{
    answer_refuse(desk, 409, "share", "the workshop is not shared",
                  "begin it with `seatwright serve --share`", answer);
}

void answer_share_code(Desk *desk, const Request *request, Answer *answer)
{
    ShareCode code;
    if (!share_is_open(desk->share)) {
        answer_unshared(desk, answer);
    } else if (share_new_code(desk->share, steady_ms(), &code)) {
        answer_state(desk, request, 201, answer);
    } else {
        answer_refuse(desk, 500, "share", "the system gives no random numbers", NULL, answer);
    }
}

// The code stands behind a `#`, so that it is neither asked for by its address nor written down
// on the way.
void answer_share_qr(Desk *desk, const Request *request, Answer *answer)
{
    const Share *share = desk->share;
    const ShareCode code = share_code(desk->share, steady_ms());
    const int64_t number = request->number[0];
    if (!*code.text || number < 1 || number > share_network(share)->count) {
        answer_refuse(desk, 404, "share", "there is no code, or no such address",
                      "the number of an address, while a code is shown", answer);
        return;
    }
    const char *content =
        arena_text(desk->keep, "%s#%s",
                   address_text(share, (int)number - 1, request->port, desk->keep), code.text);
    Text svg = {.keep = desk->keep};
    if (!qr_svg(content, "QR code for the phone", &svg)) {
        answer_refuse(desk, 500, "share", "there is no memory", NULL, answer);
        return;
    }
    answer_json(answer, 200, &svg);
    answer->type = "image/svg+xml";
}

void answer_share_end(Desk *desk, const Request *request, Answer *answer)
{
    if (!share_is_open(desk->share)) {
        answer_unshared(desk, answer);
        return;
    }
    share_close(desk->share);
    answer_state(desk, request, 200, answer);
}

static void put_out(Desk *desk, const Request *request, int64_t device, Answer *answer)
{
    if (!device_drop(desk->store, device, desk->problems)) {
        answer_problems(desk, answer);
        return;
    }
    share_put_out(desk->share, device);
    answer_state(desk, request, 200, answer);
}

void answer_device_drop(Desk *desk, const Request *request, Answer *answer)
{
    put_out(desk, request, request->number[0], answer);
}

void answer_devices_drop(Desk *desk, const Request *request, Answer *answer)
{
    put_out(desk, request, 0, answer);
}

static bool is_name(const char *name)
{
    const size_t length = strlen(name);
    for (const char *c = name; *c; c++) {
        if ((unsigned char)*c < ' ' || *c == 0x7f) {
            return false;
        }
    }
    return length > 0 && length <= DEVICE_NAME_MAX;
}

static void refuse_full(Desk *desk, Answer *answer)
{
    answer_refuse(desk, 409, "device", "too many devices are paired already", "put one out first",
                  answer);
}

// Puts it into the workshop file and among those who are in. Only here does pairing wait for what
// others write: whoever tries codes in vain holds nobody up.
static bool take_in(Desk *desk, Device *device, bool *room)
{
    (void)pthread_mutex_lock(desk->writing);
    const bool kept = device_put(desk->store, device, desk->problems);
    *room = kept && share_let_in(desk->share, device);
    (void)pthread_mutex_unlock(desk->writing);
    return kept;
}

static void let_in(Desk *desk, const Request *request, const char *name, Answer *answer)
{
    enum { LASTS_S = 365 * 24 * 3600 };
    char token[TOKEN_ROOM];
    char cookie[COOKIE_NAME_ROOM];
    Device device = {.name = name};
    bool room = false;
    if (!share_new_token(token, device.digest)) {
        answer_refuse(desk, 500, "share", "the system gives no random numbers", NULL, answer);
    } else if (!take_in(desk, &device, &room)) {
        answer_problems(desk, answer);
    } else if (!room) {
        refuse_full(desk, answer);
    } else {
        share_cookie_name(request->port, cookie);
        Json json = {.text.keep = desk->keep};
        json_begin_object(&json, NULL);
        json_int(&json, "id", device.id);
        json_text(&json, "name", device.name);
        json_end_object(&json);
        answer_json(answer, 201, &json.text);
        answer->cookie =
            arena_text(desk->keep, "%s=%s; Path=/; Max-Age=%d; HttpOnly; SameSite=Strict", cookie,
                       token, LASTS_S);
    }
}

void answer_pair(Desk *desk, const Request *request, Answer *answer)
{
    AskedPairing asked;
    if (!request->guest) {
        answer_refuse(desk, 409, "pair", "this is the workshop's own machine",
                      "it need not be paired", answer);
        return;
    }
    if (!asked_pairing_read(request->body, request->body_bytes, desk->keep, &asked,
                            desk->problems)) {
        answer_problems(desk, answer);
        return;
    }
    if (!is_name(asked.name)) {
        answer_refuse(desk, 422, "name", "is empty, too long or holds control characters",
                      arena_text(desk->keep, "1 to %d bytes on one line", (int)DEVICE_NAME_MAX),
                      answer);
        return;
    }
    switch (share_try(desk->share, asked.code, request->from, steady_ms())) {
    case PAIRING_RIGHT:
        let_in(desk, request, asked.name, answer);
        return;
    case PAIRING_WRONG:
        answer_refuse(desk, 422, "code", "is not the one that is shown, or not any more",
                      "the code that the workshop's machine shows at this moment", answer);
        return;
    case PAIRING_NO_ROOM:
        refuse_full(desk, answer);
        return;
    case PAIRING_TOO_OFTEN:
        answer_refuse(desk, 429, "code", "too many wrong codes were tried",
                      "wait a minute, then use a new code", answer);
        answer->retry_s = TRIES_WITHIN_S;
        return;
    }
}
