// Offers of the example in docs/buying.md, which tests reckon by hand.
#pragma once

#include "base/units.h"
#include "buying/offer.h"

#define FT2(x) ((x)*MM2_PER_FT2)

static inline Offer unseen(const char *name, Money price)
{
    return (Offer){.name = name,
                   .form = HIDE_WHOLE,
                   .price = price,
                   .per = PRICE_PER_FT2,
                   .area_mm2 = {FT2(48), FT2(52)},
                   .kind = -1};
}

static const OfferPiece rack[] = {{"a", FT2(57.75)}, {"b", FT2(52.75)}};

static inline Offer to_choose(Money price)
{
    return (Offer){.name = "to choose",
                   .form = HIDE_WHOLE,
                   .price = price,
                   .per = PRICE_PER_FT2,
                   .pieces = rack,
                   .piece_count = 2,
                   .kind = -1,
                   .lot_match = LOT_LIKELY};
}
