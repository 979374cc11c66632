// A request and its answer as the handlers see them: nothing here knows the wire.
#pragma once

#include "base/text.h"
#include "plan/served.h"
#include "store/store.h"

#include <pthread.h>

typedef enum Method { METHOD_GET, METHOD_POST, METHOD_PUT, METHOD_DELETE, METHOD_COUNT } Method;
extern const char *const method_names[METHOD_COUNT]; ///< GET, POST, PUT, DELETE

enum { QUERY_MAX = 16, PATH_PARTS_MAX = 2 };

/// One `key=value` behind the question mark, decoded.
typedef struct QueryPair {
    const char *key;
    const char *value; ///< "" when there was none
} QueryPair;

typedef struct Request {
    Method method;
    const char *path; ///< decoded, without the query
    QueryPair query[QUERY_MAX];
    int query_count;
    const char *if_match;      ///< or NULL
    const char *if_none_match; ///< or NULL
    const char *body;          ///< ends in 0 behind its bytes
    size_t body_bytes;
    int64_t number[PATH_PARTS_MAX]; ///< what stands for {numbers} in the route, in order
    const char *word;               ///< what stands for a {word} in it
    int port;                       ///< where it was asked
    bool guest;                     ///< it came over the workshop's network
    uint32_t from;                  ///< a guest's address
    int64_t device;                 ///< a guest's device; 0: it is not let in
} Request;

typedef struct Answer {
    int status;
    const char *type; ///< media type
    const char *bytes;
    size_t count;
    const char *etag;        ///< with its quotes, or NULL
    const char *location;    ///< or NULL
    const char *disposition; ///< Content-Disposition, or NULL
    const char *allow;       ///< methods, of a 405
    const char *cookie;      ///< Set-Cookie, or NULL
    bool lasting;            ///< never changes under this address
    int retry_s;             ///< Retry-After; 0: none
    int64_t watched;         ///< a work whose events are the body; 0: none
    int file;                ///< one more than an open file that is the body; 0: none
} Answer;

struct Works;
struct Tables;
struct Share;

/// Where one thread answers: its own memory and its own door to the workshop file.
typedef struct Desk {
    Arena *keep; ///< until the answer is sent on its way
    Arena *scratch;
    Store *store;
    Problems *problems;
    struct Works *works;   ///< of all desks
    struct Tables *tables; ///< of all desks
    struct Share *share;   ///< of all desks
    /// Of all desks: held by whoever changes the workshop file. Routes that write have it already.
    pthread_mutex_t *writing;
} Desk;

/// The value of a key of the query, or NULL.
const char *request_query(const Request *request, const char *key);

/// What a whole number of the query may be, and what it is when it is not there.
typedef struct Whole {
    int64_t min; ///< not below 0
    int64_t max;
    int64_t usual;
} Whole;

/// The beginning of what was asked, for a refusal: at most some forty characters, never a part of
/// one.
const char *request_shown(const char *utf8, Arena *keep);

/// Refuses what a key of the query says, NULL when it is not there. Returns false.
bool request_refuse(const char *key, const char *given, const char *allowed, Problems *problems);

/// A whole number of the query. Errors   false with a problem at the key.
MUST_CHECK bool request_whole(const Request *request, const char *key, Whole whole, int64_t *value,
                              Problems *problems);

/// A yes of the query: `1` or `true`; false when it is not there or `0` or `false`.
/// Errors   false with a problem at the key.
MUST_CHECK bool request_yes(const Request *request, const char *key, bool *value,
                            Problems *problems);

/// The version that If-Match names: `"7"`.
/// Errors   false: there is none, or another form; *given tells which.
MUST_CHECK bool request_version(const Request *request, int64_t *version, bool *given);

static inline Document body_of(const Request *request)
{
    return (Document){request->body, request->body_bytes};
}

/// Whether If-None-Match names this tag.
bool request_has(const Request *request, const char *etag);

/// Answers with a JSON text.
void answer_json(Answer *answer, int status, const Text *text);

/// Answers with all of the desk's problems as a problem document (RFC 9457), its status by their
/// kind.
void answer_problems(Desk *desk, Answer *answer);
/// The same with a status of the caller's.
void answer_problems_as(Desk *desk, int status, Answer *answer);
/// The same: a save named another version than the one that stands there.
void answer_conflict(Desk *desk, int64_t present, Answer *answer);
/// One problem, of the request itself.
void answer_refuse(Desk *desk, int status, const char *where, const char *found,
                   const char *allowed, Answer *answer);

/// Bytes that carry a tag: 304 when the client has them.
void answer_bytes(const Request *request, const char *type, const char *bytes, size_t count,
                  const char *etag, Answer *answer);
