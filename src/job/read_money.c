// Reads amounts of money and the name of their currency.
#include "job/reading.h"

#include <math.h>
#include <string.h>

bool read_currency(Reading *reading, const Path *path, const Field *field, json_t *json, void *slot)
{
    const char *allowed = reading_allowed(reading, field);
    if (!json_is_string(json)) {
        return reading_refuse(reading, path, reading_describe(reading, json), allowed, NULL);
    }
    const char *code = json_string_value(json);
    if (!currency_is_code(code)) {
        return reading_refuse(reading, path,
                              arena_text(reading_words(reading), "%s is not three capital letters",
                                         reading_quoted(reading, code)),
                              allowed, NULL);
    }
    const char *kept = arena_copy_text(reading->keep, code);
    memcpy(slot, &kept, sizeof kept);
    reading->money_decimals = currency_decimals(code);
    return true;
}

bool read_money(Reading *reading, const Path *path, const Field *field, json_t *json, void *slot)
{
    Arena *words = reading_words(reading);
    const Limits limits = field->limits[METRIC];
    const char *allowed = reading_allowed(reading, field);
    if (!json_is_number(json)) {
        return reading_refuse(reading, path, reading_describe(reading, json), allowed,
                              json_is_string(json) ? "write it as a number, 12.50, without the "
                                                     "currency"
                                                   : NULL);
    }
    const double value = json_number_value(json);
    if (!(value >= limits.min) || value > limits.max) {
        return reading_refuse(reading, path,
                              arena_text(words, "%.10g is %s than allowed", value,
                                         value > limits.max ? "more" : "less"),
                              allowed, NULL);
    }
    Money money = 0;
    if (!money_from_number(value, reading->money_decimals, &money)) {
        return reading_refuse(
            reading, path, arena_text(words, "%.10g has more decimals than the currency", value),
            arena_text(words, "at most %d decimals", reading->money_decimals), NULL);
    }
    memcpy(slot, &money, sizeof money);
    return true;
}
