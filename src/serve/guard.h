// Who may ask: only pages that this server sent, at the address that it was asked at.
#pragma once

#include <stdbool.h>

/// What a request says of where it comes from; NULL: the header is not there.
typedef struct Caller {
    const char *host;       ///< Host
    const char *origin;     ///< Origin
    const char *fetch_site; ///< Sec-Fetch-Site
    const char *fetch_mode; ///< Sec-Fetch-Mode
    bool writes;            ///< any method but GET and HEAD
} Caller;

/// Where the server was asked.
typedef struct Place {
    const char *address; ///< of the workshop's network; NULL: loopback, which has several names
    int port;
} Place;

/// NULL when it may ask; else what is wrong, for the answer.
///
/// Method   the server must be named as it is asked: by a loopback name, or by its address in the
///          network, with its port (80 may be left out, RFC 9110); so a foreign name that was led
///          to it (DNS rebinding) is refused. A page of another origin may neither write nor read:
///          browsers say where it came from in Origin (RFC 6454) and Sec-Fetch-Site (W3C Fetch
///          Metadata). A link from elsewhere may be followed to a page. Programs that are no
///          browsers send neither, and may ask.
const char *guard_refuses(const Caller *caller, Place place);
