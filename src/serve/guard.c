#include "serve/guard.h"

#include <stdio.h>
#include <string.h>
#include <strings.h>

static const char *const loopback_names[] = {"127.0.0.1", "localhost", "[::1]"};
enum {
    LOOPBACK_NAMES = sizeof loopback_names / sizeof loopback_names[0],
    NAME_ROOM = 64,
    HTTP_PORT = 80, // browsers leave it out, in Host and in Origin
};

static bool is_our_host(const char *host, Place place)
{
    const char *const *names = place.address ? &place.address : loopback_names;
    const int count = place.address ? 1 : LOOPBACK_NAMES;
    for (int i = 0; i < count; i++) {
        char ours[NAME_ROOM];
        (void)snprintf(ours, sizeof ours, "%s:%d", names[i], place.port);
        if (strcasecmp(host, ours) == 0 ||
            (place.port == HTTP_PORT && strcasecmp(host, names[i]) == 0)) {
            return true;
        }
    }
    return false;
}

static bool is_own_origin(const char *origin, const char *host)
{
    static const char scheme[] = "http://";
    const size_t length = sizeof scheme - 1;
    return strncasecmp(origin, scheme, length) == 0 && strcasecmp(origin + length, host) == 0;
}

const char *guard_refuses(const Caller *caller, Place place)
{
    if (!caller->host || !is_our_host(caller->host, place)) {
        return "the request names another server than this one";
    }
    if (caller->origin && !is_own_origin(caller->origin, caller->host)) {
        return "the request comes from a page of another server";
    }
    const char *site = caller->fetch_site;
    const bool own = !site || strcmp(site, "same-origin") == 0 || strcmp(site, "none") == 0;
    const bool followed =
        !caller->writes && caller->fetch_mode && strcmp(caller->fetch_mode, "navigate") == 0;
    return own || followed ? NULL : "the request comes from a page of another server";
}
