#include "cli/shop.h"

#include "base/number.h"

#include <string.h>
#include <time.h>

Store *shop_open(Session *session, const Arguments *arguments, int *status)
{
    // Doubts about the file, such as a backup that found no room, are none about the job.
    Problems *opening = problems_in(session->keep);
    Store *store = workshop_open(arguments->shop.file, session->keep, opening);
    if (!store) {
        session->problems = opening;
        *status = give_up(session);
    } else if (opening->doubts > 0) {
        print_problems(stderr, opening);
    }
    return store;
}

int shop_run(Session *session, const Arguments *arguments, ShopWork *work)
{
    int status = EXIT_FINE;
    Store *store = shop_open(session, arguments, &status);
    if (!store) {
        return status;
    }
    status = work(session, arguments, store) ? EXIT_FINE : give_up(session);
    store_close(store);
    return status;
}

const char *shop_time(int64_t ms, Arena *keep)
{
    const time_t seconds = (time_t)(ms / 1000);
    struct tm parts;
    char text[32];
    if (!localtime_r(&seconds, &parts) ||
        strftime(text, sizeof text, "%Y-%m-%d %H:%M", &parts) == 0) {
        return "-";
    }
    return arena_copy_text(keep, text);
}

const char *shop_count(int count, const char *what, Arena *keep)
{
    return arena_text(keep, "%d %s%s", count, what, count == 1 ? "" : "s");
}

const char *shop_word(const char *text, Arena *keep)
{
    char *word = arena_copy_text(keep, text);
    for (char *c = word; *c; c++) {
        if ((unsigned char)*c < ' ' || *c == 0x7f) {
            *c = '?';
        }
    }
    return word;
}

// A whole number above 0, or 0.
static int64_t read_version(const char *text)
{
    int64_t number = 0;
    return digits_read(text, strlen(text), &number) ? number : 0;
}

bool shop_flag(const char *name, ShopOrder *order)
{
    if (strcmp(name, "--undo") == 0) {
        order->undo = true;
        return true;
    }
    if (strcmp(name, "--redo") == 0) {
        order->redo = true;
        return true;
    }
    return false;
}

const char *shop_option(const char *name, const char *value, ShopOrder *order)
{
    if (strcmp(name, "--workshop") == 0) {
        order->file = value;
        return *value ? NULL : "a file";
    }
    if (strcmp(name, "--call") == 0) {
        order->call = value;
        return *value ? NULL : "a name for the version";
    }
    order->version = read_version(value);
    return order->version > 0 ? NULL : "the number of a version, as `history` lists it";
}
