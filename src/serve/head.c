// The head of a request: what must be in order before anybody looks at the rest.
#include "serve/clock.h"
#include "serve/exchange.h"

#include <arpa/inet.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

enum { LENGTH_DIGITS_MAX = 12 };

bool exchange_refuse(Exchange *exchange, int status, const char *why)
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
        (void)exchange_refuse(exchange, 400, "the address has too many parameters");
        return MHD_NO;
    }
    if (!text_is_utf8(key) || (value && !text_is_utf8(value))) {
        (void)exchange_refuse(exchange, 400, "the address holds bytes that are no UTF-8 text");
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

// A media type, without its parameters, that a list has.
static bool is_of_type(const char *given, const char *types)
{
    while (given && *types) {
        const size_t length = strcspn(types, ",");
        if (strncasecmp(given, types, length) == 0 && strchr("; \t", given[length])) {
            return true;
        }
        types += length;
        types += strspn(types, ", ");
    }
    return false;
}

static uint32_t address_of(const Exchange *exchange)
{
    const union MHD_ConnectionInfo *info =
        MHD_get_connection_info(exchange->connection, MHD_CONNECTION_INFO_CLIENT_ADDRESS);
    struct sockaddr_in from = {0};
    if (info && info->client_addr && info->client_addr->sa_family == AF_INET) {
        memcpy(&from, info->client_addr, sizeof from);
    }
    return ntohl(from.sin_addr.s_addr);
}

// Over the network only devices that were let in see more than the door, and none of them who
// else was.
static bool guest_is_welcome(Exchange *exchange)
{
    Request *request = &exchange->request;
    const Place place = exchange->listener->place;
    if (!place.address) {
        return true;
    }
    char name[COOKIE_NAME_ROOM];
    share_cookie_name(place.port, name);
    Share *share = exchange->server->share;
    exchange->token = MHD_lookup_connection_value(exchange->connection, MHD_COOKIE_KIND, name);
    request->from = address_of(exchange);
    request->guest = true;
    request->device = share_whose(share, exchange->token, date_ms(), &exchange->note_seen);
    if (!share_is_open(share)) {
        return exchange_refuse(exchange, 403, "the workshop is not shared any more");
    }
    if (exchange->route->who == FOR_THE_MACHINE) {
        return exchange_refuse(exchange, 403, "only at the workshop's own machine");
    }
    return request->device > 0 || exchange->route->who == FOR_THE_DOOR ||
           exchange_refuse(exchange, 403, "this device is not paired with the workshop");
}

bool head_is_still_welcome(const Exchange *exchange)
{
    const Request *request = &exchange->request;
    Share *share = exchange->server->share;
    return request->device == 0 || (share_is_open(share) && share_whose(share, exchange->token, 0,
                                                                        NULL) == request->device);
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
        return exchange_refuse(exchange, 400, "the request says twice how long its body is");
    }
    if (coding && strcasecmp(coding, "chunked") != 0) {
        return exchange_refuse(exchange, 400, "the body comes in a coding other than chunked");
    }
    if (header(exchange, "Content-Encoding")) {
        return exchange_refuse(exchange, 415, "the body is packed; send it as it is");
    }
    const bool comes = coding || (length && strcmp(length, "0") != 0);
    if (!comes) {
        return true;
    }
    if (route->body_max == BODY_NONE) {
        return exchange_refuse(exchange, 413, "a body where none is taken");
    }
    if (!is_of_type(header(exchange, "Content-Type"), route->takes)) {
        return exchange_refuse(exchange, 415,
                               "the body is of another media type than is taken here");
    }
    if (length &&
        (strlen(length) > LENGTH_DIGITS_MAX || strtoull(length, NULL, 10) > route->body_max)) {
        return exchange_refuse(exchange, 413, "the body is larger than may be here");
    }
    return true;
}

bool head_is_welcome(Exchange *exchange, const char *method)
{
    Request *request = &exchange->request;
    const bool known = find_method(method, exchange);
    exchange->caller = (Caller){.host = header(exchange, "Host"),
                                .origin = header(exchange, "Origin"),
                                .fetch_site = header(exchange, "Sec-Fetch-Site"),
                                .fetch_mode = header(exchange, "Sec-Fetch-Mode"),
                                .writes = !known || request->method != METHOD_GET};
    request->port = exchange->listener->place.port;
    const char *stranger = guard_refuses(&exchange->caller, exchange->listener->place);
    if (is_repeated(exchange, "Host") || is_repeated(exchange, "Origin")) {
        return exchange_refuse(exchange, 400, "the request says twice where it goes or comes from");
    }
    if (stranger) {
        return exchange_refuse(exchange, 403, stranger);
    }
    request->if_match = header(exchange, "If-Match");
    request->if_none_match = header(exchange, "If-None-Match");
    (void)MHD_get_connection_values(exchange->connection, MHD_GET_ARGUMENT_KIND, add_query,
                                    exchange);
    if (exchange->refusal) {
        return false;
    }
    if (!text_is_utf8(request->path) || (request->if_match && !text_is_utf8(request->if_match))) {
        return exchange_refuse(exchange, 400,
                               "the request's head holds bytes that are no UTF-8 text");
    }
    int others = 0;
    exchange->route = route_find(request, &others);
    if (!known || !exchange->route) {
        const bool is_path = exchange->route || others > 0;
        return exchange_refuse(exchange, is_path ? 405 : 404,
                               is_path ? "the address is known, but not with this method"
                                       : "there is nothing at this address");
    }
    return guest_is_welcome(exchange) && body_is_welcome(exchange);
}

bool head_reads_over(const Exchange *exchange)
{
    const char *length = header(exchange, "Content-Length");
    return header(exchange, "Transfer-Encoding") ||
           (length && strlen(length) <= LENGTH_DIGITS_MAX &&
            strtoull(length, NULL, 10) <= READ_OVER_MAX);
}
