// Devices that were let into the workshop over its network. Of the token that each has, only a
// digest is kept, so that nobody who reads the file can come in with it. They are no part of any
// job: exports leave them out.
#pragma once

#include "base/sha256.h"
#include "store/store.h"

enum { DEVICE_NAME_MAX = 60, DEVICES_MAX = 32 };

typedef struct Device {
    int64_t id;
    const char *name; ///< 1 to DEVICE_NAME_MAX bytes
    uint8_t digest[SHA256_BYTES];
    int64_t paired_ms;
    int64_t seen_ms; ///< when it last asked for anything, to the minute
} Device;

typedef struct Devices {
    Device *items; ///< in the order of pairing
    int count;
} Devices;

MUST_CHECK bool devices_list(Store *store, Arena *keep, Devices *devices, Problems *problems);

/// Lets a device in, from now on; its id and times are filled in.
/// Errors   DEVICES_MAX are in already (a conflict).
MUST_CHECK bool device_put(Store *store, Device *device, Problems *problems);

/// It has asked for something at this moment.
MUST_CHECK bool device_seen(Store *store, int64_t id, int64_t seen_ms, Problems *problems);

/// Takes the devices, to the last byte, out of another file that is a copy of this one. False: the
/// store knows why.
MUST_CHECK bool devices_left_out(Store *store, const char *copy);

/// Puts a device out for good; 0: all. Errors   no such device.
MUST_CHECK bool device_drop(Store *store, int64_t id, Problems *problems);
