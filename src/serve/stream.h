// Events on the wire: a response whose body goes on for as long as a work does.
#pragma once

#include "serve/work.h"

#include <microhttpd.h>

/// NULL: the work is gone, too many watch, or there is no memory.
struct MHD_Response *stream_response(Works *works, int64_t id, struct MHD_Connection *connection);
