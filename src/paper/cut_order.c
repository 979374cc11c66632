#include "paper/chalk.h"
#include "paper/marks.h"
#include "paper/steps.h"
#include "paper/table.h"

static const char title[] = "Cut order and checks";

static void add_checks(Flow *flow, const char *heading, StepTexts texts)
{
    flow_heading(flow, heading, 20);
    for (int i = 0; i < texts.count; i++) {
        flow_check(flow, texts.items[i]);
    }
}

/// With one hide, its number would be the same in each row.
static Table order_table(bool several_hides, Arena *keep)
{
    static const Column columns[] = {{.head = "no.", .align = ALIGN_RIGHT},
                                     {.head = "chalked", .align = ALIGN_MIDDLE, .tick = true},
                                     {.head = "cut", .align = ALIGN_MIDDLE, .tick = true},
                                     {.head = "cover", .wraps = true},
                                     {.head = "chair", .wraps = true},
                                     {.head = "middle: up", .align = ALIGN_RIGHT},
                                     {.head = "out", .align = ALIGN_RIGHT},
                                     {.head = "to know", .wraps = true},
                                     {.head = "hide", .align = ALIGN_RIGHT}};
    const int count = (int)(sizeof columns / sizeof columns[0]) - (several_hides ? 0 : 1);
    Table table = {.column_count = count, .keep = keep};
    for (int i = 0; i < count; i++) {
        table.columns[i] = columns[i];
    }
    return table;
}

/// What neighbours share on all hides together.
static void add_straight_cuts(Flow *flow)
{
    const PackMatter *matter = flow->matter;
    SharedCuts all = {0};
    for (int i = 0; matter->plan->cuts && i < matter->hide_count; i++) {
        all.shared_mm += matter->plan->cuts[i].shared_mm;
        all.in_line_mm += matter->plan->cuts[i].in_line_mm;
    }
    const char *words = shared_cuts_text(all, matter->job->units.length, flow->pages->keep);
    if (*words) {
        flow_paragraph(flow,
                       arena_text(flow->pages->keep,
                                  "Straight cuts: %s. There, lay the straightedge once for both.",
                                  words));
    }
}

static void add_covers(Flow *flow)
{
    const PackMatter *matter = flow->matter;
    Arena *keep = flow->pages->keep;
    const LengthUnit unit = matter->job->units.length;
    Table table = order_table(matter->hide_count > 1, keep);
    for (int i = 0; i < matter->plan->cover_count; i++) {
        const PlacedCover *cover = &matter->plan->covers[i];
        const CoverDemand *demand = &matter->demands[cover->demand];
        const Point middle = ring_centroid(cover->cut);
        table_row(&table, (const char *[]){
                              arena_text(keep, "%d", i + 1), NULL, NULL,
                              cover_name(matter->demands, cover, keep), chair_text(demand, keep),
                              marks_up_text(marks_rounded_mm(middle.x, unit), unit, keep),
                              marks_out_text(marks_rounded_mm(middle.y, unit), unit, keep),
                              steps_cover_notes(matter, cover, keep),
                              arena_text(keep, "%d", cover->hide + 1)});
    }
    flow_heading(flow, steps_cutting_heading, 25);
    if (table.row_count == 0) {
        flow_paragraph(flow, "Nothing is laid on a hide yet.");
        return;
    }
    flow_paragraph(
        flow, "In this order, each cover along the outer edge of its chalk line. Write its name "
              "on the flesh side, with an arrow to the back of the seat, before it leaves the "
              "hide.");
    add_straight_cuts(flow);
    table_draw(&table, flow);
}

void pack_cut_order(const PackMatter *matter, Pages *pages)
{
    Flow flow = flow_begin(matter, pages, title, false);
    add_checks(&flow, steps_before_heading, steps_before());
    flow_heading(&flow, "With knife and shears", 16);
    flow_paragraph(&flow, steps_knife_caution);
    add_covers(&flow);
    add_checks(&flow, steps_after_heading, steps_after(matter, pages->keep));
    add_checks(&flow, steps_fasten_heading, steps_fasten(matter->job->units.length, pages->keep));
    flow_paragraph(&flow, steps_stapler_caution);
}
