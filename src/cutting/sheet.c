#include "cutting/parts.h"

// A panel or remnant without a price counts by its area, against this one of a whole hide: about
// what the ten hides of the open data have (Baldacci et al. 2014), 4.5 to 5.1 m2.
static const double hide_mm2 = 4.8e6;

static double price_of(const Hide *hide)
{
    if (hide->price > 0) {
        return hide->price;
    }
    if (hide->whole) {
        return hide->area_mm2 / hide_mm2;
    }
    switch (hide->form) {
    case HIDE_SIDE:
        return 0.5;
    case HIDE_PANEL:
        return hide->area_mm2 / hide_mm2;
    case HIDE_WHOLE:
    case HIDE_FORM_COUNT:
        break;
    }
    return 1;
}

// Areas to keep off, gathered for each depth.
typedef struct Gathered {
    PolygonSet *sets[LAYOUT_DEPTHS];
    int count[LAYOUT_DEPTHS];
} Gathered;

// What is tolerated in band b is kept off the next band inward, whose outline has
// depth 4 - b; what even the face tolerates is kept off nothing.
static void gather(Gathered *gathered, PolygonSet area, Tolerance tolerance)
{
    if (tolerance == BAND_FACE || area.count == 0) {
        return;
    }
    const int depth = (int)BAND_COUNT - tolerance;
    gathered->sets[depth][gathered->count[depth]++] = area;
}

static bool gather_flaws(Gathered *gathered, const Hide *hide, const ToleranceTable *table,
                         Arena *keep)
{
    for (int i = 0; i < hide->flaw_count; i++) {
        const Flaw *flaw = &hide->flaws[i];
        PolygonSet area = flaw->area;
        const double margin_mm = table->margin_mm[flaw->kind];
        if (margin_mm > 0 &&
            !polygon_grow(flaw->area, margin_mm * sure_growth, POLYGON_ROUND, keep, &area)) {
            return false;
        }
        gather(gathered, area, table->flaw[flaw->kind]);
    }
    return true;
}

// The natural edge, thin and curled. A panel has none; a side has none along the
// backbone, where it was cut, and a remnant has what it kept of the hide's.
static bool gather_rim(Gathered *gathered, const Hide *cut, const ToleranceTable *table,
                       Arena *keep)
{
    const Hide *hide = cut->whole ? cut->whole : cut;
    if (table->rim_mm <= 0 || hide->form == HIDE_PANEL) {
        return true;
    }
    const PolygonSet whole = polygon_set_of_ring(hide->outline, keep);
    PolygonSet inner;
    PolygonSet rim;
    if (!polygon_grow(whole, -table->rim_mm * sure_growth, POLYGON_ROUND, keep, &inner) ||
        !polygon_overlay(POLYGON_DIFFERENCE, whole, inner, keep, &rim)) {
        return false;
    }
    if (hide->form == HIDE_SIDE) {
        const Box box = ring_box(hide->outline);
        const double out_mm = table->rim_mm * sure_growth;
        const Point strip[] = {{box.min.x - 1, -out_mm},
                               {box.max.x + 1, -out_mm},
                               {box.max.x + 1, out_mm},
                               {box.min.x - 1, out_mm}};
        const PolygonSet backbone = polygon_set_of_ring((Ring){strip, 4}, keep);
        if (!polygon_overlay(POLYGON_DIFFERENCE, rim, backbone, keep, &rim)) {
            return false;
        }
    }
    gather(gathered, rim, table->rim);
    return true;
}

// Joined two by two, so that many flaws cost little more than few.
static bool join(PolygonSet *sets, int count, Arena *keep, PolygonSet *joined)
{
    *joined = count > 0 ? sets[0] : (PolygonSet){0};
    while (count > 1) {
        const int pairs = count / 2;
        for (int i = 0; i < pairs; i++) {
            if (!polygon_overlay(POLYGON_UNION, sets[i + i], sets[i + i + 1], keep, &sets[i])) {
                return false;
            }
        }
        if (count % 2) {
            sets[pairs] = sets[count - 1];
        }
        count = pairs + count % 2;
        *joined = sets[0];
    }
    return true;
}

bool sheet_of_hide(const Hide *hide, const LayingRules *rules, const char *where, Arena *keep,
                   Arena *scratch, Sheet *sheet, Problems *problems)
{
    const ArenaMark mark = arena_mark(scratch);
    Gathered gathered = {.count = {0}};
    const int most = hide->flaw_count + hide->region_count + 1;
    for (int depth = 0; depth < LAYOUT_DEPTHS; depth++) {
        gathered.sets[depth] = ARENA_ARRAY(scratch, PolygonSet, most);
    }
    *sheet = (Sheet){.outline = hide->outline, .gap_mm = rules->gap_mm, .price = price_of(hide)};
    bool good = gather_flaws(&gathered, hide, &rules->table, keep) &&
                gather_rim(&gathered, hide, &rules->table, keep);
    for (int i = 0; i < hide->region_count; i++) {
        const Region *region = &hide->regions[i];
        gather(&gathered, region->area, rules->table.firmness[region->firmness]);
    }
    for (int depth = 0; good && depth < LAYOUT_DEPTHS; depth++) {
        good = join(gathered.sets[depth], gathered.count[depth], keep, &sheet->forbidden[depth]);
    }
    arena_rewind(scratch, mark);
    if (good) {
        sheet->field = cost_of_places(hide, &rules->table, keep, scratch);
    }
    return good ||
           problems_add(problems, (Problem){PROBLEM_BAD_INPUT, where,
                                            "the areas of its flaws and regions cannot be joined",
                                            NULL, "look for outlines that cross themselves"});
}
