// What to ask for: the answer of the trials, and how sure it is.
#include "paper/buying.h"
#include "paper/chart.h"
#include "paper/table.h"

#include <math.h>
#include <string.h>

static const char title[] = "What to ask for and buy";

#define CHART_WIDTH_MM 112.0
#define CHART_HEIGHT_MM 78.0
#define AXIS_LEFT_MM 9.0
#define AXIS_FOOT_MM 11.0
enum { LEVELS_MAX = 8 };
#define RULES_MM 9.0 ///< above the plot: numbers of the usual rules
#define BESIDE_MM 7.0
#define NAME_MM 28.0 ///< for the name of the crossing
/// Rules farther off than that are not on the chart, as shares of the area asked for.
#define LEAST_SHOWN 0.35
#define MOST_SHOWN 1.8

static double step_area(int step, AreaUnit unit)
{
    return area_from_mm2(step * area_step_mm2, unit);
}

/// The answer, large, in a tinted box.
static void add_answer(Flow *flow, const char *words)
{
    const double pad_mm = 4;
    const double line_mm = CAPITAL_HEADING_MM * 1.9;
    const double left = flow->room.min.x;
    const double right = flow->room.max.x;
    const Lines lines =
        page_lines(words, CAPITAL_HEADING_MM, true, right - left - 2 * pad_mm, flow->pages->keep);
    const double height_mm = 2 * pad_mm + CAPITAL_HEADING_MM + (lines.count - 1) * line_mm;
    const double top = flow->top_mm - 1;
    const Point box[] = {
        {left, top - height_mm}, {right, top - height_mm}, {right, top}, {left, top}};
    draw_shape(flow->page, LAYER_RULE, (Ring){box, 4}, true);
    for (int i = 0; i < lines.count; i++) {
        draw_text(flow->page, LAYER_TEXT,
                  (Point){left + pad_mm, top - pad_mm - CAPITAL_HEADING_MM - i * line_mm},
                  CAPITAL_HEADING_MM, ALIGN_LEFT, true, 0, "%s", lines.items[i]);
    }
    flow->top_mm = top - height_mm - 3;
}

/// An area without its unit.
static const char *area_digits(int step, AreaUnit unit, Arena *keep)
{
    const char *text = area_step_text(step, unit, keep);
    return arena_text(keep, "%.*s", (int)strcspn(text, " "), text);
}

/// What the area lies between, or that the trials do not tell.
static const char *between_text(const AreaFor *area, AreaUnit unit, Arena *keep)
{
    if (area->low >= AREA_STEPS) {
        return arena_text(keep, "over %s", area_digits(AREA_STEPS - 1, unit, keep));
    }
    const char *low = area_digits(area->low, unit, keep);
    return area->high == area->low ? low
           : area->high < AREA_STEPS
               ? arena_text(keep, "%s to %s", low, area_digits(area->high, unit, keep))
               : arena_text(keep, "%s or more", low);
}

static void add_terms(Flow *flow, const AskedFor *asked)
{
    Arena *keep = flow->pages->keep;
    const AreaUnit unit = flow->matter->job->units.area;
    const AreaFor *area = &asked->study->area;
    Table table = {.columns = {{.head = "ask for"}, {.head = "", .wraps = true}},
                   .column_count = 2,
                   .keep = keep};
    table_row(&table, (const char *[]){"form", asked->form == HIDE_SIDE
                                                   ? "sides: half hides, cut along the backbone"
                                                   : "whole hides"});
    table_row(&table,
              (const char *[]){"how many", asked->pieces == 1
                                               ? "1"
                                               : arena_text(keep, "%d together, of one dye lot",
                                                            asked->pieces)});
    if (area->step < AREA_STEPS) {
        table_row(&table,
                  (const char *[]){
                      asked->pieces == 1 ? "stamped area" : "stamped area, each",
                      arena_text(keep, "at least %s", area_step_text(area->step, unit, keep))});
    }
    table_row(&table,
              (const char *[]){"grade",
                               arena_text(keep, "\"%s\": %s. %s", asked->grade, asked->lets_through,
                                          hide_grade_named(asked->grade)
                                              ? "The word is ours: sellers have their own, so say "
                                                "what it means."
                                              : "The word is the seller's, its meaning here yours: "
                                                "ask whether it is theirs.")});
    table_row(&table,
              (const char *[]){"what for", arena_text(keep, "%d covers, %s as cut", asked->covers,
                                                      area_text(asked->cut_mm2, unit, keep))});
    table_draw(&table, flow);
}

/// What the chart shows, in the job's unit of area.
typedef struct Curve {
    double x[AREA_STEPS];
    double share[AREA_STEPS]; ///< in 100
    double low[AREA_STEPS];
    double high[AREA_STEPS];
    int count;
} Curve;

/// A rule, or several that ask for the same.
typedef struct RuleMark {
    double area; ///< each piece, in the job's unit
    double share;
    const char *numbers;
} RuleMark;

static Curve *curve_of(const Tally *tally, AreaUnit unit, Arena *keep)
{
    Curve *curve = ARENA_NEW(keep, Curve);
    const TallyCurve found = tally_curve(tally);
    for (int step = 0; step < AREA_STEPS; step++) {
        const Chance chance = curve_chance(&found, step, CHANCE_Z);
        curve->x[step] = step_area(step, unit);
        curve->share[step] = 100 * chance.share;
        curve->low[step] = 100 * chance.low;
        curve->high[step] = 100 * chance.high;
    }
    curve->count = AREA_STEPS;
    return curve;
}

/// By area; equal ones are joined.
static int marks_of(const AskedFor *asked, AreaUnit unit, RuleMark marks[THUMBS_MAX], Arena *keep)
{
    int count = 0;
    for (int i = 0; i < asked->thumb_count; i++) {
        const double area = area_from_mm2(asked->thumbs[i].area_mm2 / asked->pieces, unit);
        int at = count;
        while (at > 0 && marks[at - 1].area > area + 1e-6) {
            at--;
        }
        if (at > 0 && fabs(marks[at - 1].area - area) <= 1e-6) {
            marks[at - 1].numbers = arena_text(keep, "%s, %d", marks[at - 1].numbers, i + 1);
            continue;
        }
        for (int k = count; k > at; k--) {
            marks[k] = marks[k - 1];
        }
        const Chance chance = thumb_chance(&asked->thumbs[i], &asked->study->tally, asked->pieces);
        marks[at] = (RuleMark){area, 100 * chance.share, arena_text(keep, "%d", i + 1)};
        count++;
    }
    return count;
}

/// From hardly ever to practically always, with the rules that are not too far off.
static void find_range(const AskedFor *asked, const Curve *curve, const RuleMark *marks, int count,
                       double range[2], AreaUnit unit)
{
    int first = 0;
    while (first < AREA_STEPS - 2 && curve->share[first + 1] < 0.5) {
        first++;
    }
    int last = first + 1;
    while (last < AREA_STEPS - 1 && curve->share[last] < 99.5) {
        last++;
    }
    range[0] = curve->x[first];
    range[1] = curve->x[last];
    const int step = asked->study->area.step;
    const double wanted = step_area(step < AREA_STEPS ? step : AREA_STEPS - 1, unit);
    for (int i = 0; i < count; i++) {
        if (marks[i].area >= LEAST_SHOWN * wanted && marks[i].area <= MOST_SHOWN * wanted) {
            range[0] = fmin(range[0], marks[i].area);
            range[1] = fmax(range[1], marks[i].area);
        }
    }
}

static void draw_rules(const Chart *chart, const RuleMark *marks, int count)
{
    double at[THUMBS_MAX];
    const RuleMark *shown[THUMBS_MAX];
    double widest_mm = 0;
    int used = 0;
    for (int i = 0; i < count; i++) {
        if (marks[i].area >= chart->shown.min.x && marks[i].area <= chart->shown.max.x) {
            shown[used] = &marks[i];
            at[used++] = chart_point(chart, marks[i].area, 0).x;
            widest_mm =
                fmax(widest_mm, draw_text_width_mm(marks[i].numbers, CAPITAL_SMALL_MM, true));
        }
    }
    const double top = chart->plot.max.y;
    chart_spread(at, used, widest_mm + 1.6, chart->plot.min.x + widest_mm / 2,
                 chart->plot.max.x - widest_mm / 2, chart->page->keep);
    for (int i = 0; i < used; i++) {
        const Point foot = chart_point(chart, shown[i]->area, shown[i]->share);
        const Point bend[] = {
            {at[i], top + RULES_MM - CAPITAL_SMALL_MM - 2.2}, {foot.x, top + 1}, {foot.x, foot.y}};
        draw_polyline(chart->page, LAYER_RULE, bend, 3, false);
        const double r = 0.8;
        const Point dot[] = {
            {foot.x - r, foot.y}, {foot.x, foot.y - r}, {foot.x + r, foot.y}, {foot.x, foot.y + r}};
        draw_shape(chart->page, LAYER_MARK, (Ring){dot, 4}, true);
        draw_text(chart->page, LAYER_TEXT, (Point){at[i], top + RULES_MM - CAPITAL_SMALL_MM - 1},
                  CAPITAL_SMALL_MM, ALIGN_MIDDLE, true, 0, "%s", shown[i]->numbers);
    }
}

/// The comfort as a level line to the curve, and down from there to the area asked for.
static void draw_crossing(const Chart *chart, const AskedFor *asked, AreaUnit unit)
{
    Drawing *page = chart->page;
    const AreaFor *area = &asked->study->area;
    const double comfort = 100 * asked->comfort;
    const Point left = chart_point(chart, chart->shown.min.x, comfort);
    const bool known = area->step < AREA_STEPS;
    const Point crossing =
        chart_point(chart, known ? step_area(area->step, unit) : chart->shown.max.x, comfort);
    chart_dashes(page, left, crossing);
    if (!known) {
        return;
    }
    const double foot = chart->plot.min.y;
    chart_dashes(page, crossing, (Point){crossing.x, foot});
    const double high = step_area(area->high < AREA_STEPS ? area->high : AREA_STEPS, unit);
    const Point from = chart_point(chart, step_area(area->low, unit), 0);
    const Point to = chart_point(chart, fmin(high, chart->shown.max.x), 0);
    draw_line(page, LAYER_CHART, from, to);
    // Under the curve there is nothing else.
    const bool on_right = chart->plot.max.x - crossing.x > NAME_MM;
    const double x = crossing.x + (on_right ? 1.5 : -1.5);
    const TextAlign align = on_right ? ALIGN_LEFT : ALIGN_RIGHT;
    draw_text(page, LAYER_TEXT, (Point){x, foot + 8.5}, CAPITAL_BODY_MM, align, true, 0, "%s",
              area_step_text(area->step, unit, page->keep));
    draw_text(page, LAYER_TEXT, (Point){x, foot + 3}, CAPITAL_BODY_MM, align, false, 0, "%s",
              chance_words(asked->comfort));
}

static void draw_chart(Flow *flow, const AskedFor *asked)
{
    Arena *keep = flow->pages->keep;
    const AreaUnit unit = flow->matter->job->units.area;
    const Curve *curve = curve_of(&asked->study->tally, unit, keep);
    RuleMark marks[THUMBS_MAX];
    const int count = marks_of(asked, unit, marks, keep);
    double range[2];
    find_range(asked, curve, marks, count, range, unit);
    const double step = chart_step(range[1] - range[0], 9);
    const double left = flow->room.min.x;
    const double top = flow->top_mm;
    const Chart chart = {.page = flow->page,
                         .plot = {{left + AXIS_LEFT_MM, top - RULES_MM - CHART_HEIGHT_MM},
                                  {left + CHART_WIDTH_MM, top - RULES_MM}},
                         .shown = {{step * floor(range[0] / step + 1e-9), 0},
                                   {step * ceil(range[1] / step - 1e-9), 100}}};
    int first = 0;
    while (first < AREA_STEPS - 1 && curve->x[first] < chart.shown.min.x - 1e-9) {
        first++;
    }
    int end = first;
    while (end < AREA_STEPS && curve->x[end] <= chart.shown.max.x + 1e-9) {
        end++;
    }
    chart_draw_band(&chart, curve->x + first, curve->low + first, curve->high + first, end - first);
    chart_draw_axes(&chart, step, 20);
    chart_draw_curve(&chart, curve->x + first, curve->share + first, end - first);
    draw_rules(&chart, marks, count);
    draw_crossing(&chart, asked, unit);
    draw_text(flow->page, LAYER_TEXT,
              (Point){left, chart.plot.max.y + RULES_MM - CAPITAL_SMALL_MM - 1}, CAPITAL_SMALL_MM,
              ALIGN_LEFT, false, 0, "rule");
    draw_text(flow->page, LAYER_TEXT, (Point){chart.plot.max.x, chart.plot.min.y - 9.5},
              CAPITAL_SMALL_MM, ALIGN_RIGHT, false, 0, "stamped area%s, %s",
              asked->pieces == 1 ? "" : " of each", area_unit_name(unit));
}

/// How sure one may want to be, ascending, with what is wanted among them; its index in *wanted.
static int levels_of(double comfort, double levels[LEVELS_MAX], int *wanted)
{
    static const double usual[LEVELS_MAX - 1] = {0.5, 2.0 / 3, 0.75, 0.8, 0.9, 0.95, 0.98};
    const double same = 0.004;
    int count = 0;
    *wanted = -1;
    for (int i = 0; i < LEVELS_MAX - 1; i++) {
        if (*wanted < 0 && usual[i] > comfort - same) {
            *wanted = count;
            levels[count++] = comfort;
        }
        if (fabs(usual[i] - comfort) > same) {
            levels[count++] = usual[i];
        }
    }
    if (*wanted < 0) {
        *wanted = count;
        levels[count++] = comfort;
    }
    return count;
}

static void add_levels(Flow *flow, const AskedFor *asked)
{
    Arena *keep = flow->pages->keep;
    const AreaUnit unit = flow->matter->job->units.area;
    double levels[LEVELS_MAX];
    int wanted = 0;
    const int count = levels_of(asked->comfort, levels, &wanted);
    Table table = {.columns = {{.head = "enough, in 100", .align = ALIGN_RIGHT},
                               {.head = arena_text(keep, "from, %s", area_unit_name(unit)),
                                .align = ALIGN_RIGHT},
                               {.head = "between", .wraps = true}},
                   .column_count = 3,
                   .keep = keep};
    for (int i = 0; i < count; i++) {
        const AreaFor area = tally_area_for(&asked->study->tally, levels[i], CHANCE_Z);
        table_row(&table,
                  (const char *[]){
                      arena_text(keep, "%s%.0f", i == wanted ? "wanted " : "", 100 * levels[i]),
                      area.step < AREA_STEPS ? area_digits(area.step, unit, keep) : "none",
                      between_text(&area, unit, keep)});
    }
    table_draw(&table, flow);
}

static void add_chance(Flow *flow, const AskedFor *asked)
{
    const double height_mm = RULES_MM + CHART_HEIGHT_MM + AXIS_FOOT_MM;
    flow_heading(flow, "How often it is enough", height_mm);
    const double top = flow->top_mm;
    draw_chart(flow, asked);
    const Box whole = flow->room;
    flow->room.min.x += CHART_WIDTH_MM + BESIDE_MM;
    add_levels(flow, asked);
    flow->room = whole;
    flow->top_mm = fmin(flow->top_mm, top - height_mm - 2);
    flow_paragraph(
        flow, "Thick line: how many times in 100 all covers have room, for each stamped area. "
              "Grey: where that lies with 95 % confidence. Dashes: how sure you want to "
              "be, and the area for it; the bar on the axis is its own interval. Numbers above: "
              "what the usual rules ask for. Rules that are not there lie beyond the ends.");
}

static void add_rules(Flow *flow, const AskedFor *asked)
{
    Arena *keep = flow->pages->keep;
    const AreaUnit unit = flow->matter->job->units.area;
    const bool known = asked->study->area.step < AREA_STEPS;
    const double wanted_mm2 = asked->study->area.step * area_step_mm2 * asked->pieces;
    Table table = {.columns = {{.head = "rule", .align = ALIGN_RIGHT},
                               {.head = "", .wraps = true},
                               {.head = "here", .wraps = true},
                               {.head = "leather", .align = ALIGN_RIGHT},
                               {.head = "off by", .align = ALIGN_RIGHT},
                               {.head = "enough, times in 100", .align = ALIGN_RIGHT}},
                   .column_count = 6,
                   .keep = keep};
    for (int i = 0; i < asked->thumb_count; i++) {
        const Thumb *thumb = &asked->thumbs[i];
        const Chance chance = thumb_chance(thumb, &asked->study->tally, asked->pieces);
        table_row(&table,
                  (const char *[]){
                      arena_text(keep, "%d", i + 1), thumb->name, thumb->reckon,
                      area_text(thumb->area_mm2, unit, keep),
                      known ? arena_text(keep, "%+.0f %%", 100 * (thumb->area_mm2 / wanted_mm2 - 1))
                            : NULL,
                      arena_text(keep, "%.0f", 100 * chance.share)});
    }
    // Whole on one page: it is read against the numbers on the chart.
    flow_heading(flow, "What the usual rules would have you buy", 14 + 6.2 * asked->thumb_count);
    table_draw(&table, flow);
}

static void add_assumptions(Flow *flow, const AskedFor *asked)
{
    Arena *keep = flow->pages->keep;
    const StudyAnswer *study = asked->study;
    flow_heading(flow, "What this rests on", 20);
    flow_item(flow, "–",
              arena_text(keep,
                         "%d trials: the covers were laid on %d %s drawn at random, each in "
                         "many sizes.%s",
                         study->tally.trials, study->tally.trials * asked->pieces,
                         hide_pieces_word(asked->form, 2),
                         study->stopped ? " They were stopped before the answer was as precise as "
                                          "wanted: mind how wide the grey band is."
                                        : ""));
    flow_item(
        flow, "–",
        "The hides are drawn after six real upholstery hides and published surveys of brands. "
        "Other tanneries' hides may be better or worse.");
    flow_item(
        flow, "–",
        "What may lie on which part of a cover is as the job's table says. Who keeps off less "
        "needs less; who wants every face from the butt needs more.");
    flow_item(flow, "–",
              "A patient person may find room on a hide a few percent smaller than the program "
              "does. Nothing is left for a mistake in cutting.");
    flow_item(flow, "–",
              arena_text(keep,
                         "The stamp is believed. Bought unseen within a range, plan on its low "
                         "end. One that falls short shows it when the covers are laid out, so "
                         "lay them out on your %s before the first cut.",
                         hide_pieces_word(asked->form, asked->pieces)));
}

void pack_ask(const PackMatter *matter, const AskedFor *asked, Pages *pages)
{
    Flow flow = flow_begin(matter, pages, title, false);
    add_answer(&flow, asked->words);
    add_terms(&flow, asked);
    add_chance(&flow, asked);
    add_assumptions(&flow, asked);
    add_rules(&flow, asked);
}
