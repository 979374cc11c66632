#include "cli/shop.h"

#include "plan/workshop.h"
#include "serve/serve.h"

#include <fcntl.h>
#include <pthread.h>
#include <signal.h>
#include <spawn.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

extern char **environ; // NOLINT(readability-redundant-declaration): POSIX has it in no header

// Signals are waited for here, and by no thread of the server.
static bool hold_signals(sigset_t *ends)
{
    return sigemptyset(ends) == 0 && sigaddset(ends, SIGINT) == 0 &&
           sigaddset(ends, SIGTERM) == 0 && pthread_sigmask(SIG_BLOCK, ends, NULL) == 0 &&
           signal(SIGPIPE, SIG_IGN) != SIG_ERR && signal(SIGCHLD, SIG_IGN) != SIG_ERR &&
           signal(SIGTTIN, SIG_IGN) != SIG_ERR;
}

// Opens the workshop file, and keeps the job that was named in it: *job is its number then.
// NULL: told, and *status set.
static const char *look_into_workshop(Session *session, const Arguments *arguments, int64_t *job,
                                      int *status)
{
    Store *store = shop_open(session, arguments, status);
    if (!store) {
        return NULL;
    }
    const char *path = arena_copy_text(session->keep, store_path(store));
    if (arguments->job) {
        KeptJob kept;
        const KeepOrder order = {arguments->job, arguments->shop.call, arguments->if_new};
        if (workshop_keep(store, &order, session->keep, &kept, session->problems)) {
            *job = kept.record.id;
        } else {
            *status = give_up(session);
            path = NULL;
        }
    }
    store_close(store);
    return path;
}

// Where it is shared; none without --share. False: *status is set.
static bool find_network(Session *session, const Arguments *arguments, Network *network)
{
    *network = (Network){0};
    if (!arguments->share_at) {
        return !arguments->share || network_find(network, session->problems);
    }
    NetworkAddress *only = &network->addresses[0];
    const int length =
        snprintf(only->text, sizeof only->text, "%.*s", ADDRESS_ROOM - 1, arguments->share_at);
    network->count = 1;
    return (length == (int)strlen(arguments->share_at) && network_is_private(only->text)) ||
           problems_add(session->problems,
                        (Problem){.kind = PROBLEM_BAD_INPUT,
                                  .where = "--share-at",
                                  .found = arguments->share_at,
                                  .allowed = "an address of this machine in a private network: "
                                             "10.x.x.x, 172.16.x.x to 172.31.x.x, 192.168.x.x, "
                                             "169.254.x.x, or 127.0.0.2 and on"});
}

// The server as the thread that waits for Enter sees it: gone before it is stopped.
typedef struct Inviter {
    pthread_mutex_t lock;
    Server *server; // NULL: gone
} Inviter;

static void print_invitation(Inviter *inviter)
{
    Arena *keep = arena_create("invitation", (size_t)1 << 20);
    Text text = {.keep = keep};
    (void)pthread_mutex_lock(&inviter->lock);
    if (keep && inviter->server &&
        server_invite(inviter->server, isatty(STDOUT_FILENO) == 1, &text)) {
        (void)fputs(text_string(&text), stdout);
        (void)fflush(stdout);
    }
    (void)pthread_mutex_unlock(&inviter->lock);
    arena_destroy(keep);
}

// Each Enter in the terminal shows a new code.
static void *invite_on_enter(void *context)
{
    int letter = 0;
    while ((letter = getchar()) != EOF) {
        if (letter == '\n') {
            print_invitation(context);
        }
    }
    return NULL;
}

static void begin_sharing(Inviter *inviter)
{
    pthread_t reader;
    printf("It is shared in the network. Whoever listens there can read what is sent: share it "
           "only in\na network that you trust. Devices that are not paired see nothing of it.\n\n");
    print_invitation(inviter);
    // It waits for letters until the program ends.
    if (isatty(STDIN_FILENO) == 1 && pthread_create(&reader, NULL, invite_on_enter, inviter) == 0) {
        printf("Enter shows a new code.\n");
        (void)pthread_detach(reader);
    }
    (void)fflush(stdout);
}

static const char *address_of(const Server *server, int64_t job, Arena *keep)
{
    const char *query = job > 0 ? arena_text(keep, "?job=%lld", (long long)job) : "";
    return arena_text(keep, "http://127.0.0.1:%d/%s", server_port(server), query);
}

// Browsers are begun with the signals of a program of their own, in a group of their own: a
// Ctrl-C here is not meant for them.
static bool set_apart(posix_spawnattr_t *attributes)
{
    sigset_t none;
    sigset_t usual;
    const short flags = POSIX_SPAWN_SETPGROUP | POSIX_SPAWN_SETSIGMASK | POSIX_SPAWN_SETSIGDEF;
    return sigemptyset(&none) == 0 && sigemptyset(&usual) == 0 && sigaddset(&usual, SIGPIPE) == 0 &&
           sigaddset(&usual, SIGCHLD) == 0 && sigaddset(&usual, SIGTTIN) == 0 &&
           posix_spawnattr_setsigmask(attributes, &none) == 0 &&
           posix_spawnattr_setsigdefault(attributes, &usual) == 0 &&
           posix_spawnattr_setpgroup(attributes, 0) == 0 &&
           posix_spawnattr_setflags(attributes, flags) == 0;
}

static bool silence(posix_spawn_file_actions_t *files)
{
    return posix_spawn_file_actions_addopen(files, STDOUT_FILENO, "/dev/null", O_WRONLY, 0) == 0 &&
           posix_spawn_file_actions_adddup2(files, STDOUT_FILENO, STDERR_FILENO) == 0;
}

// A page in the browser that the desktop knows. Without a desktop, or a browser, the address that
// is printed will do: nothing is said, and nobody waits for it.
static void open_page(const char *address, Arena *keep)
{
    // NOLINTNEXTLINE(concurrency-mt-unsafe): nobody sets them
    if (!getenv("DISPLAY") && !getenv("WAYLAND_DISPLAY")) {
        return;
    }
    char *words[] = {arena_copy_text(keep, "xdg-open"), arena_copy_text(keep, address), NULL};
    posix_spawn_file_actions_t files;
    posix_spawnattr_t attributes;
    if (posix_spawn_file_actions_init(&files) != 0) {
        return;
    }
    if (posix_spawnattr_init(&attributes) == 0) {
        pid_t child = 0;
        if (silence(&files) && set_apart(&attributes)) {
            (void)posix_spawnp(&child, words[0], &files, &attributes, words, environ);
        }
        (void)posix_spawnattr_destroy(&attributes);
    }
    (void)posix_spawn_file_actions_destroy(&files);
}

static int run(Session *session, const Arguments *arguments)
{
    int status = EXIT_FINE;
    int64_t job = 0;
    const char *path = look_into_workshop(session, arguments, &job, &status);
    if (!path) {
        return status;
    }
    sigset_t ends;
    Network network;
    if (!find_network(session, arguments, &network)) {
        return give_up(session);
    }
    if (!hold_signals(&ends)) {
        (void)problems_say(session->problems, PROBLEM_SYSTEM, "serve",
                           "the system refuses to hold back signals");
        return give_up(session);
    }
    const ServeOptions options = {.workshop = path, .port = arguments->port, .network = &network};
    Server *server = server_start(&options, session->problems);
    if (!server) {
        return give_up(session);
    }
    Inviter *inviter = ARENA_NEW(session->keep, Inviter); // as long as the process
    *inviter = (Inviter){PTHREAD_MUTEX_INITIALIZER, server};
    const char *address = address_of(server, job, session->keep);
    printf("The workshop is open at %s\nCtrl-C closes it.\n", address);
    (void)fflush(stdout);
    if (network.count > 0) {
        begin_sharing(inviter);
    }
    if (arguments->open) {
        open_page(address, session->keep);
    }
    int received = 0;
    (void)sigwait(&ends, &received);
    (void)pthread_mutex_lock(&inviter->lock);
    inviter->server = NULL;
    (void)pthread_mutex_unlock(&inviter->lock);
    server_stop(server);
    printf("Closed. All that was saved is in %s\n", path);
    return EXIT_FINE;
}

const Command serve_command = {
    .name = "serve",
    .summary = "open the workshop in a browser on this machine",
    .help =
        "seatwright serve [JOB] [--if-new] [--open] [--port N] [--share] [--share-at ADDRESS]\n"
        "                 [--workshop FILE]\n"
        "\n"
        "Opens the workshop file to the browsers of this machine, and to no other, and prints\n"
        "the address. Every save there adds a version, and nothing is written over. A job's\n"
        "file is kept first, as `seatwright keep` does; with --if-new a job of that name that is\n"
        "there already stays as it is. --open shows it in the browser of this machine, where "
        "there\n"
        "is one. --port is 7420, or any that is free when another program has that; 0 is any that\n"
        "is free. Ctrl-C ends it, once what was asked is answered.\n"
        "\n"
        "--share opens it in the workshop's network too, at this machine's addresses in private\n"
        "networks, so that a phone can open the same jobs; --share-at only at one of them. A\n"
        "device is let in by a code that is shown here and under Share on this machine's own\n"
        "pages, once, and can be put out again there. What is sent is not enciphered: whoever\n"
        "listens in that network can read it.\n"
        "\n"
        "What programs may ask of it is described at /api of that address.\n"
        "\n"
        "The workshop file is ~/.local/share/seatwright/workshop.db (or lies in\n"
        "$XDG_DATA_HOME) unless --workshop names another; it is made when absent.\n"
        "\n"
        "  seatwright serve\n"
        "  seatwright serve examples/rowing-club.json\n"
        "  seatwright serve --share\n"
        "\n"
        "Exit status: 0 closed by Ctrl-C, 1 the system refused: the port is taken, the file\n"
        "is damaged; 2 mistakes on the command line, 3 no such file.\n",
    .takes_port = true,
    .takes_shop = true,
    .words_most = 1,
    .run = run,
};
