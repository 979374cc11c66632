// Answers and refusals on their way out.
#include "serve/exchange.h"
#include "serve/refusal.h"
#include "serve/stream.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

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
    add_header(response, "Set-Cookie", answer->cookie);
    if (answer->retry_s > 0) {
        (void)snprintf(seconds, sizeof seconds, "%d", answer->retry_s);
        add_header(response, "Retry-After", seconds);
    }
    // What carries a tag is asked for again each time; what does not is not kept at all.
    const char *cached = answer->etag ? "no-cache" : "no-store";
    add_header(response, "Cache-Control",
               answer->lasting ? "private, max-age=31536000, immutable" : cached);
    // A browser shows a PDF with pages of its own, which our pages' rules would stop.
    const bool is_pdf = answer->type && strcmp(answer->type, "application/pdf") == 0;
    add_header(response, "Content-Security-Policy", is_pdf ? "frame-ancestors 'none'" : policy);
    add_header(response, "X-Content-Type-Options", "nosniff");
    add_header(response, "Referrer-Policy", "no-referrer");
    add_header(response, "Cross-Origin-Resource-Policy", "same-origin");
    add_header(response, "Cross-Origin-Opener-Policy", "same-origin");
}

static void set_bytes(Exchange *exchange, const Answer *answer)
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

// The file is the library's; it closes it once it is sent.
static void set_file(Exchange *exchange, const Answer *answer)
{
    const int file = answer->file - 1;
    struct stat about;
    if (fstat(file, &about) == 0) {
        exchange->response = MHD_create_response_from_fd64((uint64_t)about.st_size, file);
    }
    if (!exchange->response) {
        (void)close(file);
        return;
    }
    add_headers(exchange->response, answer);
    exchange->status = (unsigned)answer->status;
}

void response_set(Exchange *exchange, const Answer *answer)
{
    if (answer->watched > 0) {
        set_stream(exchange, answer);
    } else if (answer->file > 0) {
        set_file(exchange, answer);
    } else {
        set_bytes(exchange, answer);
    }
}

enum MHD_Result response_send(Exchange *exchange)
{
    if (!exchange->response) {
        return MHD_NO;
    }
    patience_allow(exchange->server->patience, exchange_wait(exchange),
                   exchange->streams ? FOR_EVER_S : ANSWER_WAIT_S);
    return MHD_queue_response(exchange->connection, exchange->status, exchange->response);
}

enum MHD_Result response_send_refusal(Exchange *exchange)
{
    char bytes[512];
    char methods[METHODS_ROOM] = "";
    const int status = exchange->refusal;
    const char *why = exchange->refused;
    const int count =
        snprintf(bytes, sizeof bytes,
                 "{\n  \"title\": \"%s\",\n  \"status\": %d,\n  \"detail\": \"%s\",\n"
                 "  \"problems\": [\n    {\n      \"kind\": \"%s\",\n"
                 "      \"where\": \"request\",\n      \"found\": \"%s\",\n"
                 "      \"allowed\": null,\n      \"remedy\": null\n    }\n  ]\n}\n",
                 status_title(status), status, why, plan_problem_kind(status_kind(status)), why);
    if (status == 405) {
        route_methods(exchange->request.path, methods);
    }
    const Answer answer = {.status = status,
                           .type = "application/problem+json",
                           .bytes = bytes,
                           .count = (size_t)count,
                           .allow = *methods ? methods : NULL,
                           .retry_s = status == 503 ? 1 : 0};
    set_bytes(exchange, &answer);
    return response_send(exchange);
}
