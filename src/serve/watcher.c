// The stream of events: what a watcher has not seen yet, as text/event-stream.
#include "serve/work_parts.h"

#include <stdlib.h>
#include <string.h>

enum { EVENTS_BYTES_MAX = 64 << 20 };

// One event; each line of its data on a line of its own.
static void add_event(Text *text, int64_t number, const char *name, const char *data)
{
    text_add(text, "id: %lld\nevent: %s\n", (long long)number, name);
    while (*data) {
        const size_t length = strcspn(data, "\n");
        text_add(text, "data: ");
        text_add_bytes(text, data, length);
        text_add(text, "\n");
        data += length + (data[length] == '\n');
    }
    text_add(text, "\n");
}

// With the lock: all that is new, in a copy of its own.
static bool take_news(Watcher *watcher)
{
    const Work *work = watcher->work;
    Arena *keep = arena_create("events", EVENTS_BYTES_MAX);
    if (!keep) {
        return false;
    }
    Text text = {.keep = keep};
    const bool better = work->order.kind->so_far && work->improvements > watcher->improvements;
    const WorkNews news = work_tell(work, better ? WORK_SO_FAR : WORK_NO_TEXT, keep);
    if (news.so_far) {
        add_event(&text, news.number, news.kind->so_far, news.so_far);
    }
    Text state = {.keep = keep};
    const ServedWork served = work_served(&news);
    plan_work_json(&served, &state);
    const bool ended = news.state != WORK_RUNNING;
    add_event(&text, news.number, ended ? "end" : "progress", text_string(&state));
    char *copy = malloc(text.length);
    if (copy) {
        memcpy(copy, text.bytes, text.length);
        free(watcher->rest);
        watcher->rest = copy;
        watcher->rest_bytes = text.length;
        watcher->rest_sent = 0;
        watcher->seen = news.number;
        watcher->improvements = news.improvements;
        watcher->ended = ended;
    }
    arena_destroy(keep);
    return copy != NULL;
}

static size_t send_rest(Watcher *watcher, char *bytes, size_t room)
{
    const size_t left = watcher->rest_bytes - watcher->rest_sent;
    const size_t count = left < room ? left : room;
    if (count > 0) {
        memcpy(bytes, watcher->rest + watcher->rest_sent, count);
        watcher->rest_sent += count;
    }
    return count;
}

long watcher_read(Watcher *watcher, char *bytes, size_t room, void (*hold)(void *context),
                  void *context)
{
    size_t count = send_rest(watcher, bytes, room);
    if (count > 0) {
        return (long)count;
    }
    if (watcher->ended) {
        return -1;
    }
    Works *works = watcher->work->works;
    (void)pthread_mutex_lock(&works->lock);
    const bool fresh = watcher->work->number > watcher->seen;
    const bool failed = fresh && !take_news(watcher);
    if (!fresh) {
        watcher->context = context;
        watcher->waiting = true;
        hold(context);
    }
    (void)pthread_mutex_unlock(&works->lock);
    if (failed) {
        return -1;
    }
    count = fresh ? send_rest(watcher, bytes, room) : 0;
    return (long)count;
}
