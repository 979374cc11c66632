// A locale that writes 0,5: files must not care. The build makes it (tests/meson.build),
// so that it is there on every machine.
#pragma once

#include "support/check.h"

#include <locale.h>

static inline void begin_comma_locale(void)
{
    assert_non_null(setlocale(LC_ALL, "de_DE.UTF-8"));
    char formatted[8];
    (void)snprintf(formatted, sizeof formatted, "%.1f", 0.5);
    assert_string_equal(formatted, "0,5"); // it is really at work
}

static inline void end_comma_locale(void)
{
    (void)setlocale(LC_ALL, "C");
}
