// Matter for the pages for buying, made by hand: trials whose answers are known in advance,
// advice for a few seats, and invented offers with a table of chances.
#pragma once

#include "paper/buying.h"
#include "support/sample_matter.h"

/// All zero: 400 trials of one whole hide, four offers, three seats, short names.
typedef struct SampleBuying {
    int trials;
    int pieces;
    bool stopped;
    bool never_enough; ///< on no size of hide
    bool no_trials;
    bool no_offers;
    int offers; ///< 0: 4
    int seats;  ///< 0: 3
    bool long_names;
} SampleBuying;

/// Trial k of n begins to find room at 55 ft² and a logistic spread round it.
static inline int sample_fits(int trial, int trials)
{
    const double share = (trial + 0.5) / trials;
    const int step = (int)(110 + 8 * log(share / (1 - share)));
    return step < 1 ? 1 : step > AREA_STEPS - 1 ? AREA_STEPS - 1 : step;
}

static inline const AskedFor *sample_asked(const SampleBuying *wish, const PackMatter *matter,
                                           Arena *keep)
{
    StudyAnswer *study = ARENA_NEW(keep, StudyAnswer);
    const int trials = wish->trials > 0 ? wish->trials : 400;
    for (int k = 0; k < trials; k++) {
        const int fits = wish->never_enough ? AREA_STEPS : sample_fits(k, trials);
        // Every third trial was looked at coarsely only.
        tally_add(&study->tally, (Bracket){fits - (k % 3 == 0 && fits > 4 ? 4 : 1), fits}, false);
    }
    study->area = tally_area_for(&study->tally, 0.95, CHANCE_Z);
    study->stopped = wish->stopped;
    Thumb *thumbs = ARENA_ARRAY(keep, Thumb, THUMBS_MAX);
    AskedFor *asked = ARENA_NEW(keep, AskedFor);
    *asked = (AskedFor){
        .words =
            wish->never_enough
                ? "No size of hide up to 99.5 ft² is enough 19 times in 20 with a whole hide."
                : arena_text(keep,
                             "Ask for a whole hide of at least %s; 19 times in 20 it is enough.",
                             area_step_text(study->area.step, matter->job->units.area, keep)),
        .form = HIDE_WHOLE,
        .pieces = wish->pieces > 0 ? wish->pieces : 1,
        .grade = hide_grades[GRADE_AVERAGE].name,
        .lets_through = hide_grades[GRADE_AVERAGE].lets_through,
        .comfort = 0.95,
        .covers = 8,
        .cut_mm2 = demands_cut_mm2(matter->demands, matter->demand_count),
        .study = study,
        .thumbs = thumbs,
        .thumb_count = thumb_rules(matter->demands, matter->demand_count, keep, thumbs)};
    return asked;
}

static inline const AdvisedLeather *sample_leather(const SampleBuying *wish, Arena *keep)
{
    static const char *const names[] = {"side chair", "armchair", "window seat"};
    const int count = wish->seats > 0 ? wish->seats : 3;
    AdviceSeat *seats = ARENA_ARRAY(keep, AdviceSeat, count);
    for (int i = 0; i < count; i++) {
        seats[i] = (AdviceSeat){.name = wish->long_names ? sample_long_name : names[i % 3],
                                .corner_radius_mm = 20,
                                .edge_radius_mm = 8,
                                .layers_mm = 1.2 + 0.3 * (i % 2),
                                .clearance_mm = i % 5 == 2 ? -1 : 5.5};
    }
    AdviceQuestion *question = ARENA_NEW(keep, AdviceQuestion);
    *question = (AdviceQuestion){
        .household = {.sun = DAILY, .pets = AT_TIMES, .children = DAILY, .spills = AT_TIMES},
        .wish = {.kind = LEATHER_ANILINE, .grain = GRAIN_FULL, .comfort = 0.95},
        .leather_mm = 1.4,
        .seats = seats,
        .seat_count = count};
    ThicknessCheck *checks = ARENA_ARRAY(keep, ThicknessCheck, count);
    for (int i = 0; i < count; i++) {
        checks[i] = thickness_check(&seats[i], question->leather_mm);
    }
    Advice *advice = ARENA_NEW(keep, Advice);
    *advice = leather_advise(question);
    AdvisedLeather *leather = ARENA_NEW(keep, AdvisedLeather);
    *leather = (AdvisedLeather){.words = "pigmented leather with corrected grain, 1.0 mm thick",
                                .household = "sun daily, pets at times, children daily",
                                .question = question,
                                .checks = checks,
                                .advice = advice};
    return leather;
}

/// The more leather the surer: 0.8 at 48 ft², 0.96 from 56 on.
static inline double sample_chance(void *context, const Purchase *purchase)
{
    (void)context;
    const double ft2 = purchase_area_mm2(purchase, BILL_LOW) / MM2_PER_FT2;
    return ft2 < 40 ? 0.1 : ft2 < 48 ? 0.5 : ft2 < 56 ? 0.8 : ft2 < 90 ? 0.96 : 1;
}

static inline Offer *sample_offer(int number, const SampleBuying *wish, Arena *keep)
{
    static const char *const names[] = {"hides unseen", "from the rack", "large hides", "sides"};
    static const OfferPiece rack[] = {{"a", 57.75 * MM2_PER_FT2}, {"b", 52.75 * MM2_PER_FT2}};
    Offer *offer = ARENA_NEW(keep, Offer);
    *offer = (Offer){.name = wish->long_names ? sample_long_name : names[number % 4],
                     .form = number % 4 == 3 ? HIDE_SIDE : HIDE_WHOLE,
                     .price = 950 + 35 * number,
                     .per = PRICE_PER_FT2,
                     .kind = number % 4 == 2 ? LEATHER_PIGMENTED : LEATHER_ANILINE,
                     .shipping = {.flat = 2400},
                     .tax = 0.07,
                     .lot_match = (LotMatch)(number % LOT_MATCH_COUNT),
                     .days = number % 3 == 0 ? -1 : 4 * number};
    if (number % 4 == 1) {
        offer->pieces = rack;
        offer->piece_count = 2;
        offer->trip =
            (OfferTrip){.distance = 84, .per_distance = 60, .hours = 3.5, .per_hour = 1800};
        offer->returns = (OfferReturns){.taken = true, .kept_share = 0.2};
        offer->cut_fee = 500;
    } else {
        const double low = number % 4 == 0 ? 48 : number % 4 == 2 ? 58 : 24;
        offer->area_mm2[0] = low * MM2_PER_FT2;
        offer->area_mm2[1] = (low + 4) * MM2_PER_FT2;
        offer->duty = number % 4 == 2 ? 0.03 : 0;
    }
    if (wish->long_names) {
        Text notes = {.keep = keep};
        while (notes.length < 3900) {
            text_add(&notes, "%s ", sample_long_name);
        }
        offer->notes = text_string(&notes);
    } else if (number == 1) {
        offer->notes = "Closed on Mondays.";
    }
    return offer;
}

static inline const RankedOffers *sample_offers(const SampleBuying *wish, Arena *keep)
{
    const int count = wish->offers > 0 ? wish->offers : 4;
    const Offer **offers = ARENA_ARRAY(keep, const Offer *, count);
    for (int i = 0; i < count; i++) {
        offers[i] = sample_offer(i, wish, keep);
    }
    const BuyingWish asked = {.chance = sample_chance,
                              .comfort = 0.95,
                              .least_mm2 = 26 * MM2_PER_FT2,
                              .thickness_mm = 1.1,
                              .kind = LEATHER_ANILINE};
    OfferRanking *ranking = ARENA_NEW(keep, OfferRanking);
    *ranking = offers_compare(offers, count, &asked, keep);
    const char **purchases = ARENA_ARRAY(keep, const char *, count);
    for (int i = 0; i < ranking->count; i++) {
        purchases[i] = wish->long_names
                           ? arena_text(keep, "%s, %s and %s", sample_long_name, sample_long_name,
                                        sample_long_name)
                           : arena_text(keep, "%d of them", ranking->items[i].way.purchase.count);
    }
    RankedOffers *ranked = ARENA_NEW(keep, RankedOffers);
    OfferSure *sure = ARENA_ARRAY(keep, OfferSure, count);
    for (int i = 0; i < ranking->count; i++) {
        const double chance = ranking->items[i].way.chance[0];
        sure[i].told = (ChanceTold){chance_of(200 * chance, 200, CHANCE_Z), i % 4 == 3 ? 0 : 200,
                                    CHANCE_BY_TRIALS};
    }
    OfferChoice *choice = ARENA_NEW(keep, OfferChoice);
    *choice = (OfferChoice){
        .ranking = *ranking, .sure = sure, .certain = !wish->stopped, .stopped = wish->stopped};
    if (wish->stopped) {
        choice->untried = offers;
        choice->untried_count = 1;
    }
    *ranked = (RankedOffers){choice, purchases};
    return ranked;
}

static inline const BuyingMatter *sample_buying(SampleBuying wish, const PackMatter *matter,
                                                Arena *keep)
{
    BuyingMatter *buying = ARENA_NEW(keep, BuyingMatter);
    *buying = (BuyingMatter){.leather = sample_leather(&wish, keep),
                             .asked = wish.no_trials ? NULL : sample_asked(&wish, matter, keep),
                             .offers = wish.no_offers ? NULL : sample_offers(&wish, keep)};
    return buying;
}
