// The wire: what comes in by the HTTP library becomes a Request, an Answer goes out.
//
// The library's own threads read, look at heads (head.c), refuse and write. A request that is
// whole is handed to the crew and its connection suspended until the answer is there.
#include "serve/exchange.h"

#include <arpa/inet.h>
#include <errno.h>
#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <sys/socket.h>
#include <unistd.h>

enum {
    WIRES = 2,                 // threads of the library
    HANDS_USUAL = 8,           // threads that answer
    CONNECTIONS_MAX = 500,     // at once; more wait until one of them ends
    HEAD_BYTES_MAX = 32 << 10, // of a request, its address and headers
    SILENCE_S = 30,            // without a byte either way
    FIRST_BODY_BYTES = 16 << 10,
};

static void answer_on_hand(Task *task, Desk *desk)
{
    Exchange *exchange = (Exchange *)task;
    Server *server = exchange->server;
    Answer answer = {0};
    if (exchange->route->writes) {
        (void)pthread_mutex_lock(&server->writing);
        route_answer(exchange->route, desk, &exchange->request, &answer);
        (void)pthread_mutex_unlock(&server->writing);
    } else {
        route_answer(exchange->route, desk, &exchange->request, &answer);
    }
    response_set(exchange, &answer);
    MHD_resume_connection(exchange->connection);
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

static enum MHD_Result begin_exchange(Server *server, struct MHD_Connection *connection,
                                      const char *url, const char *method, void **context)
{
    Exchange *exchange = calloc(1, sizeof *exchange);
    if (!exchange) {
        return MHD_NO;
    }
    *context = exchange;
    exchange->server = server;
    exchange->connection = connection;
    exchange->request.path = url;
    patience_allow(server->patience, wait_of(connection), BODY_WAIT_S);
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
        if (exchange->received > READ_OVER_MAX) {
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
    Server *server = context;
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
    patience_allow(server->patience, wait_of(connection), NEXT_WAIT_S);
}

static void on_connection(void *context, struct MHD_Connection *connection, void **wait,
                          enum MHD_ConnectionNotificationCode what)
{
    Server *server = context;
    if (what == MHD_CONNECTION_NOTIFY_CLOSED) {
        patience_part(server->patience, *wait);
        *wait = NULL;
        return;
    }
    const union MHD_ConnectionInfo *info =
        MHD_get_connection_info(connection, MHD_CONNECTION_INFO_CONNECTION_FD);
    *wait = info ? patience_meet(server->patience, info->connect_fd) : NULL;
    patience_allow(server->patience, *wait, HEAD_WAIT_S);
}

// As the library's own, but an escaped NUL stays as it is: it would end the text too early.
static size_t unescape(void *context, struct MHD_Connection *connection, char *text)
{
    (void)context;
    (void)connection;
    return strstr(text, "%00") ? strlen(text) : MHD_http_unescape(text);
}

// The socket is ours, so that its port is known before anybody can ask, and the system's reason
// when there is none.
static bool open_socket(Server *server, int port, MHD_socket *opened, Problems *problems)
{
    struct sockaddr_in address = {.sin_family = AF_INET,
                                  .sin_port = htons((uint16_t)port),
                                  .sin_addr.s_addr = htonl(INADDR_LOOPBACK)};
    socklen_t length = sizeof address;
    const int yes = 1;
    const int made = socket(AF_INET, SOCK_STREAM, 0);
    const bool good = made >= 0 &&
                      setsockopt(made, SOL_SOCKET, SO_REUSEADDR, &yes, sizeof yes) == 0 &&
                      bind(made, (const struct sockaddr *)&address, sizeof address) == 0 &&
                      listen(made, SOMAXCONN) == 0 &&
                      getsockname(made, (struct sockaddr *)&address, &length) == 0;
    if (good) {
        server->port = ntohs(address.sin_port);
        *opened = made;
        return true;
    }
    const char *reason = errno == EADDRINUSE ? "another program listens there already"
                                             : arena_text(problems->keep, "%s", strerror(errno));
    if (made >= 0) {
        (void)close(made);
    }
    return problems_add(problems,
                        (Problem){.kind = PROBLEM_SYSTEM,
                                  .where = arena_text(problems->keep, "127.0.0.1:%d", port),
                                  .found = reason,
                                  .remedy = "choose another with --port; 0 is any that is free"});
}

static struct MHD_Daemon *listen_on(Server *server, MHD_socket opened)
{
    // Not by epoll: the library asks it for changes only, and so never hears of a client that was
    // gone before its first bytes were read. Some hundreds of those kept all others out.
    return MHD_start_daemon(
        MHD_USE_POLL_INTERNAL_THREAD | MHD_ALLOW_SUSPEND_RESUME, 0, NULL, NULL, on_request, server,
        MHD_OPTION_LISTEN_SOCKET, opened, MHD_OPTION_THREAD_POOL_SIZE, (unsigned)WIRES,
        MHD_OPTION_CONNECTION_LIMIT, (unsigned)CONNECTIONS_MAX, MHD_OPTION_CONNECTION_TIMEOUT,
        (unsigned)SILENCE_S, MHD_OPTION_CONNECTION_MEMORY_LIMIT, (size_t)HEAD_BYTES_MAX,
        MHD_OPTION_STRICT_FOR_CLIENT, 1, MHD_OPTION_UNESCAPE_CALLBACK, unescape, NULL,
        MHD_OPTION_NOTIFY_COMPLETED, on_completed, server, MHD_OPTION_NOTIFY_CONNECTION,
        on_connection, server, MHD_OPTION_END);
}

static bool start(Server *server, const ServeOptions *options, Problems *problems)
{
    server->works = works_begin();
    server->tables = tables_begin();
    if (!server->works || !server->tables) {
        return problems_say(problems, PROBLEM_SYSTEM, "serve", "there is no memory");
    }
    const CrewOptions crew = {options->workshop, options->hands > 0 ? options->hands : HANDS_USUAL,
                              server->works, server->tables};
    MHD_socket opened = MHD_INVALID_SOCKET;
    server->crew = crew_begin(&crew, problems);
    if (!server->crew || !open_socket(server, options->port, &opened, problems)) {
        return false;
    }
    server->patience = patience_begin(CONNECTIONS_MAX);
    server->daemon = server->patience ? listen_on(server, opened) : NULL;
    if (!server->daemon) {
        (void)close(opened);
        return problems_say(problems, PROBLEM_SYSTEM, "serve", "the system gives no thread");
    }
    return true;
}

Server *server_start(const ServeOptions *options, Problems *problems)
{
    Server *server = calloc(1, sizeof *server);
    if (!server) {
        (void)problems_say(problems, PROBLEM_SYSTEM, "serve", "there is no memory");
        return NULL;
    }
    (void)pthread_mutex_init(&server->writing, NULL);
    if (!start(server, options, problems)) {
        server_stop(server);
        return NULL;
    }
    return server;
}

int server_port(const Server *server)
{
    return server->port;
}

void server_stop(Server *server)
{
    if (!server) {
        return;
    }
    // What was asked is answered first: the library must not end with connections suspended.
    if (server->daemon) {
        const MHD_socket socket = MHD_quiesce_daemon(server->daemon);
        if (socket != MHD_INVALID_SOCKET) {
            (void)close(socket);
        }
    }
    crew_end(server->crew);
    if (server->works) {
        works_stop(server->works);
    }
    if (server->daemon) {
        MHD_stop_daemon(server->daemon);
    }
    works_end(server->works);
    tables_end(server->tables);
    patience_end(server->patience);
    (void)pthread_mutex_destroy(&server->writing);
    free(server);
}
