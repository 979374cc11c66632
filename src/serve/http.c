// The wire: what comes in by the HTTP library becomes a Request, an Answer goes out.
//
// The library's own threads read, look at heads (head.c), refuse and write. A request that is
// whole is handed to the crew and its connection suspended until the answer is there.
#include "serve/clock.h"
#include "serve/exchange.h"
#include "serve/qr.h"

#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <unistd.h>

enum {
    WIRES = 2,                 // threads of the library
    HANDS_USUAL = 8,           // threads that answer
    CONNECTIONS_MAX = 500,     // at once; more wait until one of them ends
    GUESTS_MAX = 100,          // the same, over each address in the network
    GUESTS_EACH = 32,          // of one address
    HEAD_BYTES_MAX = 32 << 10, // of a request, its address and headers
    SILENCE_S = 30,            // without a byte either way
    FIRST_BODY_BYTES = 16 << 10,
    LOG_PAGES = 1000,     // of the workshop file's log, before they are brought into the file
    LOG_PAGES_MAX = 4096, // that may be left when that was done
};

// When a device was seen last is worth noting, but no reason to refuse what it asks.
static void note_seen(const Exchange *exchange, Desk *desk)
{
    (void)pthread_mutex_lock(&exchange->server->writing);
    const bool noted =
        device_seen(desk->store, exchange->request.device, date_ms(), problems_in(desk->keep));
    (void)noted;
    (void)pthread_mutex_unlock(&exchange->server->writing);
}

// Bringing the log into the file takes as long as some saves together: the library would have one
// save in a hundred wait for it, and those behind it. So it is done once an answer is on its way,
// and nobody else is held up, unless there is no end to it otherwise.
static void tidy(Server *server, Desk *desk)
{
    if (store_tidy(desk->store) > LOG_PAGES_MAX) {
        (void)pthread_mutex_lock(&server->writing);
        (void)store_tidy(desk->store);
        (void)pthread_mutex_unlock(&server->writing);
    }
}

// Who was put out while the request waited is not answered any more. Putting out is a change of the
// workshop file, so that once it is done no other change of that device begins.
static void answer_welcome(const Exchange *exchange, Desk *desk, Answer *answer)
{
    if (head_is_still_welcome(exchange)) {
        route_answer(exchange->route, desk, &exchange->request, answer);
    } else {
        answer_refuse(desk, 403, "request", "this device was put out", NULL, answer);
    }
}

static void answer_on_hand(Task *task, Desk *desk)
{
    Exchange *exchange = (Exchange *)task;
    Server *server = exchange->server;
    Answer answer = {0};
    if (exchange->note_seen) {
        note_seen(exchange, desk);
    }
    bool tidies = false;
    if (exchange->route->writes) {
        (void)pthread_mutex_lock(&server->writing);
        answer_welcome(exchange, desk, &answer);
        (void)pthread_mutex_unlock(&server->writing);
        tidies = store_log_pages(desk->store) >= LOG_PAGES;
    } else {
        answer_welcome(exchange, desk, &answer);
    }
    response_set(exchange, &answer);
    MHD_resume_connection(exchange->connection); // the exchange may be gone from here on
    if (tidies) {
        tidy(server, desk);
    }
}

static bool add_to_body(Exchange *exchange, const char *bytes, size_t count)
{
    Request *request = &exchange->request;
    if (exchange->refusal) {
        return false; // read over
    }
    if (exchange->route->body_max == BODY_NONE ||
        count > exchange->route->body_max - request->body_bytes) {
        return exchange_refuse(exchange, 413, "the body is larger than may be here");
    }
    const size_t needed = request->body_bytes + count + 1;
    if (needed > exchange->room) {
        size_t room = exchange->room ? exchange->room : FIRST_BODY_BYTES;
        while (room < needed) {
            room *= 2;
        }
        char *larger = realloc(exchange->body, room);
        if (!larger) {
            return exchange_refuse(exchange, 503, "there is no memory for the body");
        }
        exchange->body = larger;
        exchange->room = room;
    }
    memcpy(exchange->body + request->body_bytes, bytes, count);
    request->body_bytes += count;
    exchange->body[request->body_bytes] = '\0';
    return true;
}

static enum MHD_Result hand_over(Exchange *exchange)
{
    Server *server = exchange->server;
    exchange->request.body = exchange->body ? exchange->body : "";
    exchange->task.run = answer_on_hand;
    exchange->task.guest = exchange->request.guest;
    exchange->taken = true;
    patience_allow(server->patience, exchange_wait(exchange), FOR_EVER_S);
    // Suspended first: the answer may be there before this returns.
    MHD_suspend_connection(exchange->connection);
    if (!crew_take(server->crew, &exchange->task)) {
        MHD_resume_connection(exchange->connection);
        (void)exchange_refuse(exchange, 503, "too many requests wait already");
    }
    return MHD_YES;
}

static Wait *wait_of(struct MHD_Connection *connection)
{
    const union MHD_ConnectionInfo *info =
        MHD_get_connection_info(connection, MHD_CONNECTION_INFO_SOCKET_CONTEXT);
    return info ? info->socket_context : NULL;
}

Wait *exchange_wait(const Exchange *exchange)
{
    return wait_of(exchange->connection);
}

static enum MHD_Result begin_exchange(const Listener *listener, struct MHD_Connection *connection,
                                      const char *url, const char *method, void **context)
{
    Exchange *exchange = calloc(1, sizeof *exchange);
    if (!exchange) {
        return MHD_NO;
    }
    *context = exchange;
    exchange->listener = listener;
    exchange->server = listener->server;
    exchange->connection = connection;
    exchange->request.path = url;
    patience_allow(listener->server->patience, wait_of(connection), BODY_WAIT_S);
    return head_is_welcome(exchange, method) || head_reads_over(exchange)
               ? MHD_YES
               : response_send_refusal(exchange);
}

// NOLINTNEXTLINE(readability-function-size): the library's signature
static enum MHD_Result on_request(void *context, struct MHD_Connection *connection, const char *url,
                                  const char *method, const char *version, const char *upload,
                                  size_t *upload_bytes, void **exchange_slot)
{
    (void)version;
    Exchange *exchange = *exchange_slot;
    if (!exchange) {
        return begin_exchange(context, connection, url, method, exchange_slot);
    }
    if (*upload_bytes > 0) {
        exchange->received += *upload_bytes;
        if (exchange->refusal && exchange->received > READ_OVER_MAX) {
            return MHD_NO;
        }
        (void)add_to_body(exchange, upload, *upload_bytes);
        *upload_bytes = 0;
        return MHD_YES;
    }
    if (exchange->refusal) {
        return response_send_refusal(exchange);
    }
    return exchange->taken ? response_send(exchange) : hand_over(exchange);
}

static void on_completed(void *context, struct MHD_Connection *connection, void **exchange_slot,
                         enum MHD_RequestTerminationCode why)
{
    const Listener *listener = context;
    Exchange *exchange = *exchange_slot;
    (void)why;
    if (exchange) {
        if (exchange->response) {
            MHD_destroy_response(exchange->response);
        }
        free(exchange->body);
        free(exchange);
        *exchange_slot = NULL;
    }
    patience_allow(listener->server->patience, wait_of(connection), NEXT_WAIT_S);
}

static void on_connection(void *context, struct MHD_Connection *connection, void **wait,
                          enum MHD_ConnectionNotificationCode what)
{
    const Listener *listener = context;
    Patience *patience = listener->server->patience;
    if (what == MHD_CONNECTION_NOTIFY_CLOSED) {
        patience_part(patience, *wait);
        *wait = NULL;
        return;
    }
    const union MHD_ConnectionInfo *info =
        MHD_get_connection_info(connection, MHD_CONNECTION_INFO_CONNECTION_FD);
    *wait = info ? patience_meet(patience, info->connect_fd, listener->place.address) : NULL;
    patience_allow(patience, *wait, HEAD_WAIT_S);
}

// As the library's own, but an escaped NUL stays as it is: it would end the text too early.
static size_t unescape(void *context, struct MHD_Connection *connection, char *text)
{
    (void)context;
    (void)connection;
    return strstr(text, "%00") ? strlen(text) : MHD_http_unescape(text);
}

static void *listen_with(Listener *listener, MHD_socket opened)
{
    const bool guests = listener->place.address != NULL;
    // Not by epoll: the library asks it for changes only, and so never hears of a client that was
    // gone before its first bytes were read. Some hundreds of those kept all others out.
    return MHD_start_daemon(
        MHD_USE_POLL_INTERNAL_THREAD | MHD_ALLOW_SUSPEND_RESUME, 0, NULL, NULL, on_request,
        listener, MHD_OPTION_LISTEN_SOCKET, opened, MHD_OPTION_THREAD_POOL_SIZE, (unsigned)WIRES,
        MHD_OPTION_CONNECTION_LIMIT, (unsigned)(guests ? GUESTS_MAX : CONNECTIONS_MAX),
        MHD_OPTION_PER_IP_CONNECTION_LIMIT, (unsigned)(guests ? GUESTS_EACH : CONNECTIONS_MAX),
        MHD_OPTION_CONNECTION_TIMEOUT, (unsigned)SILENCE_S, MHD_OPTION_CONNECTION_MEMORY_LIMIT,
        (size_t)HEAD_BYTES_MAX, MHD_OPTION_STRICT_FOR_CLIENT, 1, MHD_OPTION_UNESCAPE_CALLBACK,
        unescape, NULL, MHD_OPTION_NOTIFY_COMPLETED, on_completed, listener,
        MHD_OPTION_NOTIFY_CONNECTION, on_connection, listener, MHD_OPTION_END);
}

// The socket is ours, so that its port is known before anybody can ask, and the system's reason
// when there is none. In the network the port is the same.
static bool listen_at(Server *server, const char *address, int *port, Problems *problems)
{
    Listener *listener = &server->listeners[server->listener_count];
    MHD_socket opened = MHD_INVALID_SOCKET;
    if (!network_listen(address ? address : "127.0.0.1", port, &opened, problems)) {
        return false;
    }
    *listener =
        (Listener){.server = server, .place = {address, *port}, .socket = MHD_INVALID_SOCKET};
    listener->daemon = listen_with(listener, opened);
    if (!listener->daemon) {
        (void)close(opened);
        return problems_say(problems, PROBLEM_SYSTEM, "serve", "the system gives no thread");
    }
    server->listener_count++;
    return true;
}

static bool listen_here(Server *server, int wanted, int *port, Problems *problems)
{
    if (wanted != SERVE_PORT_FREE) {
        *port = wanted;
        return listen_at(server, NULL, port, problems);
    }
    *port = SERVE_PORT_USUAL;
    if (listen_at(server, NULL, port, problems_in(problems->keep))) {
        return true;
    }
    *port = 0;
    return listen_at(server, NULL, port, problems);
}

// No new connections from here on; what was asked is still answered. The library's threads may be
// waiting on the socket, so it is closed only when they have ended.
static void stop_listening(Listener *listener)
{
    if (!atomic_exchange(&listener->quiet, true)) {
        listener->socket = MHD_quiesce_daemon(listener->daemon);
        if (listener->socket != MHD_INVALID_SOCKET) {
            (void)shutdown(listener->socket, SHUT_RDWR);
        }
    }
}

static void end_listener(Listener *listener)
{
    MHD_stop_daemon(listener->daemon);
    if (listener->socket != MHD_INVALID_SOCKET) {
        (void)close(listener->socket);
    }
}

static void on_cut(void *context, bool ended)
{
    Server *server = context;
    for (int i = 1; ended && i < server->listener_count; i++) {
        stop_listening(&server->listeners[i]);
    }
    patience_cut_guests(server->patience);
}

// The file has been opened and checked by the crew.
static bool let_devices_in(Server *server, const char *workshop, Problems *problems)
{
    Store *store = store_open(workshop, &(StoreOptions){.trusted = true}, problems);
    Devices devices = {0};
    bool good = store && devices_list(store, problems->keep, &devices, problems);
    for (int i = 0; good && i < devices.count; i++) {
        good = share_let_in(server->share, &devices.items[i]);
    }
    store_close(store);
    return good;
}

static bool start(Server *server, const ServeOptions *options, Problems *problems)
{
    int port = 0;
    server->works = works_begin();
    server->tables = tables_begin();
    server->patience = patience_begin(CONNECTIONS_MAX + GUESTS_MAX * NETWORK_ADDRESSES_MAX);
    // The port is known only when somebody listens, and nobody may before it can be answered.
    server->share = share_begin(&(ShareOptions){&server->network, on_cut, server});
    if (!server->works || !server->tables || !server->patience || !server->share) {
        return problems_say(problems, PROBLEM_SYSTEM, "serve", "there is no memory");
    }
    const CrewOptions crew = {options->workshop, options->hands > 0 ? options->hands : HANDS_USUAL,
                              server->works,     server->tables,
                              server->share,     &server->writing};
    server->crew = crew_begin(&crew, problems);
    bool good = server->crew && let_devices_in(server, options->workshop, problems) &&
                listen_here(server, options->port, &port, problems);
    for (int i = 0; good && i < server->network.count; i++) {
        good = listen_at(server, server->network.addresses[i].text, &port, problems);
    }
    return good;
}

Server *server_start(const ServeOptions *options, Problems *problems)
{
    Server *server = calloc(1, sizeof *server);
    if (!server) {
        (void)problems_say(problems, PROBLEM_SYSTEM, "serve", "there is no memory");
        return NULL;
    }
    (void)pthread_mutex_init(&server->writing, NULL);
    server->network = options->network ? *options->network : (Network){0};
    if (!start(server, options, problems)) {
        server_stop(server);
        return NULL;
    }
    return server;
}

int server_port(const Server *server)
{
    return server->listeners[0].place.port;
}

bool server_invite(Server *server, bool coloured, Text *text)
{
    ShareCode code;
    if (!share_new_code(server->share, steady_ms(), &code)) {
        return false;
    }
    const int port = server_port(server);
    text_add(text, "A phone in the workshop's network can open it at\n");
    for (int i = 0; i < server->network.count; i++) {
        text_add(text, "  http://%s:%d/\n", server->network.addresses[i].text, port);
    }
    text_add(text, "with the code  %s  once, within %d minutes; or by this picture:\n", code.text,
             code.lives_s / 60);
    const char *content = arena_text(text->keep, "http://%s:%d/#%s",
                                     server->network.addresses[0].text, port, code.text);
    return qr_blocks(content, coloured, text);
}

void server_stop(Server *server)
{
    if (!server) {
        return;
    }
    // What was asked is answered first: the library must not end with connections suspended.
    for (int i = 0; i < server->listener_count; i++) {
        stop_listening(&server->listeners[i]);
    }
    crew_stop(server->crew);
    if (server->works) {
        works_stop(server->works);
    }
    // Until here open connections may ask on, and are refused by a crew that takes nothing more.
    for (int i = 0; i < server->listener_count; i++) {
        end_listener(&server->listeners[i]);
    }
    crew_end(server->crew);
    works_end(server->works);
    tables_end(server->tables);
    patience_end(server->patience);
    share_end(server->share);
    (void)pthread_mutex_destroy(&server->writing);
    free(server);
}
