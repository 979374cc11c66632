// Offers: what one supplier asks for one form of leather, and what it comes to.
//
// A bill has every line by itself, in whole minor units of the currency. Leather is billed
// by the stamp: each piece to the nearest quarter square foot, or to the nearest square
// decimetre when the price is per m2, then added up (common practice of the trade). Each
// line is rounded once, half a unit away from zero. docs/buying.md derives it all.
#pragma once

#include "buying/leather.h"
#include "buying/money.h"
#include "hide/population.h"

#include <stdint.h>

enum {
    OFFER_PIECES_MAX = 60, ///< stamped pieces to choose from in one offer
    OFFER_BUY_MAX = 1000,  ///< pieces bought at once: a panel for each chair of the largest job
};

typedef enum PriceUnit { PRICE_PER_FT2, PRICE_PER_M2, PRICE_PER_PIECE, PRICE_UNIT_COUNT } PriceUnit;
extern const char *const price_unit_names[PRICE_UNIT_COUNT]; ///< ft2, m2, piece

/// How likely a piece bought later is of the same dye lot, or near enough in shade.
typedef enum LotMatch {
    LOT_UNKNOWN,  ///< the seller cannot say
    LOT_UNLIKELY, ///< dyed anew each time
    LOT_LIKELY,   ///< a stock colour
    LOT_HELD,     ///< the seller keeps pieces of the lot aside
    LOT_MATCH_COUNT
} LotMatch;
extern const char *const lot_match_names[LOT_MATCH_COUNT]; ///< unknown, unlikely, likely, held
/// Source   our assumption, 0.5, 0.2, 0.8 and 1; no published figure was found.
extern const double lot_match_chances[LOT_MATCH_COUNT];

/// A stamped piece that may be chosen.
typedef struct OfferPiece {
    const char *name; ///< or NULL
    double stamped_mm2;
} OfferPiece;

/// All that applies is added up.
typedef struct OfferShipping {
    Money flat;
    Money per_kg;  ///< by the started kilogram
    Money per_ft2; ///< of billed area
    Money per_m2;
} OfferShipping;

/// Going there to choose: made once for each order.
typedef struct OfferTrip {
    double distance;    ///< there and back, km or miles as the rate is
    Money per_distance; ///< for one of these
    Money fare;
    double hours;
    Money per_hour; ///< what an hour is worth to the buyer
} OfferTrip;

/// Whole pieces that were not cut into.
typedef struct OfferReturns {
    bool taken;
    double kept_share; ///< of the price of the goods that the seller keeps
    Money shipping;    ///< back, at the buyer's cost
} OfferReturns;

typedef enum DutyBase { DUTY_ON_GOODS, DUTY_ON_SHIPPED, DUTY_BASE_COUNT } DutyBase;
extern const char *const duty_base_names[DUTY_BASE_COUNT]; ///< goods, goods and shipping
typedef enum TaxBase { TAX_ON_ALL, TAX_ON_GOODS, TAX_BASE_COUNT } TaxBase;
extern const char *const tax_base_names[TAX_BASE_COUNT]; ///< everything, goods

typedef struct Offer {
    const char *name;
    const char *notes; ///< or NULL
    HideForm form;
    Money price; ///< for one `per`
    PriceUnit per;
    double area_mm2[2];       ///< least and greatest of a piece bought unseen; 0: `pieces`
    const OfferPiece *pieces; ///< to choose from, instead
    int piece_count;
    double panel_length_mm; ///< along the firm direction
    double panel_width_mm;
    int kind;            ///< LeatherKind, or -1: not said
    double thickness_mm; ///< 0: not said
    const HideGrade *grade;
    int minimum_pieces;  ///< fewest pieces sold; 0 counts as 1
    Money minimum_goods; ///< the goods of an order come to at least this
    Money cut_fee;       ///< for each piece
    OfferShipping shipping;
    double duty; ///< share
    DutyBase duty_on;
    double tax; ///< share; 0 when prices have it in them
    TaxBase tax_on;
    OfferTrip trip;
    OfferReturns returns;
    LotMatch lot_match;
    int days; ///< until it is there; -1: not said
} Offer;

/// Weight of leather for shipping: mm2 times mm times this, in kg.
/// Source   about 0.9 g/cm3 for upholstery leather (common practice, from memory).
#define LEATHER_KG_PER_MM3 0.9e-6

/// What of an offer is bought: pieces of a range by their number, panels by their number, or
/// stamped pieces by which.
typedef struct Purchase {
    const Offer *offer;
    int count;
    const int *chosen;   ///< indices of `pieces`, `count` of them; NULL for ranges and panels
    double thickness_mm; ///< for the weight, when the offer does not say it
} Purchase;

/// A piece bought unseen may be as small as the range's low end, which is what to plan
/// on, and as large as its high end; stamped pieces and panels are what they are.
typedef enum BillCase { BILL_LOW, BILL_EXPECTED, BILL_HIGH, BILL_CASE_COUNT } BillCase;

typedef enum BillLine {
    BILL_GOODS,
    BILL_MINIMUM, ///< what is missing to the least order
    BILL_CUT_FEE,
    BILL_SHIPPING,
    BILL_DUTY,
    BILL_TAX,
    BILL_TRAVEL, ///< distance and fare
    BILL_HOURS,
    BILL_LINE_COUNT
} BillLine;
extern const char *const bill_line_names[BILL_LINE_COUNT];

typedef struct Bill {
    int pieces;
    int64_t billed;  ///< quarter square feet, or square decimetres when priced per m2
    double area_mm2; ///< of the leather itself
    double weight_kg;
    Money line[BILL_LINE_COUNT];
    Money total; ///< the sum of the lines
} Bill;

/// The area of one piece as it is billed: in quarter square feet, or in square
/// decimetres for PRICE_PER_M2; rounded to the nearest, half up.
int64_t offer_billed_units(PriceUnit per, double area_mm2);

/// The area of each of the pieces of a purchase, in one case.
double purchase_piece_mm2(const Purchase *purchase, int index, BillCase bill_case);

/// All of them together.
double purchase_area_mm2(const Purchase *purchase, BillCase bill_case);

/// Landed cost of a purchase, line by line.
///
/// Ranges   count 1 to OFFER_BUY_MAX and at least offer_fewest(); values of the offer as
///          the reader of the job document limits them.
/// Duty     on the goods with minimum and cut fee, and on the shipping where it says so.
/// Tax      on everything the seller or customs ask for (goods, minimum, cut fee,
///          shipping, duty), or on goods, minimum and cut fee alone. Never on the trip.
/// Expected for a range, the mean of its two ends as the area of each piece.
Bill purchase_bill(const Purchase *purchase, BillCase bill_case);

/// Fewest pieces that one can buy, and the most that there are.
int offer_fewest(const Offer *offer);
int offer_most(const Offer *offer);

/// What comes back when all is returned uncut: the goods without the share that the
/// seller keeps, with the tax on them, less the way back. 0 when nothing is taken back, or
/// it would not pay.
Money purchase_refund(const Purchase *purchase, const Bill *bill);
