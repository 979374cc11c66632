// How long a connection may keep the server waiting: whoever sends or takes a byte now and then
// is not given for ever, which the HTTP library's own limit would do.
#pragma once

#include <stdbool.h>
#include <stdint.h>

enum {
    HEAD_WAIT_S = 15,    ///< a first request's head, from the connection on
    NEXT_WAIT_S = 60,    ///< the next request, head and all
    BODY_WAIT_S = 60,    ///< a body
    ANSWER_WAIT_S = 120, ///< taking an answer
    FOR_EVER_S = 0,      ///< while it is we who keep it waiting
};

typedef struct Patience Patience;

/// One connection's place; NULL is accepted by all that take one.
typedef struct Wait Wait;

/// `most` connections at once. NULL when the system refuses.
Patience *patience_begin(int most);
/// Accepts NULL.
void patience_end(Patience *patience);

/// A connection that has come, of a guest or of this machine; NULL when there are too many.
Wait *patience_meet(Patience *patience, int socket, bool guest);
/// It has gone: its socket is not touched any more.
void patience_part(Patience *patience, Wait *wait);

/// From now on it may take so many seconds, then it is cut off; FOR_EVER_S: as long as it likes.
void patience_allow(Patience *patience, Wait *wait, int seconds);

/// Cuts off all guests.
void patience_cut_guests(Patience *patience);

/// Cuts off those whose time was up at a moment; how many. For tests; a thread calls it else.
int patience_sweep(Patience *patience, int64_t now_ms);
