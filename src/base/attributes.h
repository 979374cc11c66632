// Words to the compiler, in one place.
#pragma once

#define MUST_CHECK __attribute__((warn_unused_result))
#define PRINTF_LIKE(text, first) __attribute__((format(printf, text, first)))
