#include "buying/money.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

static const int64_t MILLION = 1000000;

static bool is_one_of(const char *code, const char *codes)
{
    for (const char *at = codes; *at; at += CURRENCY_LETTERS + 1) {
        if (strncmp(at, code, CURRENCY_LETTERS) == 0) {
            return true;
        }
    }
    return false;
}

int currency_decimals(const char *code)
{
    if (!code) {
        return 2;
    }
    if (is_one_of(code, "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX UYI VND VUV XAF XOF XPF ")) {
        return 0;
    }
    return is_one_of(code, "BHD IQD JOD KWD LYD OMR TND ") ? 3 : 2;
}

bool currency_is_code(const char *code)
{
    for (int i = 0; i < CURRENCY_LETTERS; i++) {
        if (!(code[i] >= 'A' && code[i] <= 'Z')) {
            return false;
        }
    }
    return code[CURRENCY_LETTERS] == '\0';
}

static int64_t minor_units(int decimals)
{
    static const int64_t units[] = {1, 10, 100, 1000};
    assert(decimals >= 0 && decimals <= 3);
    return units[decimals];
}

bool money_from_number(double value, int decimals, Money *money)
{
    const double minor = value * (double)minor_units(decimals);
    // What a decimal loses in a double: far less than the least further decimal.
    if (!(fabs(minor - round(minor)) < 1e-5)) {
        return false;
    }
    *money = (Money)llround(minor);
    return true;
}

double money_to_number(Money money, int decimals)
{
    return (double)money / (double)minor_units(decimals);
}

Money money_times(Money each, int64_t count, int64_t parts)
{
    assert(parts > 0);
    const int64_t whole = each * count;
    const int64_t half = parts / 2;
    return whole >= 0 ? (whole + half) / parts : -((-whole + half) / parts);
}

Money money_share(Money amount, int64_t millionths)
{
    // In two steps, so that no product leaves 64 bits.
    return amount / MILLION * millionths + money_times(amount % MILLION, millionths, MILLION);
}

const char *money_text(Money money, const char *code, Arena *keep)
{
    const int decimals = currency_decimals(code);
    const int64_t units = minor_units(decimals);
    const char *minus = money < 0 ? "-" : "";
    const long long whole = llabs((long long)money) / units;
    const long long rest = llabs((long long)money) % units;
    const char *digits = decimals == 0
                             ? arena_text(keep, "%s%lld", minus, whole)
                             : arena_text(keep, "%s%lld.%0*lld", minus, whole, decimals, rest);
    return code ? arena_text(keep, "%s %s", digits, code) : digits;
}

int64_t share_millionths(double share)
{
    return (int64_t)llround(share * (double)MILLION);
}
