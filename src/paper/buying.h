// Pages for buying: what to ask for, which leather, offers side by side, and what to look
// at in the shop. Page frame, tables and flow are those of the pack.
#pragma once

#include "buying/advise.h"
#include "buying/choose.h"
#include "buying/study.h"
#include "buying/thumb.h"
#include "paper/pack.h"

/// What trials with random hides said.
typedef struct AskedFor {
    const char *words; ///< the answer: `Ask for a whole hide of at least 66 ft²; ...`
    HideForm form;     ///< whole or side
    int pieces;
    const char *grade;        ///< its name
    const char *lets_through; ///< in words
    double comfort;           ///< as a share
    int covers;
    double cut_mm2; ///< of all covers
    const StudyAnswer *study;
    const Thumb *thumbs; ///< the usual rules, at most THUMBS_MAX
    int thumb_count;
} AskedFor;

/// Which leather is advised, and for what.
typedef struct AdvisedLeather {
    const char *words;     ///< `semi-aniline leather with full grain, 1.0 to 1.1 mm thick`
    const char *household; ///< in words
    const AdviceQuestion *question;
    const ThicknessCheck *checks; ///< one for each seat of the question
    const Advice *advice;
} AdvisedLeather;

/// Offers compared.
typedef struct RankedOffers {
    const OfferChoice *choice;
    const char *const *purchases; ///< for each of its ranking: `2 whole hides`
} RankedOffers;

/// All that these pages are made of; owned by the caller.
typedef struct BuyingMatter {
    const AdvisedLeather *leather;
    const AskedFor *asked;      ///< NULL: no trials were made
    const RankedOffers *offers; ///< NULL: none were compared
} BuyingMatter;

/// All pages for buying that there is matter for.
void pack_buying(const PackMatter *matter, const BuyingMatter *buying, Pages *pages);

/// What to ask for: the answer, the chance of every area as a chart, the usual rules, and what
/// was assumed.
void pack_ask(const PackMatter *matter, const AskedFor *asked, Pages *pages);

/// Which leather: why, how thick, and what to ask the seller for.
void pack_leather(const PackMatter *matter, const AdvisedLeather *leather, Pages *pages);

/// Offers side by side.
void pack_offers(const PackMatter *matter, const RankedOffers *offers, Pages *pages);

/// In the shop: what to look at, and a table for the hides seen. What is wanted stands on the
/// table's head as far as it is known.
void pack_shop(const PackMatter *matter, const BuyingMatter *buying, Pages *pages);
