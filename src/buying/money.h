// Money: whole minor units (cents) of one currency, never a floating-point number.
//
// Prices come in as people write them, 12.50, and are whole numbers from then on; what
// is multiplied is rounded once for each line of a bill, half a cent away from zero.
// Minor units: ISO 4217, list one (two decimals; none or three for a few currencies).
#pragma once

#include "base/arena.h"

#include <stdbool.h>
#include <stdint.h>

typedef int64_t Money;

enum { CURRENCY_LETTERS = 3 };

/// No single price, fee or rate of a document is larger, in whole units of its currency.
/// All sums that a document can lead to fit many times into 64 bits.
#define MONEY_PRICE_MAX 1e6

/// Decimals of a currency by its three letters: 2, for a few 0 or 3. NULL: 2.
/// Source   ISO 4217, minor units as of its 2018 list (from memory of that table).
int currency_decimals(const char *code);

/// True for three capital letters.
bool currency_is_code(const char *code);

/// The minor units of an amount as written, or false when it has more decimals than
/// the currency. `value` within 0 and MONEY_PRICE_MAX.
MUST_CHECK bool money_from_number(double value, int decimals, Money *money);

/// The amount for people and JSON, in whole units: 1250 is 12.5.
double money_to_number(Money money, int decimals);

/// each * count / parts, rounded half away from zero.
/// Ranges   the product within 64 bits: a price of 1e9 minor units, 9e9 of count.
Money money_times(Money each, int64_t count, int64_t parts);

/// So many millionths of an amount, rounded half away from zero; any amount.
Money money_share(Money amount, int64_t millionths);

/// `1250.00 EUR`; `12 JPY`.
const char *money_text(Money money, const char *code, Arena *keep);

/// A share as whole millionths: 0.19 is 190000.
int64_t share_millionths(double share);
