#include "paper/summary.h"

#include "paper/chalk.h"

#define LOOK_WIDTH_MM 84.0
#define LOOK_HEIGHT_MM 74.0
#define LOOK_GAP_MM 7.0
enum { LOOKS_IN_ROW = 3 };

static int copies_wanted(const PackMatter *matter)
{
    int count = 0;
    for (int i = 0; i < matter->demand_count; i++) {
        count += matter->demands[i].count;
    }
    return count;
}

static Box look_box(const Hide *hide)
{
    return ring_box(hide->outline);
}

/// The covers on one hide at a glance, the backbone to the right.
static void draw_look(const PackMatter *matter, int hide, Drawing *page, Box room)
{
    const MapView view = map_view(look_box(&matter->hides[hide]), room, false, false);
    Map map = map_begin(matter, hide, view, room, page);
    map_draw_small(&map);
}

static const char *verdict_words(const Hide *hide, Arena *keep)
{
    double difference_mm2 = 0;
    const AreaVerdict verdict =
        hide_area_verdict(hide->area_mm2, hide->stamped_mm2, &difference_mm2);
    const double percent =
        hide->stamped_mm2 > 0 ? 100 * fabs(difference_mm2) / hide->stamped_mm2 : 0;
    const char *way = difference_mm2 < 0 ? "less" : "more";
    switch (verdict) {
    case AREA_NOT_STAMPED:
        return "not stamped";
    case AREA_AGREES:
        return "agrees with the stamp";
    case AREA_DOUBTED:
        return arena_text(keep, "%.1f %% %s than the stamp: measure again", percent, way);
    case AREA_DISPUTED:
        break;
    }
    return arena_text(keep, "%.1f %% %s than the stamp: talk to the seller before the first cut",
                      percent, way);
}

static int covers_on(const PackMatter *matter, int hide)
{
    int count = 0;
    for (int i = 0; i < matter->plan->cover_count; i++) {
        count += matter->plan->covers[i].hide == hide;
    }
    return count;
}

static int hides_cut(const PackMatter *matter)
{
    int count = 0;
    for (int i = 0; i < matter->hide_count; i++) {
        count += !hide_is_left_whole(matter->plan, i);
    }
    return count;
}

static const char *stamp_text(const PackMatter *matter, const Hide *hide, Arena *keep)
{
    return hide->stamped_mm2 > 0 ? area_text(hide->stamped_mm2, matter->job->units.area, keep)
                                 : "–";
}

/// Share of the hide in whole percent.
static double percent_of(double part, double whole)
{
    return whole > 0 ? 100 * part / whole : 0;
}

static void add_leather(Flow *flow)
{
    const Job *job = flow->matter->job;
    Arena *keep = flow->pages->keep;
    const char *thickness = leather_text(job->leather.thickness_mm, job->units.leather, keep);
    flow_paragraph(flow, job->leather_name && *job->leather_name
                             ? arena_text(keep, "Leather: %s, %s.", job->leather_name, thickness)
                             : arena_text(keep, "Leather: %s.", thickness));
}

/// The answer in one line: does it fit?
static const char *answer(const PackMatter *matter, Arena *keep)
{
    const int wanted = copies_wanted(matter);
    const int placed = matter->plan->cover_count;
    const char *covers = wanted == 1 ? "cover" : "covers";
    const int cut = hides_cut(matter);
    const char *hides = matter->hide_count == 1 ? "the hide"
                        : cut == matter->hide_count
                            ? arena_text(keep, "the %d hides", cut)
                            : arena_text(keep, "%d of the %d hides", cut, matter->hide_count);
    if (matter->hide_count == 0) {
        return arena_text(keep, "%d %s wanted; no hide yet", wanted, covers);
    }
    return placed == wanted
               ? arena_text(keep, wanted == 1 ? "The one %s fits on %s" : "All %s fit on %s",
                            wanted == 1 ? covers : arena_text(keep, "%d %s", wanted, covers), hides)
               : arena_text(keep, "%d of %d %s fit on %s", placed, wanted, covers, hides);
}

/// One hide: its picture on the left, the facts beside it.
static void add_one_look(Flow *flow)
{
    const PackMatter *matter = flow->matter;
    const Hide *hide = &matter->hides[0];
    const AreaUnit unit = matter->job->units.area;
    Arena *keep = flow->pages->keep;
    const double top = flow->top_mm;
    const Box shown = look_box(hide);
    // A side is long and low: its picture takes no more height than it needs.
    const double height_mm = fmin(LOOK_HEIGHT_MM, LOOK_WIDTH_MM * (shown.max.y - shown.min.y) /
                                                      (shown.max.x - shown.min.x));
    const Box room = {{flow->room.min.x, top - height_mm}, {flow->room.min.x + LOOK_WIDTH_MM, top}};
    draw_look(matter, 0, flow->page, room);
    const Box whole = flow->room;
    flow->room.min.x += LOOK_WIDTH_MM + LOOK_GAP_MM;
    flow_heading(flow, answer(matter, keep), 0);
    add_leather(flow);
    const char *stamped =
        hide->stamped_mm2 > 0
            ? arena_text(keep, "stamped %s", area_text(hide->stamped_mm2, unit, keep))
            : "not stamped";
    flow_paragraph(flow,
                   arena_text(keep, "%s: %s, %s, measured %s; %s.",
                              chalk_hide_name(matter, 0, keep), hide_form_word(hide), stamped,
                              area_text(hide->area_mm2, unit, keep), verdict_words(hide, keep)));
    const double used_mm2 = matter->plan->used_mm2[0];
    const double left_mm2 = hide->area_mm2 - used_mm2;
    flow_paragraph(flow, arena_text(keep, "Used: %s, %.0f %% of the hide.",
                                    area_text(used_mm2, unit, keep),
                                    percent_of(used_mm2, hide->area_mm2)));
    flow_paragraph(flow, arena_text(keep, "Left: %s, %.0f %%.", area_text(left_mm2, unit, keep),
                                    percent_of(left_mm2, hide->area_mm2)));
    if (matter->plan->left) {
        flow_paragraph(flow, remnant_words(matter, 0, keep));
    }
    flow->room = whole;
    flow->top_mm = fmin(flow->top_mm, top - height_mm - 2);
}

/// Several hides: their pictures in rows, the facts in a table further down.
static void add_looks(Flow *flow)
{
    const PackMatter *matter = flow->matter;
    Arena *keep = flow->pages->keep;
    flow_heading(flow, answer(matter, keep), 0);
    add_leather(flow);
    const int count = hides_cut(matter);
    const int in_row = count < 1 ? 1 : count < LOOKS_IN_ROW ? count : LOOKS_IN_ROW;
    const double width_mm = (flow->room.max.x - flow->room.min.x + LOOK_GAP_MM) / in_row;
    const double height_mm = 0.72 * width_mm;
    int shown = 0;
    for (int i = 0; i < matter->hide_count; i++) {
        if (hide_is_left_whole(matter->plan, i)) {
            continue;
        }
        const int column = shown++ % in_row;
        if (column == 0) {
            flow_need(flow, height_mm + CAPITAL_BODY_MM * 2);
        }
        const double left = flow->room.min.x + column * width_mm;
        const double right = left + width_mm - LOOK_GAP_MM;
        draw_text(flow->page, LAYER_TEXT, (Point){left, flow->top_mm - CAPITAL_BODY_MM},
                  CAPITAL_BODY_MM, ALIGN_LEFT, true, 0, "%s",
                  page_fitted(chalk_hide_name(matter, i, keep), CAPITAL_BODY_MM, true, right - left,
                              keep));
        draw_look(
            matter, i, flow->page,
            (Box){{left, flow->top_mm - height_mm}, {right, flow->top_mm - 2 * CAPITAL_BODY_MM}});
        if (column == in_row - 1 || shown == count) {
            flow_gap(flow, height_mm + 3);
        }
    }
}

static void add_hides(Flow *flow)
{
    const PackMatter *matter = flow->matter;
    const AreaUnit unit = matter->job->units.area;
    Arena *keep = flow->pages->keep;
    Table table = {.columns = {{.head = "hide", .wraps = true},
                               {.head = "form"},
                               {.head = "stamped", .align = ALIGN_RIGHT},
                               {.head = "measured", .align = ALIGN_RIGHT},
                               {.head = "verdict", .wraps = true},
                               {.head = "covers", .align = ALIGN_RIGHT},
                               {.head = "used", .align = ALIGN_RIGHT},
                               {.head = "largest remnant", .align = ALIGN_RIGHT},
                               {.head = "largest rectangle", .wraps = true}},
                   .column_count = matter->plan->left ? 9 : 7,
                   .keep = keep};
    for (int i = 0; i < matter->hide_count; i++) {
        const Hide *hide = &matter->hides[i];
        const double used_mm2 = matter->plan->used_mm2[i];
        const bool whole = hide_is_left_whole(matter->plan, i);
        const Remnant *left = whole || !matter->plan->left ? NULL : &matter->plan->left[i];
        table_row(&table,
                  (const char *[]){
                      chalk_hide_name(matter, i, keep), hide_form_word(hide),
                      stamp_text(matter, hide, keep), area_text(hide->area_mm2, unit, keep),
                      verdict_words(hide, keep), arena_text(keep, "%d", covers_on(matter, i)),
                      arena_text(keep, "%.0f %%", percent_of(used_mm2, hide->area_mm2)),
                      left    ? remnant_area_text(left, unit, keep)
                      : whole ? "left whole"
                              : NULL,
                      left ? remnant_rectangle_text(left, matter->plan->useful_mm,
                                                    matter->job->units.length, keep)
                           : NULL});
    }
    flow_heading(flow, "Hides", 20);
    table_draw(&table, flow);
}

/// What found no place, and why.
static void add_unplaced(Flow *flow)
{
    const PackMatter *matter = flow->matter;
    Arena *keep = flow->pages->keep;
    if (matter->plan->unplaced_count == 0) {
        return;
    }
    flow_heading(flow, "Left over", 16);
    for (int i = 0; i < matter->plan->unplaced_count; i++) {
        const Unplaced *unplaced = &matter->plan->unplaced[i];
        const CoverDemand *demand = &matter->demands[unplaced->demand];
        flow_item(flow, "–",
                  arena_text(keep, "%d of %s (%s): %s.", unplaced->count, demand->name,
                             chair_text(demand, keep), unplaced->reason));
    }
}

void pack_summary(const PackMatter *matter, Pages *pages)
{
    Flow flow = flow_begin(matter, pages, "Summary", false);
    flow_heading(&flow, matter->job->name, 0);
    if (matter->hide_count == 1) {
        add_one_look(&flow);
    } else {
        add_looks(&flow);
    }
    add_unplaced(&flow);
    if (matter->hide_count > 1) {
        add_hides(&flow);
    }
    summary_seats(&flow);
    summary_rules(&flow);
    summary_sections(&flow);
    summary_stretch(&flow);
    if (matter->job->notes && *matter->job->notes) {
        flow_heading(&flow, "Notes", 12);
        flow_paragraph(&flow, matter->job->notes);
    }
    summary_doubts(&flow);
    summary_cautions(&flow);
}
