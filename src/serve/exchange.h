// One request on its way, from its head to the end of its answer. Private to the files that know
// the HTTP library: http.c, head.c, response.c.
#pragma once

#include "serve/crew.h"
#include "serve/guard.h"
#include "serve/patience.h"
#include "serve/routes.h"
#include "serve/serve.h"
#include "serve/share.h"
#include "serve/tables.h"
#include "serve/work.h"

#include <microhttpd.h>

#include <pthread.h>
#include <stdatomic.h>

/// One address where the server listens, with threads of the library that serve it.
typedef struct Listener {
    Server *server;
    Place place;
    struct MHD_Daemon *daemon;
    atomic_bool quiet; ///< it takes no more connections
    MHD_socket socket; ///< where it listened, once it is quiet; MHD_INVALID_SOCKET before
} Listener;

enum { LISTENERS_MAX = 1 + NETWORK_ADDRESSES_MAX };

struct Server {
    Listener listeners[LISTENERS_MAX]; ///< the first is that of this machine's own browsers
    int listener_count;
    Network network;
    Share *share;
    Crew *crew;
    Works *works;
    Tables *tables;
    Patience *patience;
    pthread_mutex_t writing; ///< one change of the workshop file at a time
};

typedef struct Exchange {
    Task task; ///< first, so that a task is an exchange
    const Listener *listener;
    Server *server;
    struct MHD_Connection *connection;
    const Route *route;
    Request request;
    Caller caller;
    const char *token; ///< of the device that asks, or NULL
    bool note_seen;    ///< the device's last time should be written down
    char *body;
    size_t room;
    size_t received;     ///< of the body, read over or not
    int refusal;         ///< status, when no answer was made for it
    const char *refused; ///< why
    bool taken;          ///< by the crew
    bool streams;        ///< events, for as long as there are any
    struct MHD_Response *response;
    unsigned status;
} Exchange;

enum {
    /// A refused body up to here is read over, so that a browser shows the refusal and not a
    /// broken connection; whoever sends more is cut off.
    READ_OVER_MAX = 32 << 20,
};

/// Marks it as refused; `why` is a text of ours that needs no escapes. Returns false.
bool exchange_refuse(Exchange *exchange, int status, const char *why);

/// The patience with its connection; NULL: none is kept.
Wait *exchange_wait(const Exchange *exchange);

// head.c

/// Everything that the head alone tells: who asks, for what, with which body. False: refused.
bool head_is_welcome(Exchange *exchange, const char *method);

/// False: the device was let in when it asked, but has been put out meanwhile, or sharing ended.
bool head_is_still_welcome(const Exchange *exchange);

/// Whether the body of a refused request is read before the refusal is sent. The library closes
/// the connection behind an answer that comes before the body.
bool head_reads_over(const Exchange *exchange);

// response.c

/// Makes the response; without memory there is none, and the connection is closed.
void response_set(Exchange *exchange, const Answer *answer);

/// Sends what was made.
enum MHD_Result response_send(Exchange *exchange);

/// Makes and sends a refusal. It needs nobody's desk, so that it can always be made.
enum MHD_Result response_send_refusal(Exchange *exchange);
