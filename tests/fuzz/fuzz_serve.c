// Whatever the address, the query and the body: the server's routes answer with a status and
// a body that is JSON in form, and a job that is kept is still there, byte for byte.
//
// The input's first line is the method's number (as a letter when it comes over the network), the
// path and If-Match, between blanks; the second the query; the rest is the body. The HTTP library
// before it is not in here.
#include "fault.h"
#include "fuzz.h"

#include "serve/routes.h"
#include "serve/share.h"
#include "serve/tables.h"
#include "serve/work.h"
#include "store/records.h"

#include <unistd.h>

static Store *workshop;
static Works *works;
static Tables *tables;
static Share *share;
static pthread_mutex_t writing = PTHREAD_MUTEX_INITIALIZER;
static char folder[] = "/tmp/seatwright-fuzz-XXXXXX";

static const char seed_job[] = "{\"seatwright\": 1, \"name\": \"kept\", \"units\": \"mm\"}";

static void clean_up(void)
{
    static const char *const names[] = {"w.db", "w.db-wal", "w.db-shm"};
    char path[sizeof folder + 32];
    store_close(workshop);
    works_end(works);
    tables_end(tables);
    share_end(share);
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        (void)snprintf(path, sizeof path, "%s/%s", folder, names[i]);
        (void)unlink(path);
    }
    (void)snprintf(path, sizeof path, "%s/w.db.backups", folder);
    (void)rmdir(path);
    (void)rmdir(folder);
}

static void open_workshop(Problems *problems)
{
    char path[sizeof folder + 32];
    int64_t id = 0;
    if (!mkdtemp(folder)) {
        fault("no folder", folder);
    }
    (void)snprintf(path, sizeof path, "%s/w.db", folder);
    workshop = store_open(path, &(StoreOptions){.no_backups = true}, problems);
    const Document document = {seed_job, sizeof seed_job - 1};
    if (!workshop || !record_begin(workshop, RECORD_JOB, document, &id, problems)) {
        fault("no workshop", problems->items[0].found);
    }
    static const Network network = {.addresses = {{"192.168.1.20"}}, .count = 1};
    // Layouts are another matter: nothing is taken, so that no input takes minutes.
    works = works_begin();
    tables = tables_begin();
    share = share_begin(&(ShareOptions){.network = &network});
    if (!works || !tables || !share) {
        fault("no works", NULL);
    }
    works_stop(works);
    (void)atexit(clean_up);
}

// The next word up to one of `ends`, as a text of its own.
static const char *next_word(const char **at, const char *end, const char *ends, Arena *keep)
{
    const char *from = *at;
    while (*at < end && **at && !strchr(ends, **at)) {
        ++*at;
    }
    const char *word = arena_text(keep, "%.*s", (int)(*at - from), from);
    *at += *at < end;
    return word;
}

static void read_query(const char *text, Request *request, Arena *keep)
{
    const char *end = text + strlen(text);
    while (text < end && request->query_count < QUERY_MAX) {
        const char *key = next_word(&text, end, "=", keep);
        const char *value = next_word(&text, end, "&", keep);
        request->query[request->query_count++] = (QueryPair){key, value};
    }
}

static void check_answer(const Answer *answer)
{
    if (answer->status < 200 || answer->status > 599) {
        fault("no status", NULL);
    }
    if (answer->status >= 500 && answer->status != 503) {
        fault("the server's own fault", answer->bytes);
    }
    const bool json = answer->type && strstr(answer->type, "json") != NULL;
    if (answer->count > 0 && json &&
        answer->bytes[strspn(answer->bytes, " \r\n\t\xEF\xBB\xBF")] != '{') {
        fault("no JSON", answer->bytes);
    }
    if (answer->status >= 400 && !strstr(answer->bytes, "\"found\"")) {
        fault("refused without a reason", answer->bytes);
    }
}

static void check_kept(Arena *keep, Problems *problems)
{
    Document first;
    if (!record_read(workshop, 1, 1, keep, &first, problems) ||
        first.bytes != sizeof seed_job - 1 || memcmp(first.data, seed_job, first.bytes) != 0) {
        fault("what was kept is lost", problems->count ? problems->items[0].found : NULL);
    }
}

static Request read_request(const uint8_t *data, size_t size, Arena *keep)
{
    const char *at = (const char *)data;
    const char *end = at + size;
    Request request = {.method = (Method)(size > 0 ? (unsigned)data[0] % METHOD_COUNT : 0)};
    request.guest = size > 0 && data[0] >= '@'; // letters are guests, digits are not
    at += size > 0;
    request.path = next_word(&at, end, " \n", keep);
    const char *match = next_word(&at, end, "\n", keep);
    request.if_match = *match ? match : NULL;
    request.if_none_match = request.if_match;
    read_query(next_word(&at, end, "\n", keep), &request, keep);
    // What the wire has refused before.
    for (int i = 0; i < request.query_count; i++) {
        if (!text_is_utf8(request.query[i].key) || !text_is_utf8(request.query[i].value)) {
            request.query_count = 0;
        }
    }
    char *body = arena_alloc(keep, (size_t)(end - at) + 1, 1);
    memcpy(body, at, (size_t)(end - at));
    request.body = body;
    request.body_bytes = (size_t)(end - at);
    return request;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    Desk desk = {.keep = arena_create("fuzz", ARENA_BYTES),
                 .scratch = arena_create("fuzz scratch", ARENA_BYTES)};
    if (desk.keep && desk.scratch) {
        desk.problems = problems_in(desk.keep);
        if (!workshop) {
            open_workshop(desk.problems);
        }
        desk.store = workshop;
        desk.works = works;
        desk.tables = tables;
        desk.share = share;
        desk.writing = &writing;
        Request request = read_request(data, size, desk.keep);
        int others = 0;
        const Route *route = route_find(&request, &others);
        if (route) {
            Answer answer;
            route_answer(route, &desk, &request, &answer);
            check_answer(&answer);
            check_kept(desk.keep, problems_in(desk.keep));
        }
    }
    arena_destroy(desk.keep);
    arena_destroy(desk.scratch);
    return 0;
}
