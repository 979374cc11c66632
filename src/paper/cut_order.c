#include "paper/chalk.h"
#include "paper/marks.h"
#include "paper/table.h"

static const char title[] = "Cut order and checks";
enum { NOTES_MAX = 8 }; ///< notes on one cover; more are counted

static void add_steps_before(Flow *flow)
{
    flow_heading(flow, "Before the first cut", 20);
    static const char *const steps[] = {
        "Unroll the hide and let it lie flat, grain side up, in the room where it will be cut, for "
        "two days: leather grows and shrinks with the damp of the air.",
        "Measure the backbone and the greatest width again, and compare the area with the stamp. "
        "Talk to the seller before the first cut, not after it.",
        "Hold the hide against the light and look through it for holes and thin spots. Feel the "
        "flesh side for knife cuts, and bend the grain inward to see whether it pipes.",
        "Ring every flaw with chalk. One that is not on the map: put it in and lay the covers "
        "anew.",
        "Chalk the backbone, then all covers, from the tables of marks. Measure both diagonals of "
        "each.",
        "Measure two marks of two covers a second time, starting at the neck end.",
        "Lay a rule on the proof lines of the templates. Paper that was printed too small makes "
        "every cover too small.",
        "Lay a template on each frame, padding in place, and see that it reaches the tack line all "
        "round.",
        "Compare the shade of neighbouring chairs by daylight."};
    for (size_t i = 0; i < sizeof steps / sizeof steps[0]; i++) {
        flow_check(flow, steps[i]);
    }
}

static const char *flaw_words(const Hide *hide, int flaw, Arena *keep)
{
    const char *name = hide->flaws[flaw].name;
    return name && *name
               ? arena_text(keep, "%s %d (%s)", flaw_kind_names[hide->flaws[flaw].kind], flaw + 1,
                            name)
               : arena_text(keep, "%s %d", flaw_kind_names[hide->flaws[flaw].kind], flaw + 1);
}

static const char *region_words(const Region *region, Arena *keep)
{
    return arena_text(keep, "%s %s", firmness_names[region->firmness],
                      region_kind_names[region->kind]);
}

static const char *band_words(Band band)
{
    switch (band) {
    case BAND_FACE:
        return "on the face: will be seen and sat on";
    case BAND_EDGE:
        return "on the edge: will be seen";
    case BAND_TURN:
        return "in the turn: hidden under the frame";
    case BAND_GRIP:
    case BAND_COUNT:
        break;
    }
    return "in the grip: cut off again";
}

/// Each note on a line of its own.
static void add_note(Text *notes, const char *note)
{
    text_add(notes, "%s%s", notes->length > 0 ? "\n" : "", note);
}

/// What to know of a cover before it is cut; "" when nothing.
static const char *cover_notes(const PackMatter *matter, const PlacedCover *cover, Arena *keep)
{
    const double worth_saying_rad = 5 * RAD_PER_DEG;
    const Hide *hide = &matter->hides[cover->hide];
    Text notes = {.keep = keep};
    int said = 0;
    for (int i = 0; i < cover->touch_count && said < NOTES_MAX; i++) {
        const Touch *touch = &cover->touches[i];
        const char *what = touch->flaw >= 0     ? flaw_words(hide, touch->flaw, keep)
                           : touch->region >= 0 ? region_words(&hide->regions[touch->region], keep)
                                                : NULL;
        if (what) {
            add_note(&notes, arena_text(keep, "%s %s", what, band_words(touch->band)));
            said++;
        }
    }
    if (cover->touch_count > NOTES_MAX) {
        add_note(&notes, arena_text(keep, "and %d more flaws", cover->touch_count - NOTES_MAX));
    }
    const char *beside = beside_text(matter->demands, matter->demand_count, cover->demand, keep);
    if (*beside) {
        add_note(&notes, arena_text(keep, "stands beside %s: compare the shade", beside));
    }
    if (cover->off_firm_rad > worth_saying_rad) {
        add_note(&notes, arena_text(keep, "%.0f° off the firm direction",
                                    cover->off_firm_rad / RAD_PER_DEG));
    }
    return text_string(&notes);
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
        const char *chair =
            demand->chair ? arena_text(keep, "%s, %s", demand->seat, demand->chair) : demand->seat;
        table_row(&table,
                  (const char *[]){arena_text(keep, "%d", i + 1), NULL, NULL,
                                   cover_name(matter->demands, cover, keep), chair,
                                   marks_up_text(marks_rounded_mm(middle.x, unit), unit, keep),
                                   marks_out_text(marks_rounded_mm(middle.y, unit), unit, keep),
                                   cover_notes(matter, cover, keep),
                                   arena_text(keep, "%d", cover->hide + 1)});
    }
    flow_heading(flow, "Cutting, butt first", 25);
    if (table.row_count == 0) {
        flow_paragraph(flow, "Nothing is laid on a hide yet.");
        return;
    }
    flow_paragraph(
        flow, "In this order, each cover along the outer edge of its chalk line. Write its name "
              "on the flesh side, with an arrow to the back of the seat, before it leaves the "
              "hide.");
    table_draw(&table, flow);
}

static void add_cautions(Flow *flow)
{
    flow_heading(flow, "With knife and shears", 16);
    flow_paragraph(
        flow, "Cut away from the hand that holds the leather, on a mat, with a sharp blade and "
              "the free hand behind the edge. Cover blades that are not in use. Keep shears "
              "closed when you carry or pass them.");
}

static void add_remnants(Flow *flow)
{
    const PackMatter *matter = flow->matter;
    Arena *keep = flow->pages->keep;
    flow_heading(flow, "After the last cut", 16);
    flow_check(flow, "Keep what is left as a remnant: rolled with the grain side out, tagged with "
                     "the leather's name, the job and the date. Pieces of a hand's size still make "
                     "trial folds and patches.");
    for (int i = 0; i < matter->hide_count; i++) {
        if (!pack_shows_hide(matter, i)) {
            flow_check(flow, arena_text(keep, "%s: left whole.", chalk_hide_name(matter, i, keep)));
            continue;
        }
        const double left_mm2 = matter->hides[i].area_mm2 - matter->plan->used_mm2[i];
        flow_check(flow,
                   arena_text(keep, "Hide %d: %s left of %s measured.", i + 1,
                              area_text(left_mm2, matter->job->units.area, keep),
                              area_text(matter->hides[i].area_mm2, matter->job->units.area, keep)));
    }
}

void pack_cut_order(const PackMatter *matter, Pages *pages)
{
    Flow flow = flow_begin(matter, pages, title, false);
    add_steps_before(&flow);
    add_cautions(&flow);
    add_covers(&flow);
    add_remnants(&flow);
}
