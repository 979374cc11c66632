#include "paper/summary.h"

#include "paper/marks.h"

#include <math.h>
#include <string.h>

static const char *size_text(Ring ring, LengthUnit unit, Arena *keep)
{
    const Box box = ring_box(ring);
    return arena_text(keep, "%s × %s", length_digits(box.max.x - box.min.x, unit, keep),
                      length_digits(box.max.y - box.min.y, unit, keep));
}

void summary_seats(Flow *flow)
{
    const PackMatter *matter = flow->matter;
    const Units units = matter->job->units;
    Arena *keep = flow->pages->keep;
    const char *area = area_unit_name(units.area);
    Table table = {
        .columns = {{.head = "cover", .wraps = true},
                    {.head = "seat", .wraps = true},
                    {.head = "chair", .wraps = true},
                    {.head = "count", .align = ALIGN_RIGHT},
                    {.head = "frame", .align = ALIGN_RIGHT},
                    {.head = "cover as cut", .align = ALIGN_RIGHT},
                    {.head = arena_text(keep, "net, %s", area), .align = ALIGN_RIGHT},
                    {.head = arena_text(keep, "as cut, %s", area), .align = ALIGN_RIGHT}},
        .column_count = 8,
        .keep = keep};
    double net_mm2 = 0;
    double gross_mm2 = 0;
    int count = 0;
    for (int i = 0; i < matter->demand_count; i++) {
        const CoverDemand *demand = &matter->demands[i];
        const Cover *cover = demand->cover;
        table_row(&table,
                  (const char *[]){
                      demand->name, demand->seat, demand->chair,
                      arena_text(keep, "%d", demand->count),
                      size_text(cover->frame, units.length, keep),
                      size_text(cover->cut, units.length, keep),
                      arena_text(keep, "%.2f", area_from_mm2(cover->net_area_mm2, units.area)),
                      arena_text(keep, "%.2f", area_from_mm2(cover->gross_area_mm2, units.area))});
        net_mm2 += demand->count * cover->net_area_mm2;
        gross_mm2 += demand->count * cover->gross_area_mm2;
        count += demand->count;
    }
    table_row(&table,
              (const char *[]){"all", NULL, NULL, arena_text(keep, "%d", count), NULL, NULL,
                               arena_text(keep, "%.2f", area_from_mm2(net_mm2, units.area)),
                               arena_text(keep, "%.2f", area_from_mm2(gross_mm2, units.area))});
    flow_heading(flow, "Seats and covers, each", 20);
    flow_paragraph(flow, "Sizes are across the seat × front to back, over everything. Net is what "
                         "stays on the seat; as cut, it has the grip for the hands as well.");
    table_draw(&table, flow);
}

/// Allowances nearer than this on every side count as the same.
#define SAME_ALLOWANCE_MM 1.6

static bool needs_the_same(const Cover *a, const Cover *b)
{
    for (int side = 0; side < SIDE_COUNT; side++) {
        if (fabs(a->path[side].beyond_frame_mm - b->path[side].beyond_frame_mm) >
            SAME_ALLOWANCE_MM) {
            return false;
        }
    }
    return true;
}

bool summary_repeats(const PackMatter *matter, int demand)
{
    for (int i = 0; i < demand; i++) {
        if (needs_the_same(matter->demands[i].cover, matter->demands[demand].cover)) {
            return true;
        }
    }
    return false;
}

/// The order in which a person goes round a seat.
static const Side round_the_seat[SIDE_COUNT] = {SIDE_FRONT, SIDE_BACK, SIDE_LEFT, SIDE_RIGHT};

static const char *against_text(double surplus_mm, LengthUnit unit, Arena *keep)
{
    const char *shown = length_digits(fabs(surplus_mm), unit, keep);
    if (strcmp(shown, "0") == 0) {
        return "just right";
    }
    return arena_text(keep, "%s %s", surplus_mm < 0 ? "short by" : "wastes", shown);
}

static void add_rule_rows(Table *table, const PackMatter *matter, int demand)
{
    const LengthUnit unit = matter->job->units.length;
    const Cover *cover = matter->demands[demand].cover;
    Arena *keep = table->keep;
    const char *cells[3 + SIDE_COUNT] = {matter->demands[demand].name, "needs"};
    for (int i = 0; i < SIDE_COUNT; i++) {
        const double needed_mm = cover->path[round_the_seat[i]].beyond_frame_mm;
        cells[2 + i] = length_digits(needed_mm, unit, keep);
    }
    table_row(table, cells);
    for (int rule = 0; rule < FLAT_RULE_COUNT; rule++) {
        const Sides surplus = cover_against_rule(cover, flat_rules[rule].allowance_mm);
        cells[0] = NULL;
        cells[1] = flat_rules[rule].name;
        for (int i = 0; i < SIDE_COUNT; i++) {
            cells[2 + i] = against_text(surplus.at[round_the_seat[i]], unit, keep);
        }
        table_row(table, cells);
    }
}

void summary_rules(Flow *flow)
{
    const PackMatter *matter = flow->matter;
    Arena *keep = flow->pages->keep;
    Table table = {.columns = {{.head = "cover", .wraps = true}, {.head = "rule"}},
                   .column_count = 2 + SIDE_COUNT,
                   .keep = keep};
    for (int i = 0; i < SIDE_COUNT; i++) {
        table.columns[2 + i] =
            (Column){.head = side_names[round_the_seat[i]], .align = ALIGN_RIGHT};
    }
    for (int i = 0; i < matter->demand_count; i++) {
        if (!summary_repeats(matter, i)) {
            add_rule_rows(&table, matter, i);
        }
    }
    flow_heading(flow, "Allowance beyond the frame, against flat rules", 30);
    flow_paragraph(flow,
                   "What each side needs from the frame's edge to the cut, at its middle, and "
                   "how a flat rule would have served. Covers that need the same as one above "
                   "are left out.");
    table_draw(&table, flow);
    Text sources = {.keep = keep};
    for (int rule = 0; rule < FLAT_RULE_COUNT; rule++) {
        text_add(&sources, "%s%s: %s",
                 rule > 0 ? "; " : "Where the rules come from: ", flat_rules[rule].name,
                 flat_rules[rule].source);
    }
    text_add(&sources, ".");
    flow_paragraph(flow, text_string(&sources));
}

void summary_stretch(Flow *flow)
{
    const PackMatter *matter = flow->matter;
    const LengthUnit unit = matter->job->units.length;
    Arena *keep = flow->pages->keep;
    Table table = {.columns = {{.head = "cover", .wraps = true},
                               {.head = "seat", .wraps = true},
                               {.head = "front to back", .align = ALIGN_RIGHT},
                               {.head = "side to side", .align = ALIGN_RIGHT}},
                   .column_count = 4,
                   .keep = keep};
    for (int i = 0; i < matter->demand_count; i++) {
        const CoverDemand *demand = &matter->demands[i];
        const Cover *cover = demand->cover;
        if (!summary_repeats(matter, i) && cover->stretch_along_mm + cover->stretch_across_mm > 0) {
            table_row(
                &table,
                (const char *[]){
                    demand->name, demand->seat,
                    length_text(marks_rounded_mm(cover->stretch_along_mm, unit), unit, keep),
                    length_text(marks_rounded_mm(cover->stretch_across_mm, unit), unit, keep)});
        }
    }
    if (table.row_count == 0) {
        return;
    }
    flow_heading(flow, "Stretch under the hands", 24);
    flow_paragraph(flow, matter->job->leather.use_stretch
                             ? "The covers are cut smaller by what the hands will stretch, so the "
                               "leather must be pulled to reach the tack line."
                             : "The covers are cut as if the leather did not stretch. Pulled by "
                               "hand it may grow by this much: extra grip to expect.");
    table_draw(&table, flow);
}
