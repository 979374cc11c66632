// The server of the workshop's pages: a small HTTP/1.1 server for one workshop file.
//
// It answers pages and a JSON API (src/serve/openapi.json, docs/server.md) on the loopback
// address. Every answer is made by plan and the workshop file; here are only the wire, its
// limits and who may ask. Only this module knows the HTTP library (libmicrohttpd).
#pragma once

#include "base/text.h"
#include "serve/network.h"

/// SERVE_PORT_FREE: the usual one, or any that is free when another program has that.
enum { SERVE_PORT_USUAL = 7420, SERVE_PORT_FREE = -1 };

typedef struct ServeOptions {
    const char *workshop;   ///< the workshop file; made when absent, in a folder that is there
    int port;               ///< 0: any that is free; or SERVE_PORT_FREE
    int hands;              ///< threads that answer; 0: the usual
    const Network *network; ///< where it is shared as well; NULL: nowhere
} ServeOptions;

typedef struct Server Server;

/// Opens and checks the workshop file, and begins to listen on 127.0.0.1.
///
/// Errors   NULL: as store_open(); the port is taken; the system refuses.
MUST_CHECK Server *server_start(const ServeOptions *options, Problems *problems);

/// The port that it listens on.
int server_port(const Server *server);

/// Makes a new code for a device to be let in by, and writes what to do with it: addresses, the
/// code, and the first address with it as a QR code. `coloured` as qr_blocks().
/// Errors   false: it is not shared, or not any more; the system refuses.
MUST_CHECK bool server_invite(Server *server, bool coloured, Text *text);

/// Answers what was asked, then ends. Accepts NULL.
void server_stop(Server *server);
