// The wire: what comes in by the HTTP library becomes a Request, an Answer goes out.
//
// The library's own threads only read and write sockets. A request that is whole is handed to
// the crew and its connection suspended until the answer is there.
#include "serve/crew.h"
#include "serve/guard.h"
#include "serve/patience.h"
#include "serve/routes.h"
#include "serve/serve.h"
#include "serve/stream.h"
#include "serve/tables.h"

#include <microhttpd.h>

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
    WIRES = 2,                 // threads that read and write sockets
    HANDS_USUAL = 8,           // threads that answer
    CONNECTIONS_MAX = 500,     // at once; more wait until one of them ends
    HEAD_BYTES_MAX = 32 << 10, // of a request, its address and headers
    SILENCE_S = 30,            // without a byte either way
    FIRST_BODY_BYTES = 16 << 10,
    // A refused body up to here is read over, so that a browser shows the refusal and not a
    // broken connection; whoever sends more is cut off.
    READ_OVER_MAX = 32 << 20,
    LENGTH_DIGITS_MAX = 12,
};

struct Server {
    struct MHD_Daemon *daemon;
    Crew *crew;
    Works *works;
    Tables *tables;
    Patience *patience;
    pthread_mutex_t writing; // one change of the workshop file at a time
    int port;
};

// One request on its way, from its head to the end of its answer.
typedef struct Exchange {
    Task task; // first, so that a task is an exchange
    Server *server;
    struct MHD_Connection *connection;
    const Route *route;
    Request request;
    Caller caller;
    char *body;
    size_t room;
    size_t received;     // of the body, read over or not
    int refusal;         // status, when it is refused before anybody looks at it
    const char *refused; // why
    bool taken;          // by the crew
    bool streams;        // events, for as long as there are any
    struct MHD_Response *response;
    unsigned status;
} Exchange;

static const char policy[] =
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; "
    "connect-src 'self'; font-src 'self'; manifest-src 'self'; base-uri 'none'; "
    "form-action 'none'; frame-ancestors 'none'";

static void add_header(struct MHD_Response *response, const char *name, const char *value)
{
    if (value) {
        (void)MHD_add_response_header(response, name, value);
    }
}

static void add_headers(struct MHD_Response *response, const Answer *answer)
{
    char seconds[16];
    add_header(response, "Content-Type", answer->type);
    add_header(response, "ETag", answer->etag);
    add_header(response, "Location", answer->location);
    add_header(response, "Content-Disposition", answer->disposition);
    add_header(response, "Allow", answer->allow);
    if (answer->retry_s > 0) {
        (void)snprintf(seconds, sizeof seconds, "%d", answer->retry_s);
        add_header(response, "Retry-After", seconds);
    }
    // What carries a tag is asked for again each time; what does not is not kept at all.
    const char *cached = answer->etag ? "no-cache" : "no-store";
    add_header(response, "Cache-Control",
               answer->lasting ? "private, max-age=31536000, immutable" : cached);
    add_header(response, "Content-Security-Policy", policy);
    add_header(response, "X-Content-Type-Options", "nosniff");
    add_header(response, "Referrer-Policy", "no-referrer");
    add_header(response, "Cross-Origin-Resource-Policy", "same-origin");
    add_header(response, "Cross-Origin-Opener-Policy", "same-origin");
}

static void set_answer(Exchange *exchange, const Answer *answer)
{
    // The copy is the library's; it frees it once it is sent.
    void *bytes = malloc(answer->count + 1);
    if (!bytes) {
        return; // without a response the connection is closed
    }
    if (answer->count > 0) {
        memcpy(bytes, answer->bytes, answer->count);
    }
    exchange->response =
        MHD_create_response_from_buffer(answer->count, bytes, MHD_RESPMEM_MUST_FREE);
    if (!exchange->response) {
        free(bytes);
        return;
    }
    add_headers(exchange->response, answer);
    exchange->status = (unsigned)answer->status;
}

static void set_stream(Exchange *exchange, const Answer *answer)
{
    exchange->response =
        stream_response(exchange->server->works, answer->watched, exchange->connection);
    if (!exchange->response) {
        exchange->refusal = 503;
        exchange->refused = "too many watch already";
        return;
    }
    add_headers(exchange->response, answer);
    exchange->status = (unsigned)answer->status;
    exchange->streams = true;
}

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
    if (answer.watched > 0) {
        set_stream(exchange, &answer);
    } else {
        set_answer(exchange, &answer);
    }
    MHD_resume_connection(exchange->connection);
}

static Wait *wait_of(struct MHD_Connection *connection)
{
    const union MHD_ConnectionInfo *info =
        MHD_get_connection_info(connection, MHD_CONNECTION_INFO_SOCKET_CONTEXT);
    return info ? info->socket_context : NULL;
}

static bool refuse(Exchange *exchange, int status, const char *why)
{
    exchange->refusal = status;
    exchange->refused = why;
    return false;
}

static enum MHD_Result add_query(void *context, enum MHD_ValueKind kind, const char *key,
                                 const char *value)
{
    (void)kind;
    Exchange *exchange = context;
    Request *request = &exchange->request;
    if (request->query_count == QUERY_MAX) {
        (void)refuse(exchange, 400, "the address has too many parameters");
        return MHD_NO;
    }
    if (!text_is_utf8(key) || (value && !text_is_utf8(value))) {
        (void)refuse(exchange, 400, "the address holds bytes that are no UTF-8 text");
        return MHD_NO;
    }
    request->query[request->query_count++] = (QueryPair){key, value ? value : ""};
    return MHD_YES;
}

static bool find_method(const char *name, Exchange *exchange)
{
    const bool head = strcmp(name, "HEAD") == 0; // a GET whose body the library leaves out
    for (int m = 0; m < METHOD_COUNT; m++) {
        if (strcmp(head ? "GET" : name, method_names[m]) == 0) {
            exchange->request.method = (Method)m;
            return true;
        }
    }
    return false;
}

static const char *header(const Exchange *exchange, const char *name)
{
    return MHD_lookup_connection_value(exchange->connection, MHD_HEADER_KIND, name);
}

typedef struct Counted {
    const char *name;
    int count;
} Counted;

static enum MHD_Result count_header(void *context, enum MHD_ValueKind kind, const char *key,
                                    const char *value)
{
    (void)kind;
    (void)value;
    Counted *counted = context;
    counted->count += strcasecmp(key, counted->name) == 0;
    return MHD_YES;
}

static bool is_repeated(const Exchange *exchange, const char *name)
{
    Counted counted = {name, 0};
    (void)MHD_get_connection_values(exchange->connection, MHD_HEADER_KIND, count_header, &counted);
    return counted.count > 1;
}

// A media type without its parameters.
static bool is_of_type(const char *given, const char *type)
{
    const size_t length = strlen(type);
    return given && strncasecmp(given, type, length) == 0 && strchr("; \t", given[length]);
}

// What the head says of the body. Two lengths, or a length beside chunks, are how requests are
// smuggled past somebody else's reading of them.
static bool body_is_welcome(Exchange *exchange)
{
    const char *length = header(exchange, "Content-Length");
    const char *coding = header(exchange, "Transfer-Encoding");
    const Route *route = exchange->route;
    if (is_repeated(exchange, "Content-Length") || is_repeated(exchange, "Transfer-Encoding") ||
        (length && coding)) {
        return refuse(exchange, 400, "the request says twice how long its body is");
    }
    if (coding && strcasecmp(coding, "chunked") != 0) {
        return refuse(exchange, 400, "the body comes in a coding other than chunked");
    }
    if (header(exchange, "Content-Encoding")) {
        return refuse(exchange, 415, "the body is packed; send it as it is");
    }
    const bool comes = coding || (length && strcmp(length, "0") != 0);
    if (!comes) {
        return true;
    }
    if (route->body_max == BODY_NONE) {
        return refuse(exchange, 413, "a body where none is taken");
    }
    if (!is_of_type(header(exchange, "Content-Type"), route->takes)) {
        return refuse(exchange, 415, "the body is of another media type than application/json");
    }
    if (length &&
        (strlen(length) > LENGTH_DIGITS_MAX || strtoull(length, NULL, 10) > route->body_max)) {
        return refuse(exchange, 413, "the body is larger than may be here");
    }
    return true;
}

// Everything that the head alone tells. False: refused.
static bool look_at_head(Exchange *exchange, const char *method)
{
    Request *request = &exchange->request;
    const bool known = find_method(method, exchange);
    exchange->caller = (Caller){.host = header(exchange, "Host"),
                                .origin = header(exchange, "Origin"),
                                .fetch_site = header(exchange, "Sec-Fetch-Site"),
                                .fetch_mode = header(exchange, "Sec-Fetch-Mode"),
                                .writes = !known || request->method != METHOD_GET};
    const char *stranger = guard_refuses(&exchange->caller, exchange->server->port);
    if (is_repeated(exchange, "Host") || is_repeated(exchange, "Origin")) {
        return refuse(exchange, 400, "the request says twice where it goes or comes from");
    }
    if (stranger) {
        return refuse(exchange, 403, stranger);
    }
    request->if_match = header(exchange, "If-Match");
    request->if_none_match = header(exchange, "If-None-Match");
    (void)MHD_get_connection_values(exchange->connection, MHD_GET_ARGUMENT_KIND, add_query,
                                    exchange);
    if (exchange->refusal) {
        return false;
    }
    int others = 0;
    exchange->route = route_find(request, &others);
    if (!known || !exchange->route) {
        const bool is_path = exchange->route || others > 0;
        return refuse(exchange, is_path ? 405 : 404,
                      is_path ? "the address is known, but not with this method"
                              : "there is nothing at this address");
    }
    return body_is_welcome(exchange);
}

static bool add_to_body(Exchange *exchange, const char *bytes, size_t count)
{
    Request *request = &exchange->request;
    if (exchange->refusal) {
        return false; // read over
    }
    if (exchange->route->body_max == BODY_NONE ||
        count > exchange->route->body_max - request->body_bytes) {
        return refuse(exchange, 413, "the body is larger than may be here");
    }
    const size_t needed = request->body_bytes + count + 1;
    if (needed > exchange->room) {
        size_t room = exchange->room ? exchange->room : FIRST_BODY_BYTES;
        while (room < needed) {
            room *= 2;
        }
        char *larger = realloc(exchange->body, room);
        if (!larger) {
            return refuse(exchange, 503, "there is no memory for the body");
        }
        exchange->body = larger;
        exchange->room = room;
    }
    memcpy(exchange->body + request->body_bytes, bytes, count);
    request->body_bytes += count;
    exchange->body[request->body_bytes] = '\0';
    return true;
}

static enum MHD_Result send_now(Exchange *exchange)
{
    if (!exchange->response) {
        return MHD_NO;
    }
    patience_allow(exchange->server->patience, wait_of(exchange->connection),
                   exchange->streams ? FOR_EVER_S : ANSWER_WAIT_S);
    return MHD_queue_response(exchange->connection, exchange->status, exchange->response);
}

// A refusal that needs nobody's desk, so that it can always be made. `why` is a text of ours
// that needs no escapes.
static enum MHD_Result send_refusal(Exchange *exchange)
{
    char bytes[512];
    char methods[METHODS_ROOM] = "";
    const int status = exchange->refusal;
    const char *why = exchange->refused;
    const int count = snprintf(bytes, sizeof bytes,
                               "{\n  \"title\": \"%s\",\n  \"status\": %d,\n  \"detail\": \"%s\",\n"
                               "  \"problems\": [\n    {\n      \"kind\": \"%s\",\n"
                               "      \"where\": \"request\",\n      \"found\": \"%s\",\n"
                               "      \"allowed\": null,\n      \"remedy\": null\n    }\n  ]\n}\n",
                               status_title(status), status, why, status_kind(status), why);
    if (status == 405) {
        route_methods(exchange->request.path, methods);
    }
    const Answer answer = {.status = status,
                           .type = "application/problem+json",
                           .bytes = bytes,
                           .count = (size_t)count,
                           .allow = *methods ? methods : NULL,
                           .retry_s = status == 503 ? 1 : 0};
    set_answer(exchange, &answer);
    return send_now(exchange);
}

static enum MHD_Result hand_over(Exchange *exchange)
{
    Server *server = exchange->server;
    exchange->request.body = exchange->body ? exchange->body : "";
    exchange->task.run = answer_on_hand;
    exchange->taken = true;
    patience_allow(server->patience, wait_of(exchange->connection), FOR_EVER_S);
    // Suspended first: the answer may be there before this returns.
    MHD_suspend_connection(exchange->connection);
    if (!crew_take(server->crew, &exchange->task)) {
        MHD_resume_connection(exchange->connection);
        (void)refuse(exchange, 503, "too many requests wait already");
    }
    return MHD_YES;
}

// Whether the body of a refused request is read before the refusal is sent. The library closes
// the connection behind an answer that comes before the body.
static bool reads_over(const Exchange *exchange)
{
    const char *length = header(exchange, "Content-Length");
    return header(exchange, "Transfer-Encoding") ||
           (length && strlen(length) <= LENGTH_DIGITS_MAX &&
            strtoull(length, NULL, 10) <= READ_OVER_MAX);
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
    return look_at_head(exchange, method) || reads_over(exchange) ? MHD_YES
                                                                  : send_refusal(exchange);
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
        return send_refusal(exchange);
    }
    return exchange->taken ? send_now(exchange) : hand_over(exchange);
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
