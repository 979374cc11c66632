// Bills, worked out by hand beside each check.
#include "base/random.h"
#include "base/units.h"
#include "buying/offer.h"

#include "support/check.h"

#define FT2(x) ((x)*MM2_PER_FT2)
#define M2(x) ((x)*MM2_PER_M2)

// 48-52 ft² at 9.50, the trade's usual way of offering whole hides.
static Offer unseen(void)
{
    return (Offer){.name = "unseen",
                   .form = HIDE_WHOLE,
                   .price = 950,
                   .per = PRICE_PER_FT2,
                   .area_mm2 = {FT2(48), FT2(52)},
                   .kind = -1,
                   .days = -1};
}

// Invoice rounding: nearest quarter of a square foot, or square decimetre (common practice).
static void pieces_are_billed_in_steps(void **state)
{
    (void)state;
    assert_int_equal(offer_billed_units(PRICE_PER_FT2, FT2(52.75)), 211);
    assert_int_equal(offer_billed_units(PRICE_PER_FT2, FT2(52.6)), 210);
    assert_int_equal(offer_billed_units(PRICE_PER_FT2, FT2(52.625)), 211);
    assert_int_equal(offer_billed_units(PRICE_PER_FT2, FT2(52.62)), 210);
    assert_int_equal(offer_billed_units(PRICE_PER_M2, M2(2.42)), 242);
    assert_int_equal(offer_billed_units(PRICE_PER_M2, FT2(50)), 465); // 464.5152 dm²
    // Whatever stamp is typed comes back as it is, in either unit.
    for (int quarters = 2; quarters <= 441; quarters++) {
        assert_int_equal(offer_billed_units(PRICE_PER_FT2, FT2(quarters / 4.0)), quarters);
    }
    for (int dm2 = 5; dm2 <= 1025; dm2++) {
        assert_int_equal(offer_billed_units(PRICE_PER_M2, M2(dm2 / 100.0)), dm2);
    }
}

// Each piece is rounded, then they are added: 3 x 25.1 ft² are 3 x 25 ft², not 75.25 ft².
static void each_piece_is_rounded_by_itself(void **state)
{
    (void)state;
    Offer offer = unseen();
    offer.area_mm2[0] = offer.area_mm2[1] = FT2(25.1);
    const Purchase three = {.offer = &offer, .count = 3};
    const Bill bill = purchase_bill(&three, BILL_LOW);
    assert_int_equal(bill.billed, 300);
    assert_int_equal(bill.line[BILL_GOODS], 75 * 950);
}

static void low_expected_and_high(void **state)
{
    (void)state;
    const Offer offer = unseen();
    const Purchase two = {.offer = &offer, .count = 2};
    assert_int_equal(purchase_bill(&two, BILL_LOW).total, 2 * 48 * 950);
    assert_int_equal(purchase_bill(&two, BILL_EXPECTED).total, 2 * 50 * 950);
    assert_int_equal(purchase_bill(&two, BILL_HIGH).total, 2 * 52 * 950);
    CHECK_NEAR(purchase_area_mm2(&two, BILL_LOW), FT2(96), 1e-6);
}

// All lines at once:
//   leather  50 ft² x 9.50                              475.00
//   least order 500.00                                   25.00
//   cutting                                              12.25
//   shipping 18.50 + 6 kg x 1.25 + 50 ft² x 0.10
//            + 465 dm² x 1.00 / 100                      35.65
//     (4.645152 m² x 1.2 mm x 0.9 = 5.02 kg, 6 begun)
//   duty     5 % of 512.25 + 35.65 = 547.90              27.40  (27.395)
//   tax      20 % of 547.90 + 27.40 = 575.30            115.06
//   travel   61.5 x 0.30 + 4.00                          22.45
//   hours    2.5 x 22.00                                 55.00
//                                                       767.81
static void every_line_of_a_bill(void **state)
{
    (void)state;
    Offer offer = unseen();
    offer.minimum_goods = 50000;
    offer.cut_fee = 1225;
    offer.shipping = (OfferShipping){.flat = 1850, .per_kg = 125, .per_ft2 = 10, .per_m2 = 100};
    offer.duty = 0.05;
    offer.duty_on = DUTY_ON_SHIPPED;
    offer.tax = 0.2;
    offer.trip = (OfferTrip){
        .distance = 61.5, .per_distance = 30, .fare = 400, .hours = 2.5, .per_hour = 2200};
    const Purchase one = {.offer = &offer, .count = 1, .thickness_mm = 1.2};
    const Bill bill = purchase_bill(&one, BILL_EXPECTED);
    static const Money wanted[BILL_LINE_COUNT] = {47500, 2500, 1225, 3565, 2740, 11506, 2245, 5500};
    for (int i = 0; i < BILL_LINE_COUNT; i++) {
        assert_int_equal(bill.line[i], wanted[i]);
    }
    assert_int_equal(bill.total, 76781);
    CHECK_NEAR(bill.weight_kg, 5.01676, 1e-5);
    // Bases that leave the shipping out: 5 % of 512.25 = 25.61; 20 % of 512.25 = 102.45.
    offer.duty_on = DUTY_ON_GOODS;
    offer.tax_on = TAX_ON_GOODS;
    const Bill narrow = purchase_bill(&one, BILL_EXPECTED);
    assert_int_equal(narrow.line[BILL_DUTY], 2561);
    assert_int_equal(narrow.line[BILL_TAX], 10245);
}

// An offer's own thickness weighs, not the job's.
static void weight_follows_the_offer(void **state)
{
    (void)state;
    Offer offer = unseen();
    offer.thickness_mm = 2.4;
    const Purchase one = {.offer = &offer, .count = 1, .thickness_mm = 1.2};
    CHECK_NEAR(purchase_bill(&one, BILL_EXPECTED).weight_kg, 2 * 5.01676, 1e-5);
}

static void stamped_pieces_are_what_they_are(void **state)
{
    (void)state;
    static const OfferPiece pieces[] = {{NULL, FT2(24.75)}, {NULL, FT2(23)}, {NULL, FT2(25.5)}};
    Offer offer = unseen();
    offer.form = HIDE_SIDE;
    offer.area_mm2[0] = offer.area_mm2[1] = 0;
    offer.pieces = pieces;
    offer.piece_count = 3;
    static const int chosen[] = {2, 0};
    const Purchase two = {.offer = &offer, .count = 2, .chosen = chosen};
    for (int c = 0; c < BILL_CASE_COUNT; c++) {
        assert_int_equal(purchase_bill(&two, (BillCase)c).billed, 201);
    }
    assert_int_equal(purchase_bill(&two, BILL_LOW).line[BILL_GOODS], 47738); // 50.25 x 9.50
    assert_int_equal(offer_most(&offer), 3);
}

static void panels_by_the_piece_and_by_area(void **state)
{
    (void)state;
    Offer offer = {.name = "panels",
                   .form = HIDE_PANEL,
                   .price = 7000,
                   .per = PRICE_PER_PIECE,
                   .panel_length_mm = 700,
                   .panel_width_mm = 650};
    const Purchase three = {.offer = &offer, .count = 3};
    assert_int_equal(purchase_bill(&three, BILL_HIGH).line[BILL_GOODS], 21000);
    offer.per = PRICE_PER_M2; // 45.5 dm², billed 46 each
    offer.price = 12000;
    assert_int_equal(purchase_bill(&three, BILL_HIGH).line[BILL_GOODS], 3 * 46 * 120);
}

// 475.00 of goods, of which the seller keeps 15 %: 403.75, with 20 % tax 484.50, less 19.90.
static void what_comes_back(void **state)
{
    (void)state;
    Offer offer = unseen();
    offer.tax = 0.2;
    const Purchase one = {.offer = &offer, .count = 1};
    const Bill bill = purchase_bill(&one, BILL_EXPECTED);
    assert_int_equal(purchase_refund(&one, &bill), 0);
    offer.returns = (OfferReturns){.taken = true, .kept_share = 0.15, .shipping = 1990};
    assert_int_equal(purchase_refund(&one, &bill), 46460);
    offer.returns.shipping = 50000; // dearer than what comes back: one keeps it
    assert_int_equal(purchase_refund(&one, &bill), 0);
}

static Money some_money(Random *random, double most)
{
    return (Money)(random_share(random) * most);
}

static Offer random_offer(Random *random)
{
    Offer offer = unseen();
    offer.form = (HideForm)random_below(random, HIDE_FORM_COUNT);
    offer.per = (PriceUnit)random_below(random, PRICE_UNIT_COUNT);
    offer.price = 1 + some_money(random, 1e9);
    offer.area_mm2[0] = random_between(random, FT2(0.5), FT2(100));
    offer.area_mm2[1] = random_between(random, offer.area_mm2[0], FT2(110.25));
    offer.panel_length_mm = random_between(random, 100, 3500);
    offer.panel_width_mm = random_between(random, 100, 3500);
    offer.minimum_goods = some_money(random, 1e9);
    offer.cut_fee = some_money(random, 1e9);
    offer.shipping = (OfferShipping){some_money(random, 1e9), some_money(random, 1e9),
                                     some_money(random, 1e9), some_money(random, 1e9)};
    offer.duty = random_between(random, 0, 0.5);
    offer.duty_on = (DutyBase)random_below(random, DUTY_BASE_COUNT);
    offer.tax = random_between(random, 0, 0.5);
    offer.tax_on = (TaxBase)random_below(random, TAX_BASE_COUNT);
    offer.trip = (OfferTrip){random_between(random, 0, 20000), some_money(random, 1e9),
                             some_money(random, 1e9), random_between(random, 0, 200),
                             some_money(random, 1e9)};
    offer.returns = (OfferReturns){true, random_share(random), some_money(random, 1e5)};
    return offer;
}

// Properties, over the whole of the document's limits: lines add up to the total and
// none is negative; a larger case, more pieces or a higher price never cost less.
static void bills_hold_together(void **state)
{
    (void)state;
    Random random = random_begin(11, 0, 0);
    for (int i = 0; i < TRIALS_OF(20000); i++) {
        Offer offer = random_offer(&random);
        Purchase purchase = {.offer = &offer,
                             .count = 1 + random_below(&random, OFFER_BUY_MAX - 1),
                             .thickness_mm = random_between(&random, 0.4, 6)};
        Money before = 0;
        for (int c = 0; c < BILL_CASE_COUNT; c++) {
            const Bill bill = purchase_bill(&purchase, (BillCase)c);
            Money sum = 0;
            for (int k = 0; k < BILL_LINE_COUNT; k++) {
                assert_true(bill.line[k] >= 0);
                sum += bill.line[k];
            }
            assert_int_equal(sum, bill.total);
            assert_true(bill.total >= before);
            before = bill.total;
        }
        const Bill high = purchase_bill(&purchase, BILL_HIGH);
        const Money refund = purchase_refund(&purchase, &high);
        assert_true(refund >= 0 && refund <= high.total);
        offer.price++;
        assert_true(purchase_bill(&purchase, BILL_HIGH).total >= high.total);
        purchase.count++;
        assert_true(purchase_bill(&purchase, BILL_HIGH).total >= high.total);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(pieces_are_billed_in_steps),
        cmocka_unit_test(each_piece_is_rounded_by_itself),
        cmocka_unit_test(low_expected_and_high),
        cmocka_unit_test(every_line_of_a_bill),
        cmocka_unit_test(weight_follows_the_offer),
        cmocka_unit_test(stamped_pieces_are_what_they_are),
        cmocka_unit_test(panels_by_the_piece_and_by_area),
        cmocka_unit_test(what_comes_back),
        cmocka_unit_test(bills_hold_together),
    };
    return cmocka_run_group_tests_name("buying/offer", tests, NULL, NULL);
}
