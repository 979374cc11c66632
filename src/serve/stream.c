#include "serve/stream.h"

#include <stdlib.h>

enum { BLOCK_BYTES = 32 << 10 };

typedef struct Stream {
    Watcher *watcher;
    struct MHD_Connection *connection;
} Stream;

// Both under the works' lock, so that no news fall between looking and waiting.
static void hold(void *context)
{
    const Stream *stream = context;
    MHD_suspend_connection(stream->connection);
}

static void wake(void *context)
{
    const Stream *stream = context;
    MHD_resume_connection(stream->connection);
}

static ssize_t read_events(void *context, uint64_t position, char *bytes, size_t room)
{
    (void)position;
    Stream *stream = context;
    const long count = watcher_read(stream->watcher, bytes, room, hold, stream);
    return count < 0 ? MHD_CONTENT_READER_END_OF_STREAM : count;
}

static void end_stream(void *context)
{
    Stream *stream = context;
    watcher_end(stream->watcher);
    free(stream);
}

struct MHD_Response *stream_response(Works *works, int64_t id, struct MHD_Connection *connection)
{
    Stream *stream = calloc(1, sizeof *stream);
    if (!stream) {
        return NULL;
    }
    stream->connection = connection;
    stream->watcher = watcher_begin(works, id, wake);
    struct MHD_Response *response =
        stream->watcher ? MHD_create_response_from_callback(MHD_SIZE_UNKNOWN, BLOCK_BYTES,
                                                            read_events, stream, end_stream)
                        : NULL;
    if (!response) {
        if (stream->watcher) {
            watcher_end(stream->watcher);
        }
        free(stream);
    }
    return response;
}
