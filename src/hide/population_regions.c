// Regions of random hides: boxes between lines that differ from hide to hide.
#include "hide/population_parts.h"
#include "hide/regions.h"

#include <assert.h>

static const double LINES_WITHIN = 2.5; // standard deviations
static const double SHARE_LEAST = 0.02;
static const double SHARE_MOST = 0.65;
static const double STRETCH_BY_STEP = 0.2; // a step softer gives by so much more (ours)
static const double CLOSE_SHARE = 1e-6;
enum { STEPS_MAX = 60 };

// Lines in mm.
typedef struct RegionLines {
    Box box; ///< of the outline
    double belly;
    double shank;
    double butt;
    double shoulder;
    double neck;
    double length;
} RegionLines;

// Points of a ring between two lines parallel to the backbone, those beyond moved onto them. The
// area is that of the part between, since what runs along a line encloses nothing.
static Ring ring_between(Ring ring, double out_mm, Arena *scratch)
{
    Point *points = ARENA_ARRAY(scratch, Point, 3 * ring.count);
    int count = 0;
    for (int i = 0; i < ring.count; i++) {
        const Point a = ring.points[i];
        const Point b = ring_point(ring, i + 1);
        points[count++] = (Point){a.x, fmin(out_mm, fmax(-out_mm, a.y))};
        for (int k = 0; k < 2; k++) {
            const double line = (k == 0) == (a.y < b.y) ? -out_mm : out_mm;
            if ((a.y - line) * (b.y - line) < 0) {
                points[count++] = (Point){a.x + (b.x - a.x) * (line - a.y) / (b.y - a.y), line};
            }
        }
    }
    return (Ring){points, count};
}

// Area of a ring beyond a line across the backbone, or beyond two at the same distance along it.
static double beyond_mm2(Ring ring, bool along, double line)
{
    return along ? area_beyond_mm2(ring, (Point){0, 1}, line) +
                       area_beyond_mm2(ring, (Point){0, -1}, line)
                 : area_beyond_mm2(ring, (Point){1, 0}, line);
}

// The line between `low` and `high` that leaves so much beyond it, by false position in its
// Illinois form (Dowell and Jarratt, BIT 11 (1971) 168-174): a few steps where halving takes
// dozens.
static double line_leaving(Ring ring, bool along, double low, double high, double wanted_mm2)
{
    double low_off = beyond_mm2(ring, along, low) - wanted_mm2;
    double high_off = beyond_mm2(ring, along, high) - wanted_mm2;
    double line = low_off > 0 ? high : low; // where even all is less than wanted
    int kept = 0;                           // the end that stayed last: -1 low, 1 high
    for (int i = 0; i < STEPS_MAX && low_off > 0 && high_off < 0; i++) {
        line = (low * high_off - high * low_off) / (high_off - low_off);
        const double off = beyond_mm2(ring, along, line) - wanted_mm2;
        if (fabs(off) < CLOSE_SHARE * wanted_mm2) {
            break;
        }
        if (off > 0) {
            low = line;
            low_off = off;
            high_off *= kept == 1 ? 0.5 : 1;
            kept = 1;
        } else {
            high = line;
            high_off = off;
            low_off *= kept == -1 ? 0.5 : 1;
            kept = -1;
        }
    }
    return line;
}

static RegionLines draw_lines(const HideGrade *grade, HideTrial trial, const Hide *hide,
                              Arena *scratch)
{
    Random random = part_begin(trial, PART_LINES, 0);
    const double share =
        grade->belly_share + grade->belly_sd * random_normal_within(&random, LINES_WITHIN);
    const Ring outline = hide->outline;
    RegionLines lines = {.box = ring_box(outline), .length = hide->backbone_mm};
    lines.box.min = point_minus(lines.box.min, (Point){1, 1});
    lines.box.max = point_plus(lines.box.max, (Point){1, 1});
    const double outside_mm2 = hide->area_mm2 * fmin(SHARE_MOST, fmax(SHARE_LEAST, share));
    const double reach = fmax(-lines.box.min.y, lines.box.max.y);
    lines.belly = line_leaving(outline, true, 0, reach, outside_mm2);
    lines.shank = SHANK_OUT * lines.belly;
    lines.neck = NECK_FROM * lines.length;
    const Ring core = ring_between(outline, lines.belly, scratch);
    const double shoulder = line_leaving(core, false, lines.box.min.x, lines.box.max.x,
                                         SHOULDER_AND_NECK_SHARE * hide->area_mm2);
    lines.shoulder = fmin(lines.neck, shoulder);
    lines.butt = fmin(lines.shoulder, BUTT_TO * lines.length);
    return lines;
}

// One polygon after the other for a region.
typedef struct Pile {
    Polygon *items;
    int count;
    Arena *keep;
} Pile;

enum { PILE_MAX = 8 };

static void pile_ring(Pile *pile, const Point *points, int count, double half)
{
    assert(pile->count < PILE_MAX);
    Point *kept = ARENA_ARRAY(pile->keep, Point, count);
    for (int i = 0; i < count; i++) {
        const Point p = points[half > 0 ? i : count - 1 - i];
        kept[i] = (Point){p.x, half * p.y};
    }
    pile->items[pile->count++] = (Polygon){.outer = {kept, count}};
}

static void pile_box(Pile *pile, Box box, double half)
{
    if (box.max.x > box.min.x && box.max.y > box.min.y) {
        const Point corners[] = {box.min, {box.max.x, box.min.y}, box.max, {box.min.x, box.max.y}};
        pile_ring(pile, corners, 4, half);
    }
}

static Pile pile_in(Arena *keep)
{
    return (Pile){.items = ARENA_ARRAY(keep, Polygon, PILE_MAX), .keep = keep};
}

// Beyond the belly line of one half (1 left, -1 right), out to `out`.
static void pile_belly(Pile *belly, const RegionLines *lines, double out, double half)
{
    const double length = lines->length;
    const double line = lines->belly;
    const double top = fmin(lines->shank, out);
    const Box behind = {{lines->box.min.x, line}, {FLANK_FROM * length, top}};
    pile_box(belly, behind, half);
    // Before it one piece that runs round the flank and between the shanks.
    const double hind = HIND_SHANK_TO * length;
    const double end = lines->box.max.x;
    const Point before[] = {{FLANK_TO * length, top},
                            {FLANK_TO * length, line},
                            {end, line},
                            {end, out},
                            {FORE_SHANK_TO * length, out},
                            {FORE_SHANK_TO * length, top},
                            {FORE_SHANK_FROM * length, top},
                            {FORE_SHANK_FROM * length, out},
                            {hind, out},
                            {hind, top}};
    // Where no leather lies beyond the shanks' line the same without its upper part.
    const Point low[] = {
        {FLANK_TO * length, top}, {FLANK_TO * length, line}, {end, line}, {end, top}};
    if (out > lines->shank) {
        pile_ring(belly, before, 10, half);
    } else {
        pile_ring(belly, low, 4, half);
    }
}

static void pile_legs(Pile *flank, Pile *shank, const RegionLines *lines, double out, double half)
{
    const double length = lines->length;
    const double top = fmin(lines->shank, out);
    pile_box(flank, (Box){{FLANK_FROM * length, lines->belly}, {FLANK_TO * length, top}}, half);
    pile_box(shank, (Box){{lines->box.min.x, top}, {HIND_SHANK_TO * length, out}}, half);
    pile_box(shank, (Box){{FORE_SHANK_FROM * length, top}, {FORE_SHANK_TO * length, out}}, half);
}

// Firmness in steps from the default, half of its variance common to the hide.
static void soften(Region *region, double sd, HideTrial trial)
{
    Random common = part_begin(trial, PART_FIRMNESS, 0);
    Random own = part_begin(trial, PART_FIRMNESS, 1 + (int)region->kind);
    const double steps = sd * sqrt(0.5) * (random_normal(&common) + random_normal(&own));
    const bool core = region->kind == REGION_BUTT || region->kind == REGION_BACK;
    const int softest = core ? (int)MIDDLING : (int)LOOSE;
    const double level = round((double)region->firmness + steps);
    region->firmness = (Firmness)fmin(softest, fmax(FIRM, level));
    const double factor = fmax(0.5, 1 + STRETCH_BY_STEP * steps);
    region->stretch_along *= factor;
    region->stretch_across *= factor;
}

void draw_regions(const HideGrade *grade, HideTrial trial, Hide *hide, Arena *keep, Arena *scratch)
{
    const ArenaMark mark = arena_mark(scratch);
    const RegionLines lines = draw_lines(grade, trial, hide, scratch);
    Pile piles[REGION_KIND_COUNT];
    for (int kind = 0; kind < REGION_KIND_COUNT; kind++) {
        piles[kind] = pile_in(keep);
    }
    const double inner = fmin(0, fmax(-lines.belly, lines.box.min.y));
    const double from_y = lines.box.min.y < -lines.belly ? -lines.belly : inner;
    const double to_y = fmin(lines.belly, lines.box.max.y);
    const double across[] = {lines.box.min.x, lines.butt, lines.shoulder, lines.neck,
                             lines.box.max.x};
    for (int i = 0; i < 4; i++) { // butt to neck follow each other in RegionKind
        pile_box(&piles[REGION_BUTT + i], (Box){{across[i], from_y}, {across[i + 1], to_y}}, 1);
    }
    for (int half = -1; half <= 1; half += 2) {
        const double out = half > 0 ? lines.box.max.y : -lines.box.min.y;
        if (out > lines.belly) {
            pile_belly(&piles[REGION_BELLY], &lines, out, half);
            pile_legs(&piles[REGION_FLANK], &piles[REGION_SHANK], &lines, out, half);
        }
    }
    hide->region_count = 0;
    for (int kind = 0; kind < REGION_KIND_COUNT; kind++) {
        if (piles[kind].count > 0) {
            const PolygonSet area = {piles[kind].items, piles[kind].count};
            Region *region = &hide->regions[hide->region_count++];
            *region = default_region((RegionKind)kind, area);
            soften(region, grade->firmness_sd, trial);
        }
    }
    arena_rewind(scratch, mark);
}
