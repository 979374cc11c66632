#include "buying/offer.h"

#include <assert.h>
#include <math.h>

const char *const price_unit_names[PRICE_UNIT_COUNT] = {"ft2", "m2", "piece"};
const char *const lot_match_names[LOT_MATCH_COUNT] = {"unknown", "unlikely", "likely", "held"};
const double lot_match_chances[LOT_MATCH_COUNT] = {0.5, 0.2, 0.8, 1};
const char *const duty_base_names[DUTY_BASE_COUNT] = {"goods", "goods and shipping"};
const char *const tax_base_names[TAX_BASE_COUNT] = {"everything", "goods"};
const char *const bill_line_names[BILL_LINE_COUNT] = {
    "leather", "up to the least order", "cutting", "shipping", "duty", "tax", "travel", "hours"};

enum { QUARTERS_PER_FT2 = 4, DM2_PER_M2 = 100, THOUSAND = 1000 };
static const double MM2_PER_DM2 = 1e4;

int64_t offer_billed_units(PriceUnit per, double area_mm2)
{
    const double unit_mm2 = per == PRICE_PER_M2 ? MM2_PER_DM2 : MM2_PER_FT2 / QUARTERS_PER_FT2;
    // A stamp that is halfway in its own unit must not fall below by its conversion.
    return (int64_t)floor(area_mm2 / unit_mm2 + 0.5 + 1e-9);
}

double purchase_piece_mm2(const Purchase *purchase, int index, BillCase bill_case)
{
    const Offer *offer = purchase->offer;
    assert(index >= 0 && index < purchase->count);
    if (offer->form == HIDE_PANEL) {
        return offer->panel_length_mm * offer->panel_width_mm;
    }
    if (offer->piece_count > 0) {
        assert(purchase->chosen);
        return offer->pieces[purchase->chosen[index]].stamped_mm2;
    }
    switch (bill_case) {
    case BILL_LOW:
        return offer->area_mm2[0];
    case BILL_HIGH:
        return offer->area_mm2[1];
    case BILL_EXPECTED:
    case BILL_CASE_COUNT:
        break;
    }
    return (offer->area_mm2[0] + offer->area_mm2[1]) / 2;
}

double purchase_area_mm2(const Purchase *purchase, BillCase bill_case)
{
    double area_mm2 = 0;
    for (int i = 0; i < purchase->count; i++) {
        area_mm2 += purchase_piece_mm2(purchase, i, bill_case);
    }
    return area_mm2;
}

int offer_fewest(const Offer *offer)
{
    return offer->minimum_pieces > 1 ? offer->minimum_pieces : 1;
}

int offer_most(const Offer *offer)
{
    return offer->piece_count > 0 && offer->piece_count < OFFER_BUY_MAX ? offer->piece_count
                                                                        : OFFER_BUY_MAX;
}

// The price of the goods, and what is billed of them.
static Money add_goods(const Purchase *purchase, BillCase bill_case, Bill *bill)
{
    const Offer *offer = purchase->offer;
    for (int i = 0; i < purchase->count; i++) {
        bill->billed += offer_billed_units(offer->per, purchase_piece_mm2(purchase, i, bill_case));
    }
    switch (offer->per) {
    case PRICE_PER_FT2:
        return money_times(offer->price, bill->billed, QUARTERS_PER_FT2);
    case PRICE_PER_M2:
        return money_times(offer->price, bill->billed, DM2_PER_M2);
    case PRICE_PER_PIECE:
    case PRICE_UNIT_COUNT:
        break;
    }
    return offer->price * purchase->count;
}

// Areas for shipping are billed as those of the goods are, in the shipper's unit.
static Money shipping_of(const Purchase *purchase, BillCase bill_case, const Bill *bill)
{
    const OfferShipping *shipping = &purchase->offer->shipping;
    int64_t quarters = 0;
    int64_t dm2 = 0;
    for (int i = 0; i < purchase->count; i++) {
        const double area_mm2 = purchase_piece_mm2(purchase, i, bill_case);
        quarters += offer_billed_units(PRICE_PER_FT2, area_mm2);
        dm2 += offer_billed_units(PRICE_PER_M2, area_mm2);
    }
    const int64_t started_kg = (int64_t)ceil(bill->weight_kg - 1e-9);
    return shipping->flat + shipping->per_kg * started_kg +
           money_times(shipping->per_ft2, quarters, QUARTERS_PER_FT2) +
           money_times(shipping->per_m2, dm2, DM2_PER_M2);
}

static void add_trip(const OfferTrip *trip, Bill *bill)
{
    const int64_t thousandths = (int64_t)llround(trip->distance * THOUSAND);
    const int64_t hour_thousandths = (int64_t)llround(trip->hours * THOUSAND);
    bill->line[BILL_TRAVEL] = money_times(trip->per_distance, thousandths, THOUSAND) + trip->fare;
    bill->line[BILL_HOURS] = money_times(trip->per_hour, hour_thousandths, THOUSAND);
}

// What the seller asks for the leather itself.
static Money goods_of(const Bill *bill)
{
    return bill->line[BILL_GOODS] + bill->line[BILL_MINIMUM] + bill->line[BILL_CUT_FEE];
}

Bill purchase_bill(const Purchase *purchase, BillCase bill_case)
{
    const Offer *offer = purchase->offer;
    assert(purchase->count >= offer_fewest(offer) && purchase->count <= OFFER_BUY_MAX);
    Bill bill = {.pieces = purchase->count, .area_mm2 = purchase_area_mm2(purchase, bill_case)};
    const double thickness_mm =
        offer->thickness_mm > 0 ? offer->thickness_mm : purchase->thickness_mm;
    bill.weight_kg = bill.area_mm2 * thickness_mm * LEATHER_KG_PER_MM3;
    Money *line = bill.line;
    line[BILL_GOODS] = add_goods(purchase, bill_case, &bill);
    if (line[BILL_GOODS] < offer->minimum_goods) {
        line[BILL_MINIMUM] = offer->minimum_goods - line[BILL_GOODS];
    }
    line[BILL_CUT_FEE] = offer->cut_fee * purchase->count;
    line[BILL_SHIPPING] = shipping_of(purchase, bill_case, &bill);
    const Money goods = goods_of(&bill);
    const Money dutiable = goods + (offer->duty_on == DUTY_ON_SHIPPED ? line[BILL_SHIPPING] : 0);
    line[BILL_DUTY] = money_share(dutiable, share_millionths(offer->duty));
    const Money taxable =
        goods + (offer->tax_on == TAX_ON_ALL ? line[BILL_SHIPPING] + line[BILL_DUTY] : 0);
    line[BILL_TAX] = money_share(taxable, share_millionths(offer->tax));
    add_trip(&offer->trip, &bill);
    for (int i = 0; i < BILL_LINE_COUNT; i++) {
        bill.total += line[i];
    }
    return bill;
}

Money purchase_refund(const Purchase *purchase, const Bill *bill)
{
    const Offer *offer = purchase->offer;
    if (!offer->returns.taken) {
        return 0;
    }
    const Money goods = bill->line[BILL_GOODS];
    const Money back = goods - money_share(goods, share_millionths(offer->returns.kept_share));
    const Money refund =
        back + money_share(back, share_millionths(offer->tax)) - offer->returns.shipping;
    return refund > 0 ? refund : 0;
}
