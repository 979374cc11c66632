// Offers side by side: what each comes to, and what falling short would cost.
#include "paper/buying.h"
#include "paper/table.h"

#include <math.h>

static const char title[] = "Offers side by side";

enum { LONG_LIST = 80 }; ///< letters
#define BAR_MM 5.0
#define BAR_ROW_MM 12.5
#define BAR_NUMBER_MM 34.0 ///< kept for the number behind the longest bar
#define STROKE_MM 1.1      ///< between the strokes of what falling short adds

static const char *amount(const Flow *flow, Money money)
{
    return money_text(money, flow->matter->job->currency, flow->pages->keep);
}

static const char *price_text(const Flow *flow, Money price, PriceUnit per)
{
    static const char *const units[PRICE_UNIT_COUNT] = {"ft²", "m²", "piece"};
    return arena_text(flow->pages->keep, "%s per %s", amount(flow, price), units[per]);
}

static const char *winning_text(const Flow *flow, const OfferCost *cost)
{
    if (offer_always_wins(cost)) {
        return "at any price";
    }
    return cost->price_to_win > 0
               ? arena_text(flow->pages->keep, "up to %s",
                            price_text(flow, cost->price_to_win, cost->offer->per))
               : "at no price";
}

/// In 100, so that neither end is claimed for sure.
static const char *times_text(double chance, Arena *keep)
{
    return chance > 0 && chance < 0.005   ? "under 1"
           : chance > 0.995 && chance < 1 ? "over 99"
                                          : arena_text(keep, "%.0f", 100 * chance);
}

/// What is bought, unless that is a long list, which stands below the tables.
static const char *purchase_words(const RankedOffers *offers, int number, Arena *keep)
{
    const char *words = offers->purchases[number];
    const int count = offers->choice->ranking.items[number].way.purchase.count;
    return text_columns(words) <= LONG_LIST ? words
                                            : arena_text(keep, "%d %s, named at the end", count,
                                                         count == 1 ? "piece" : "pieces");
}

static void draw_strokes(Drawing *page, Box box)
{
    const int count = (int)((box.max.x - box.min.x) / STROKE_MM);
    for (int i = 1; i <= count; i++) {
        const double x = box.min.x + i * STROKE_MM;
        draw_line(page, LAYER_MARK, (Point){x, box.min.y}, (Point){x, box.max.y});
    }
}

static void draw_box(Drawing *page, DrawLayer layer, Box box, bool filled)
{
    const Point corners[] = {box.min, {box.max.x, box.min.y}, box.max, {box.min.x, box.max.y}};
    draw_shape(page, layer, (Ring){corners, 4}, filled);
}

/// From the least bill to the greatest, where an offer leaves that open.
static void draw_spread(Drawing *page, double left, double scale, double y, const OfferCost *cost)
{
    const double low = left + scale * (double)cost->bill[BILL_LOW].total;
    const double high = left + scale * (double)cost->bill[BILL_HIGH].total;
    if (high - low < 0.5) {
        return;
    }
    draw_line(page, LAYER_MARK, (Point){low, y}, (Point){high, y});
    draw_line(page, LAYER_MARK, (Point){low, y - 1}, (Point){low, y + 1});
    draw_line(page, LAYER_MARK, (Point){high, y - 1}, (Point){high, y + 1});
}

static void add_bar(Flow *flow, const RankedOffers *offers, int number, double scale)
{
    Arena *keep = flow->pages->keep;
    const OfferCost *cost = &offers->choice->ranking.items[number];
    flow_need(flow, BAR_ROW_MM);
    const double left = flow->room.min.x;
    const double top = flow->top_mm;
    draw_text(flow->page, LAYER_TEXT, (Point){left, top - CAPITAL_BODY_MM}, CAPITAL_BODY_MM,
              ALIGN_LEFT, number == 0, 0, "%s",
              page_fitted(arena_text(keep, "%d. %s: %s%s", number + 1, cost->offer->name,
                                     purchase_words(offers, number, keep),
                                     cost->way.reaches ? "" : ", not as sure as you want to be"),
                          CAPITAL_BODY_MM, number == 0, flow->room.max.x - left, keep));
    const double bar_top = top - CAPITAL_BODY_MM - 1.6;
    const double bill = left + scale * (double)cost->bill[BILL_EXPECTED].total;
    const double end = left + scale * (double)cost->expected;
    draw_box(flow->page, LAYER_CHART, (Box){{left, bar_top - BAR_MM}, {bill, bar_top}}, true);
    if (end - bill > 0.2) {
        const Box risk = {{bill, bar_top - BAR_MM}, {end, bar_top}};
        draw_strokes(flow->page, risk);
        draw_box(flow->page, LAYER_MARK, risk, false);
    }
    draw_spread(flow->page, left, scale, bar_top - BAR_MM - 1.4, cost);
    const double high = left + scale * (double)cost->bill[BILL_HIGH].total;
    draw_text(flow->page, LAYER_TEXT,
              (Point){fmax(end, high) + 2, bar_top - BAR_MM / 2 - CAPITAL_BODY_MM / 2},
              CAPITAL_BODY_MM, ALIGN_LEFT, true, 0, "%s", amount(flow, cost->expected));
    flow->top_mm -= BAR_ROW_MM;
}

static void add_bars(Flow *flow, const RankedOffers *offers)
{
    Money most = 1;
    for (int i = 0; i < offers->choice->ranking.count; i++) {
        const OfferCost *cost = &offers->choice->ranking.items[i];
        most = cost->expected > most ? cost->expected : most;
        most = cost->bill[BILL_HIGH].total > most ? cost->bill[BILL_HIGH].total : most;
    }
    const double scale = (flow->room.max.x - flow->room.min.x - BAR_NUMBER_MM) / (double)most;
    for (int i = 0; i < offers->choice->ranking.count; i++) {
        add_bar(flow, offers, i, scale);
    }
    flow_gap(flow, 1.5);
    flow_paragraph(flow,
                   "Tinted: the bill, as expected. Striped: what falling short costs, times how "
                   "likely that is. The line below: from the least bill to the greatest, of "
                   "hides that come in a range. The number: both together, to compare by.");
}

static const char *to_know(const OfferCost *cost, Arena *keep)
{
    static const char unsure[] = "not as sure as you want to be";
    static const char other[] = "not the kind of leather that you want";
    return cost->way.reaches
               ? (cost->other_kind ? other : NULL)
               : (cost->other_kind ? arena_text(keep, "%s; %s", unsure, other) : unsure);
}

/// With the interval where it comes from trials.
static const char *enough_text(const OfferChoice *choice, int number, Arena *keep)
{
    const ChanceTold *told = &choice->sure[number].told;
    const char *times = times_text(choice->ranking.items[number].way.chance[0], keep);
    return told->trials > 0 ? arena_text(keep, "%s\n(%.0f to %.0f)", times, 100 * told->chance.low,
                                         100 * told->chance.high)
                            : times;
}

static void add_ranking(Flow *flow, const RankedOffers *offers)
{
    Arena *keep = flow->pages->keep;
    Table table = {.columns = {{.head = "", .align = ALIGN_RIGHT},
                               {.head = "offer", .wraps = true},
                               {.head = "buy", .wraps = true},
                               {.head = "enough, in 100", .align = ALIGN_RIGHT},
                               {.head = "price", .wraps = true, .align = ALIGN_RIGHT},
                               {.head = "bill, as expected", .align = ALIGN_RIGHT},
                               {.head = "with the risk", .align = ALIGN_RIGHT},
                               {.head = "is first", .wraps = true},
                               {.head = "days", .align = ALIGN_RIGHT},
                               {.head = "to know", .wraps = true}},
                   .column_count = 10,
                   .keep = keep};
    for (int i = 0; i < offers->choice->ranking.count; i++) {
        const OfferCost *cost = &offers->choice->ranking.items[i];
        const Offer *offer = cost->offer;
        table_row(&table, (const char *[]){
                              arena_text(keep, "%d", i + 1), offer->name,
                              purchase_words(offers, i, keep), enough_text(offers->choice, i, keep),
                              price_text(flow, offer->price, offer->per),
                              amount(flow, cost->bill[BILL_EXPECTED].total),
                              amount(flow, cost->expected), winning_text(flow, cost),
                              offer->days >= 0 ? arena_text(keep, "%d", offer->days) : "?",
                              to_know(cost, keep)});
    }
    flow_heading(flow, "In their order", 24);
    flow_paragraph(flow,
                   "First those that reach how sure you want to be, then those of the kind that "
                   "you want, then the cheapest with the risk. \"Is first\": the price at which "
                   "an offer wins, all else as it is; of the first, how far it may rise.");
    table_draw(&table, flow);
}

/// Only lines that some offer has.
static void add_bills(Flow *flow, const RankedOffers *offers)
{
    const OfferRanking *ranking = &offers->choice->ranking;
    Arena *keep = flow->pages->keep;
    Table table = {.columns = {{.head = "offer", .wraps = true}}, .column_count = 1, .keep = keep};
    BillLine shown[BILL_LINE_COUNT];
    int count = 0;
    for (int line = 0; line < BILL_LINE_COUNT; line++) {
        bool any = false;
        for (int i = 0; i < ranking->count; i++) {
            any = any || ranking->items[i].bill[BILL_EXPECTED].line[line] != 0;
        }
        if (any) {
            shown[count] = (BillLine)line;
            table.columns[1 + count++] =
                (Column){.head = bill_line_names[line], .align = ALIGN_RIGHT};
        }
    }
    table.columns[1 + count] = (Column){.head = "bill", .align = ALIGN_RIGHT};
    table.column_count = count + 2;
    const int decimals = currency_decimals(flow->matter->job->currency);
    for (int i = 0; i < ranking->count; i++) {
        const Bill *bill = &ranking->items[i].bill[BILL_EXPECTED];
        const char *cells[TABLE_COLUMNS_MAX] = {
            arena_text(keep, "%d. %s", i + 1, ranking->items[i].offer->name)};
        for (int c = 0; c < count; c++) {
            const Money money = bill->line[shown[c]];
            cells[1 + c] =
                money != 0 ? arena_text(keep, "%.*f", decimals, money_to_number(money, decimals))
                           : NULL;
        }
        cells[1 + count] =
            arena_text(keep, "%.*f", decimals, money_to_number(bill->total, decimals));
        table_row(&table, cells);
    }
    const char *currency = flow->matter->job->currency;
    flow_heading(flow,
                 currency ? arena_text(keep, "The bills, as expected, in %s", currency)
                          : "The bills, as expected",
                 24);
    table_draw(&table, flow);
}

static void add_falling_short(Flow *flow, const RankedOffers *offers)
{
    Arena *keep = flow->pages->keep;
    Table table = {.columns = {{.head = "offer", .wraps = true},
                               {.head = "too little, in 100", .align = ALIGN_RIGHT},
                               {.head = "one more order", .align = ALIGN_RIGHT},
                               {.head = "which matches, in 100", .align = ALIGN_RIGHT},
                               {.head = "else all anew", .align = ALIGN_RIGHT},
                               {.head = "comes back", .align = ALIGN_RIGHT},
                               {.head = "on average", .align = ALIGN_RIGHT}},
                   .column_count = 7,
                   .keep = keep};
    for (int i = 0; i < offers->choice->ranking.count; i++) {
        const OfferCost *cost = &offers->choice->ranking.items[i];
        table_row(&table, (const char *[]){
                              arena_text(keep, "%d. %s", i + 1, cost->offer->name),
                              times_text(1 - cost->way.chance[0], keep),
                              cost->second != 0 ? amount(flow, cost->second) : "cannot be had",
                              arena_text(keep, "%.0f", 100 * cost->match), amount(flow, cost->anew),
                              cost->refund != 0 ? amount(flow, cost->refund) : "nothing",
                              amount(flow, cost->when_short)});
    }
    flow_heading(flow, "If it falls short", 30);
    flow_paragraph(flow,
                   "That shows when the covers are laid out on what came, before the first cut. "
                   "Then a further order may match in shade, with its own shipping and trip; or "
                   "all is bought anew, and what came goes back where the seller takes it.");
    table_draw(&table, flow);
}

/// Long lists of pieces, and what the job notes of each offer.
static void add_notes(Flow *flow, const RankedOffers *offers)
{
    Arena *keep = flow->pages->keep;
    bool begun = false;
    for (int i = 0; i < offers->choice->ranking.count; i++) {
        const char *notes = offers->choice->ranking.items[i].offer->notes;
        const bool noted = notes && *notes;
        const bool listed = text_columns(offers->purchases[i]) > LONG_LIST;
        if (!noted && !listed) {
            continue;
        }
        if (!begun) {
            flow_heading(flow, "Notes", 12);
            begun = true;
        }
        flow_item(flow, arena_text(keep, "%d.", i + 1),
                  arena_text(keep, "%s%s%s", listed ? offers->purchases[i] : "",
                             listed ? (noted ? ". " : ".") : "", noted ? notes : ""));
    }
}

/// What the trials leave open.
static void add_doubts(Flow *flow, const OfferChoice *choice)
{
    Arena *keep = flow->pages->keep;
    if (!choice->certain && choice->ranking.count > 1) {
        flow_paragraph(flow,
                       "The trials do not tell for sure which of them is first: look at how far "
                       "apart the first ones are.");
    }
    if (choice->stopped) {
        flow_paragraph(flow, "They were stopped before all was known.");
    }
    for (int i = 0; i < choice->untried_count; i++) {
        flow_item(flow, "–",
                  arena_text(keep, "%s: stopped before anything was known of it.",
                             choice->untried[i]->name));
    }
}

void pack_offers(const PackMatter *matter, const RankedOffers *offers, Pages *pages)
{
    Flow flow = flow_begin(matter, pages, title, true);
    if (offers->choice->ranking.count == 0) {
        flow_paragraph(&flow,
                       offers->choice->untried_count > 0
                           ? "Nothing is known of the offers yet."
                           : "None of the offers has as much leather as stays on the seats.");
        add_doubts(&flow, offers->choice);
        return;
    }
    const OfferCost *first = &offers->choice->ranking.items[0];
    flow_heading(&flow,
                 arena_text(pages->keep, "First: %s: %s, %s with the risk", first->offer->name,
                            purchase_words(offers, 0, pages->keep), amount(&flow, first->expected)),
                 BAR_ROW_MM);
    add_bars(&flow, offers);
    add_doubts(&flow, offers->choice);
    add_ranking(&flow, offers);
    add_bills(&flow, offers);
    add_falling_short(&flow, offers);
    add_notes(&flow, offers);
    flow_paragraph(&flow,
                   "Lay the covers out on the hide that came before you cut: leather that was "
                   "cut into is seldom taken back.");
}
