// The options of buying as words: the command line and the server read the same.
#include "base/number.h"
#include "plan/buy_shard.h"

#include <string.h>

static const char *read_number(const char *text, double least, double most, const char *allowed,
                               double *number)
{
    Number read;
    if (number_read(text, &read) || read.unit != NUMBER_BARE ||
        !(read.value >= least && read.value <= most)) {
        return allowed;
    }
    *number = read.value;
    return NULL;
}

static const char *read_whole(const char *text, int most, const char *allowed, int *whole)
{
    double number = 0;
    if (read_number(text, 1, most, allowed, &number) || number != (int)number) {
        return allowed;
    }
    *whole = (int)number;
    return NULL;
}

// `3/8`
static const char *read_shard(const char *text, BuyOrder *order)
{
    static const char allowed[] = "give its number and how many there are: 3/8, at most 1000";
    char number[8] = "";
    int shards = 0;
    const char *slash = strchr(text, '/');
    if (!slash || (size_t)(slash - text) >= sizeof number ||
        read_whole(slash + 1, SHARDS_MAX, allowed, &shards)) {
        return allowed;
    }
    memcpy(number, text, (size_t)(slash - text));
    const char *wrong = read_whole(number, shards, allowed, &order->shard);
    order->shards = wrong ? order->shards : shards;
    return wrong;
}

// A share written as so many in a hundred.
static const char *read_hundredths(const char *text, double least, double most, const char *allowed,
                                   double *share)
{
    double hundredths = 0;
    const char *wrong = read_number(text, least, most, allowed, &hundredths);
    *share = wrong ? *share : hundredths / 100;
    return wrong;
}

static const char *read_form(const char *text, BuyOrder *order)
{
    const bool side = strcmp(text, "side") == 0;
    if (!side && strcmp(text, "whole") != 0) {
        return "say whole or side";
    }
    order->form = side ? HIDE_SIDE : HIDE_WHOLE;
    return NULL;
}

const char *plan_buy_option(const char *name, const char *value, BuyOrder *order)
{
    if (strcmp(name, "grade") == 0) {
        order->grade = value;
        return *value ? NULL : "name a grade";
    }
    if (strcmp(name, "form") == 0) {
        return read_form(value, order);
    }
    if (strcmp(name, "pieces") == 0) {
        return read_whole(value, STUDY_HIDES_MAX, "give a whole number from 1 to 20",
                          &order->pieces);
    }
    if (strcmp(name, "trials") == 0) {
        return read_whole(value, STUDY_TRIALS_MAX, "give a whole number from 1 to 1000000",
                          &order->trials);
    }
    if (strcmp(name, "precision") == 0) {
        return read_hundredths(value, 2, 20, "give a number from 2 to 20, parts in a hundred",
                               &order->precision);
    }
    if (strcmp(name, "threads") == 0) {
        return read_whole(value, BUY_THREADS_MAX, "give a whole number from 1 to 64",
                          &order->threads);
    }
    if (strcmp(name, "shard") == 0) {
        return read_shard(value, order);
    }
    return read_hundredths(value, 50, 99, "give a number from 50 to 99, times in a hundred",
                           &order->comfort);
}
