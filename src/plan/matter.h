// What plan hands to paper for the pages for buying.
#pragma once

#include "paper/buying.h"
#include "plan/print.h"

/// Points into `derived` and `known`.
const BuyingMatter *buying_matter(const Derived *derived, const BuyingKnown *known, Arena *keep);
