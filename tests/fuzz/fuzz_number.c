// Whatever the text: a number that is read is finite and its value does not depend on
// spaces around it; one that is refused has a reason and leaves the result alone.
#include "fuzz.h"

#include "base/number.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { TEXT_MAX = 200 };

static void require(bool holds, const char *what, const char *text)
{
    if (!holds) {
        (void)fprintf(stderr, "%s: \"%s\"\n", what, text);
        abort();
    }
}

static void check_number(const char *text)
{
    Number number = {.value = -1234.5, .unit = NUMBER_FT};
    const char *fault = number_read(text, &number);
    if (fault) {
        require(*fault != '\0', "no reason", text);
        require(number.value == -1234.5 && number.unit == NUMBER_FT, "changed", text);
        return;
    }
    require(strlen(text) <= NUMBER_TEXT_MAX, "too long", text);
    require(isfinite(number.value), "not finite", text);
    char spaced[TEXT_MAX + 4];
    (void)snprintf(spaced, sizeof spaced, " %s ", text);
    Number again;
    if (strlen(spaced) <= NUMBER_TEXT_MAX) {
        require(number_read(spaced, &again) == NULL, "refused with spaces", text);
        require(again.value == number.value && again.unit == number.unit, "spaces matter", text);
    }
}

static void check_stamp(const char *text)
{
    double area_ft2 = -1234.5;
    const char *fault = stamp_read(text, &area_ft2);
    if (fault) {
        require(*fault != '\0', "no reason", text);
        require(area_ft2 == -1234.5, "changed", text);
        return;
    }
    require(isfinite(area_ft2) && area_ft2 >= 0, "no area", text);
    require(area_ft2 * 4 == floor(area_ft2 * 4), "not in quarters", text);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    char text[TEXT_MAX + 1] = {0};
    memcpy(text, data, size < TEXT_MAX ? size : TEXT_MAX);
    check_number(text);
    check_stamp(text);
    return 0;
}
