// The table of routes: method, pattern, who answers. src/serve/openapi.json describes each.
#pragma once

#include "job/asked_pairing.h"
#include "serve/request.h"

enum {
    BODY_NONE = 0,
    BODY_DOCUMENT_MAX = 8 << 20,                ///< a job
    BODY_LAYOUT_MAX = 1 << 20,                  ///< placements, ticks, a line drawn by hand
    BODY_PICTURE_MAX = 16 << 20,                ///< a picture to trace
    BODY_PAIRING_MAX = ASKED_PAIRING_BYTES_MAX, ///< a code and a name
    BODY_WORKSHOP_MAX = 30 << 20,               ///< an export; larger ones go by the command
};

/// Who may ask over the workshop's network. At the machine itself anybody may.
typedef enum Who {
    FOR_DEVICES,     ///< those that were let in
    FOR_THE_MACHINE, ///< nobody
    FOR_THE_DOOR,    ///< anybody: what it takes to be let in
} Who;

typedef struct Route {
    /// `/api/jobs/{id}/document`; {id} and {number} are numbers, {name} is a word
    const char *pattern;
    void (*answer)(Desk *desk, const Request *request, Answer *answer);
    const char *takes; ///< media type of the body, or several with commas between them
    size_t body_max;   ///< BODY_NONE: it takes none
    Method method;
    bool writes; ///< to the workshop file: one at a time
    Who who;
} Route;

extern const Route routes[];
extern const int route_count;

/// The route of a request, whose numbers and word are filled in; NULL when there is none.
/// *allowed is then how many routes the path has with other methods.
const Route *route_find(Request *request, int *allowed);

/// The methods that a path has, into `text`: `GET, HEAD, PUT`.
enum { METHODS_ROOM = 40 };
void route_methods(const char *path, char text[METHODS_ROOM]);

/// Answers a request whose route is known.
void route_answer(const Route *route, Desk *desk, const Request *request, Answer *answer);
