// What plan hands to paper.
#pragma once

#include "paper/buying.h"
#include "plan/print.h"

/// What a pack is made of, without date, doubts and progress. Points into both.
PackMatter matter_of(const Derived *derived, const CutPlan *plan);

/// Points into `derived` and `known`.
const BuyingMatter *buying_matter(const Derived *derived, const BuyingKnown *known, Arena *keep);
