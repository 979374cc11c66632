#include "cli/shop.h"

#include "plan/workshop.h"
#include "serve/serve.h"

#include <signal.h>

// Signals are waited for here, and by no thread of the server.
static bool hold_signals(sigset_t *ends)
{
    return sigemptyset(ends) == 0 && sigaddset(ends, SIGINT) == 0 &&
           sigaddset(ends, SIGTERM) == 0 && pthread_sigmask(SIG_BLOCK, ends, NULL) == 0 &&
           signal(SIGPIPE, SIG_IGN) != SIG_ERR;
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
        const KeepOrder order = {arguments->job, arguments->shop.call};
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

static void print_address(const Server *server, int64_t job)
{
    printf("The workshop is open at http://127.0.0.1:%d/", server_port(server));
    if (job > 0) {
        printf("?job=%lld", (long long)job);
    }
    printf("\nCtrl-C closes it.\n");
    (void)fflush(stdout);
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
    if (!hold_signals(&ends)) {
        (void)problems_say(session->problems, PROBLEM_SYSTEM, "serve",
                           "the system refuses to hold back signals");
        return give_up(session);
    }
    const ServeOptions options = {.workshop = path, .port = arguments->port};
    Server *server = server_start(&options, session->problems);
    if (!server) {
        return give_up(session);
    }
    print_address(server, job);
    int received = 0;
    (void)sigwait(&ends, &received);
    server_stop(server);
    printf("Closed. All that was saved is in %s\n", path);
    return EXIT_FINE;
}

const Command serve_command = {
    .name = "serve",
    .summary = "open the workshop in a browser on this machine",
    .help = "seatwright serve [JOB] [--port N] [--workshop FILE]\n"
            "\n"
            "Opens the workshop file to the browsers of this machine, and to no other, and prints\n"
            "the address. Every save there adds a version, and nothing is written over. A job's\n"
            "file is kept first, as `seatwright keep` does. --port is 7420 unless told otherwise;\n"
            "0 is any that is free. Ctrl-C ends it, once what was asked is answered.\n"
            "\n"
            "What programs may ask of it is described at /api of that address.\n"
            "\n"
            "The workshop file is ~/.local/share/seatwright/workshop.db (or lies in\n"
            "$XDG_DATA_HOME) unless --workshop names another; it is made when absent.\n"
            "\n"
            "  seatwright serve\n"
            "  seatwright serve examples/rowing-club.json\n"
            "\n"
            "Exit status: 0 closed by Ctrl-C, 1 the system refused: the port is taken, the file\n"
            "is damaged; 2 mistakes on the command line, 3 no such file.\n",
    .takes_port = true,
    .takes_shop = true,
    .words_most = 1,
    .run = run,
};
