// The one function of every fuzz target.
#pragma once

#include <stddef.h>
#include <stdint.h>

/// Called with one input after another; a fault aborts. The name is the fuzz engine's.
int LLVMFuzzerTestOneInput(const uint8_t *data,
                           size_t size); // NOLINT(readability-identifier-naming)
