#include "base/number.h"

#include <math.h>
#include <stddef.h>
#include <string.h>

// One text being read from the left.
typedef struct Reader {
    const char *at;
} Reader;

static void skip_spaces(Reader *reader)
{
    while (*reader->at == ' ' || *reader->at == '\t') {
        reader->at++;
    }
}

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

static bool skip_word(Reader *reader, const char *word)
{
    const size_t length = strlen(word);
    if (strncmp(reader->at, word, length) != 0) {
        return false;
    }
    reader->at += length;
    return true;
}

typedef struct NamedValue {
    const char *text;
    double value;
} NamedValue;

static const NamedValue single_fractions[] = {
    {"½", 0.5},   {"¼", 0.25},  {"¾", 0.75},    {"⅛", 0.125},   {"⅜", 0.375},
    {"⅝", 0.625}, {"⅞", 0.875}, {"⅓", 1.0 / 3}, {"⅔", 2.0 / 3},
};

static bool read_single_fraction(Reader *reader, double *value)
{
    for (size_t i = 0; i < sizeof single_fractions / sizeof *single_fractions; i++) {
        if (skip_word(reader, single_fractions[i].text)) {
            *value = single_fractions[i].value;
            return true;
        }
    }
    return false;
}

// Digits only; exact up to 2^53, and a text is too short to overflow a double.
static double read_whole(Reader *reader, int *digits)
{
    double value = 0;
    for (*digits = 0; is_digit(*reader->at); reader->at++, ++*digits) {
        value = value * 10 + (*reader->at - '0');
    }
    return value;
}

// The decimals behind a point or comma. strtod() would follow the locale; the digits
// are gathered as one whole number and divided once, which rounds only once.
static const char *read_decimals(Reader *reader, double whole, double *value)
{
    reader->at++;
    double digits_value = 0;
    double scale = 1;
    int digits = 0;
    for (; is_digit(*reader->at); reader->at++, digits++) {
        if (digits < 15) {
            digits_value = digits_value * 10 + (*reader->at - '0');
            scale *= 10;
        }
    }
    if (digits == 0) {
        return "a digit is missing behind the decimal point";
    }
    const double joined = whole * scale + digits_value;
    *value = joined < 0x1p53 ? joined / scale : whole + digits_value / scale;
    return NULL;
}

static const char *read_under(Reader *reader, double over, double *fraction)
{
    reader->at++; // the slash
    int digits = 0;
    const double under = read_whole(reader, &digits);
    if (digits == 0) {
        return "a digit is missing behind the fraction's slash";
    }
    if (under == 0) {
        return "the fraction has the denominator 0";
    }
    *fraction = over / under;
    return NULL;
}

// What may follow a whole number: ` 1/2`, `-1/2`, `½`, ` ½`.
static const char *read_mixed(Reader *reader, double whole, double *value)
{
    double fraction = 0;
    *value = whole;
    if (read_single_fraction(reader, &fraction)) {
        *value = whole + fraction;
        return NULL;
    }
    Reader ahead = *reader;
    if (*ahead.at != ' ' && *ahead.at != '-' && *ahead.at != '\t') {
        return NULL;
    }
    ahead.at += *ahead.at == '-';
    skip_spaces(&ahead);
    if (read_single_fraction(&ahead, &fraction)) {
        *reader = ahead;
        *value = whole + fraction;
        return NULL;
    }
    int digits = 0;
    const double over = read_whole(&ahead, &digits);
    if (digits == 0) {
        return NULL;
    }
    if (*ahead.at != '/') {
        return "two numbers stand side by side without a fraction";
    }
    const char *fault = read_under(&ahead, over, &fraction);
    if (fault) {
        return fault;
    }
    if (fraction >= 1) {
        return "the fraction behind a whole number must be less than 1";
    }
    *reader = ahead;
    *value = whole + fraction;
    return NULL;
}

static const char *read_magnitude(Reader *reader, double *value)
{
    if (read_single_fraction(reader, value)) {
        return NULL;
    }
    int digits = 0;
    const double whole = read_whole(reader, &digits);
    if (*reader->at == '.' || *reader->at == ',') {
        return read_decimals(reader, whole, value);
    }
    if (digits == 0) {
        return "it is not a number";
    }
    if (*reader->at == '/') {
        return read_under(reader, whole, value);
    }
    return read_mixed(reader, whole, value);
}

typedef struct NamedUnit {
    const char *text;
    NumberUnit unit;
} NamedUnit;

// Longer words first: `in` would else be found in `inches`.
static const NamedUnit unit_words[] = {
    {"inches", NUMBER_IN}, {"inch", NUMBER_IN}, {"in.", NUMBER_IN},  {"in", NUMBER_IN},
    {"\"", NUMBER_IN},     {"″", NUMBER_IN},    {"feet", NUMBER_FT}, {"foot", NUMBER_FT},
    {"ft", NUMBER_FT},     {"'", NUMBER_FT},    {"′", NUMBER_FT},    {"mm", NUMBER_MM},
    {"cm", NUMBER_CM},     {"m", NUMBER_M},
};

static NumberUnit read_unit(Reader *reader)
{
    skip_spaces(reader);
    for (size_t i = 0; i < sizeof unit_words / sizeof *unit_words; i++) {
        if (skip_word(reader, unit_words[i].text)) {
            return unit_words[i].unit;
        }
    }
    return NUMBER_BARE;
}

const char *number_read(const char *text, Number *number)
{
    if (strlen(text) > NUMBER_TEXT_MAX) {
        return "it is too long for a number";
    }
    Reader reader = {text};
    skip_spaces(&reader);
    if (*reader.at == 0) {
        return "it is empty";
    }
    const bool minus = *reader.at == '-';
    reader.at += minus || *reader.at == '+';
    double value = 0;
    const char *fault = read_magnitude(&reader, &value);
    if (fault) {
        return fault;
    }
    const NumberUnit unit = read_unit(&reader);
    skip_spaces(&reader);
    if (*reader.at) {
        return unit == NUMBER_BARE ? "it is not a number" : "there is more behind the unit";
    }
    if (!isfinite(value)) {
        return "it is too large";
    }
    *number = (Number){minus ? -value : value, unit};
    return NULL;
}

// 0 to 3 as `1` or `¹`; -1 when there is none.
static int read_quarters(Reader *reader)
{
    static const char *const raised[] = {"⁰", "¹", "²", "³"};
    for (int i = 0; i < 4; i++) {
        if (skip_word(reader, raised[i])) {
            return i;
        }
    }
    return -1;
}

static const char *finish_stamp(Reader *reader, double area_ft2, double *result_ft2)
{
    skip_spaces(reader);
    if (*reader->at) {
        return "it is not an area stamp";
    }
    *result_ft2 = area_ft2;
    return NULL;
}

bool digits_read(const char *text, size_t length, int64_t *value)
{
    enum { DIGITS_MAX = 18 };
    if (length == 0 || length > DIGITS_MAX) {
        return false;
    }
    int64_t read = 0;
    for (size_t i = 0; i < length; i++) {
        if (!is_digit(text[i])) {
            return false;
        }
        read = read * 10 + (text[i] - '0');
    }
    *value = read;
    return true;
}

const char *stamp_read(const char *text, double *area_ft2)
{
    if (strlen(text) > NUMBER_TEXT_MAX) {
        return "it is too long for an area stamp";
    }
    Reader reader = {text};
    skip_spaces(&reader);
    int digits = 0;
    const double whole = read_whole(&reader, &digits);
    if (digits == 0 || digits > 6) {
        return "it is not an area stamp";
    }
    int quarters = read_quarters(&reader);
    if (quarters >= 0) {
        return finish_stamp(&reader, whole + 0.25 * quarters, area_ft2);
    }
    if (*reader.at == '.') {
        const char mark = *++reader.at;
        if (mark < '0' || mark > '3') {
            return "the mark behind the whole feet counts quarters, so it is 0, 1, 2 or 3";
        }
        reader.at++;
        if (is_digit(*reader.at)) {
            return "a stamp has one mark behind the whole feet, which counts quarters";
        }
        quarters = mark - '0';
        return finish_stamp(&reader, whole + 0.25 * quarters, area_ft2);
    }
    double value = 0;
    const char *fault = read_mixed(&reader, whole, &value);
    if (fault) {
        return fault;
    }
    if (value * 4 != floor(value * 4)) {
        return "a stamp counts whole quarters of a square foot";
    }
    return finish_stamp(&reader, value, area_ft2);
}
