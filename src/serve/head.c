// The head of a request: what must be in order before anybody looks at the rest.
#include "serve/exchange.h"

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
                               "the body is of another media type than application/json");
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
    const char *stranger = guard_refuses(&exchange->caller, exchange->server->port);
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
    int others = 0;
    exchange->route = route_find(request, &others);
    if (!known || !exchange->route) {
        const bool is_path = exchange->route || others > 0;
        return exchange_refuse(exchange, is_path ? 405 : 404,
                               is_path ? "the address is known, but not with this method"
                                       : "there is nothing at this address");
    }
    return body_is_welcome(exchange);
}

bool head_reads_over(const Exchange *exchange)
{
    const char *length = header(exchange, "Content-Length");
    return header(exchange, "Transfer-Encoding") ||
           (length && strlen(length) <= LENGTH_DIGITS_MAX &&
            strtoull(length, NULL, 10) <= READ_OVER_MAX);
}
