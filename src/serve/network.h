// The workshop's own network: which addresses of this machine lie in it, and sockets there.
#pragma once

#include "base/problem.h"

enum { NETWORK_ADDRESSES_MAX = 8, ADDRESS_ROOM = 16 };

typedef struct NetworkAddress {
    char text[ADDRESS_ROOM]; ///< `192.168.1.20`
} NetworkAddress;

typedef struct Network {
    NetworkAddress addresses[NETWORK_ADDRESSES_MAX];
    int count;
} Network;

/// Whether an IPv4 address is one that is never reached from the Internet: 10/8, 172.16/12 and
/// 192.168/16 (RFC 1918), 169.254/16 (RFC 3927), or 127/8 but for 127.0.0.1 itself, which is
/// open anyway.
bool network_is_private(const char *address);

/// All private addresses of this machine, none of 127/8.
/// Errors   there are none; the system refuses.
MUST_CHECK bool network_find(Network *network, Problems *problems);

/// A socket that listens at an address; `port` 0: any that is free, which *port then is.
/// Errors   the port is taken, or the system's reasons.
MUST_CHECK bool network_listen(const char *address, int *port, int *opened, Problems *problems);
