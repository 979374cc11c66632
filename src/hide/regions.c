// Regions: where on the outline the leather is butt, back, shoulder, neck, belly,
// flank or shank. Lines and their sources: docs/hides.md.
#include "hide/regions.h"

enum { BISECTIONS = 60 };

// Default firmness and stretch (relative to the butt along the backbone; from memory).
static const struct {
    Firmness firmness;
    double along;
    double across;
} region_defaults[REGION_KIND_COUNT] = {
    [REGION_BUTT] = {FIRM, 1.0, 1.3},         [REGION_BACK] = {FIRM, 1.0, 1.3},
    [REGION_SHOULDER] = {MIDDLING, 1.2, 1.4}, [REGION_NECK] = {MIDDLING, 1.3, 1.6},
    [REGION_BELLY] = {SOFT, 1.8, 1.5},        [REGION_FLANK] = {LOOSE, 2.2, 2.0},
    [REGION_SHANK] = {LOOSE, 2.2, 2.0},
};

// The clipped ring may run along the line more than once; that encloses nothing.
double area_beyond_mm2(Ring ring, Point across, double offset)
{
    double twice_mm2 = 0;
    Point first = {0, 0};
    Point last = {0, 0};
    bool begun = false;
    for (int i = 0; i < ring.count; i++) {
        const Point a = ring.points[i];
        const Point b = ring_point(ring, i + 1);
        const double a_beyond = point_dot(a, across) - offset;
        const double b_beyond = point_dot(b, across) - offset;
        Point kept[2];
        int count = 0;
        if (a_beyond >= 0) {
            kept[count++] = a;
        }
        if ((a_beyond > 0 && b_beyond < 0) || (a_beyond < 0 && b_beyond > 0)) {
            kept[count++] = point_between(a, b, a_beyond / (a_beyond - b_beyond));
        }
        for (int k = 0; k < count; k++) {
            if (begun) {
                twice_mm2 += point_cross(point_minus(last, first), point_minus(kept[k], first));
            } else {
                first = kept[k];
                begun = true;
            }
            last = kept[k];
        }
    }
    return 0.5 * fabs(twice_mm2);
}

// Distance of the two belly lines from the backbone.
static double belly_line_mm(Ring outline, double area_mm2)
{
    const Box box = ring_box(outline);
    double inner = 0;
    double outer = fmax(fabs(box.min.y), fabs(box.max.y));
    for (int i = 0; i < BISECTIONS; i++) {
        const double middle = 0.5 * (inner + outer);
        const double outside_mm2 = area_beyond_mm2(outline, (Point){0, 1}, middle) +
                                   area_beyond_mm2(outline, (Point){0, -1}, middle);
        if (outside_mm2 > BELLY_SHARE * area_mm2) {
            inner = middle;
        } else {
            outer = middle;
        }
    }
    return 0.5 * (inner + outer);
}

// Line across the backbone that leaves shoulder and neck their share of the area.
static double shoulder_line_mm(PolygonSet core, Box box, double area_mm2)
{
    double low = box.min.x;
    double high = box.max.x;
    for (int i = 0; i < BISECTIONS; i++) {
        const double middle = 0.5 * (low + high);
        double beyond_mm2 = 0;
        for (int k = 0; k < core.count; k++) {
            beyond_mm2 += area_beyond_mm2(core.items[k].outer, (Point){1, 0}, middle);
        }
        if (beyond_mm2 > SHOULDER_AND_NECK_SHARE * area_mm2) {
            low = middle;
        } else {
            high = middle;
        }
    }
    return 0.5 * (low + high);
}

// Up to four rectangles that do not meet, as a set. Empty ones are left out.
typedef struct Boxes {
    Box items[4];
    int count;
} Boxes;

static void add_box(Boxes *boxes, double from_x, double to_x, double from_y, double to_y)
{
    if (to_x > from_x && to_y > from_y) {
        boxes->items[boxes->count++] = (Box){{from_x, from_y}, {to_x, to_y}};
    }
}

// The strip and its mirror image beyond the backbone.
static void add_both_sides(Boxes *boxes, double from_x, double to_x, double from_out, double to_out)
{
    add_box(boxes, from_x, to_x, from_out, to_out);
    add_box(boxes, from_x, to_x, -to_out, -from_out);
}

static PolygonSet set_of_boxes(Boxes boxes, Arena *keep)
{
    Polygon *items = ARENA_ARRAY(keep, Polygon, 4);
    for (int i = 0; i < boxes.count; i++) {
        const Box box = boxes.items[i];
        Point *corners = ARENA_ARRAY(keep, Point, 4);
        corners[0] = box.min;
        corners[1] = (Point){box.max.x, box.min.y};
        corners[2] = box.max;
        corners[3] = (Point){box.min.x, box.max.y};
        items[i].outer = (Ring){corners, 4};
    }
    return (PolygonSet){items, boxes.count};
}

// What is laid over what, while regions are being made.
typedef struct Laying {
    PolygonSet parts[REGION_KIND_COUNT];
    Arena *keep;
    Arena *scratch;
    bool failed;
} Laying;

static PolygonSet overlay(Laying *laying, PolygonOperation operation, PolygonSet set, Boxes boxes,
                          Arena *into)
{
    PolygonSet result = {NULL, 0};
    if (!polygon_overlay(operation, set, set_of_boxes(boxes, laying->scratch), into, &result)) {
        laying->failed = true;
    }
    return result;
}

static PolygonSet cut_out(Laying *laying, PolygonSet set, Boxes boxes)
{
    return overlay(laying, POLYGON_INTERSECTION, set, boxes, laying->keep);
}

// Within the belly lines, from butt to neck.
static void lay_core(Laying *laying, PolygonSet core, const Hide *hide, Box box)
{
    const double neck = NECK_FROM * hide->backbone_mm;
    const double shoulder = fmin(neck, shoulder_line_mm(core, box, hide->area_mm2));
    const double butt = fmin(shoulder, BUTT_TO * hide->backbone_mm);
    const double lines[] = {box.min.x, butt, shoulder, neck, box.max.x};
    for (int i = 0; i < 4; i++) {
        // The four kinds follow each other in RegionKind. A line may lie off an odd outline.
        const double from = fmin(fmax(lines[i], box.min.x), box.max.x);
        const double to = fmin(fmax(lines[i + 1], box.min.x), box.max.x);
        Boxes band = {.count = 0};
        add_box(&band, from, to, box.min.y, box.max.y);
        laying->parts[REGION_BUTT + i] = cut_out(laying, core, band);
    }
}

// Beyond the belly lines: shanks outermost near the legs, flanks before the hind
// legs, belly the rest.
static void lay_bellies(Laying *laying, PolygonSet outside, const Hide *hide, Box box, double line)
{
    const double length = hide->backbone_mm;
    const double reach = fmax(fabs(box.min.y), fabs(box.max.y)) + 1;
    Boxes shanks = {.count = 0};
    const double hind_to = HIND_SHANK_TO * length;
    add_both_sides(&shanks, fmin(box.min.x, hind_to - 1), hind_to, SHANK_OUT * line, reach);
    add_both_sides(&shanks, FORE_SHANK_FROM * length, FORE_SHANK_TO * length, SHANK_OUT * line,
                   reach);
    Boxes flanks = {.count = 0};
    add_both_sides(&flanks, FLANK_FROM * length, FLANK_TO * length, line, SHANK_OUT * line);
    laying->parts[REGION_SHANK] = cut_out(laying, outside, shanks);
    laying->parts[REGION_FLANK] = cut_out(laying, outside, flanks);
    const PolygonSet rest = overlay(laying, POLYGON_DIFFERENCE, outside, shanks, laying->scratch);
    laying->parts[REGION_BELLY] = overlay(laying, POLYGON_DIFFERENCE, rest, flanks, laying->keep);
}

static bool lay_over_outline(Laying *laying, const Hide *hide)
{
    const PolygonSet outline = polygon_set_of_ring(hide->outline, laying->scratch);
    Box box = ring_box(hide->outline);
    box.min = point_minus(box.min, (Point){1, 1});
    box.max = point_plus(box.max, (Point){1, 1});
    const double line = belly_line_mm(hide->outline, hide->area_mm2);
    Boxes within = {.count = 0};
    add_box(&within, box.min.x, box.max.x, -line, line);
    const PolygonSet core = overlay(laying, POLYGON_INTERSECTION, outline, within, laying->scratch);
    const PolygonSet outside =
        overlay(laying, POLYGON_DIFFERENCE, outline, within, laying->scratch);
    lay_core(laying, core, hide, box);
    lay_bellies(laying, outside, hide, box, line);
    return !laying->failed;
}

Region default_region(RegionKind kind, PolygonSet area)
{
    return (Region){kind, region_defaults[kind].firmness, region_defaults[kind].along,
                    region_defaults[kind].across, area};
}

static bool refuse(Problems *problems, const Hide *hide)
{
    return problems_say(problems, PROBLEM_SYSTEM, hide->name ? hide->name : "hide",
                        "the regions could not be laid over this outline");
}

bool hide_lay_regions(Hide *hide, Arena *keep, Arena *scratch, Problems *problems)
{
    const ArenaMark mark = arena_mark(scratch);
    Laying laying = {.keep = keep, .scratch = scratch};
    if (hide->form == HIDE_PANEL) {
        laying.parts[REGION_BACK] = polygon_set_of_ring(hide->outline, keep);
    } else if (!lay_over_outline(&laying, hide)) {
        arena_rewind(scratch, mark);
        return refuse(problems, hide);
    }
    hide->region_count = 0;
    for (int kind = 0; kind < REGION_KIND_COUNT; kind++) {
        if (laying.parts[kind].count > 0) {
            hide->regions[hide->region_count++] =
                default_region((RegionKind)kind, laying.parts[kind]);
        }
    }
    arena_rewind(scratch, mark);
    return true;
}

static const Region *region_of_kind(const Hide *hide, RegionKind kind)
{
    for (int i = 0; i < hide->region_count; i++) {
        if (hide->regions[i].kind == kind) {
            return &hide->regions[i];
        }
    }
    return NULL;
}

bool hide_set_region(Hide *hide, RegionKind kind, PolygonSet area, Arena *keep, Arena *scratch,
                     Problems *problems)
{
    const ArenaMark mark = arena_mark(scratch);
    const PolygonSet outline = polygon_set_of_ring(hide->outline, scratch);
    Region regions[REGION_KIND_COUNT];
    int count = 0;
    PolygonSet laid = {NULL, 0};
    bool made = polygon_overlay(POLYGON_INTERSECTION, area, outline, scratch, &laid);
    for (int k = 0; k < REGION_KIND_COUNT && made && laid.count > 0; k++) {
        const Region *old = region_of_kind(hide, (RegionKind)k);
        Region region = old ? *old : default_region((RegionKind)k, (PolygonSet){NULL, 0});
        if (k == (int)kind) {
            made = polygon_overlay(POLYGON_UNION, region.area, laid, keep, &region.area);
        } else if (old) {
            made = polygon_overlay(POLYGON_DIFFERENCE, region.area, laid, keep, &region.area);
        }
        if (region.area.count > 0) {
            regions[count++] = region;
        }
    }
    arena_rewind(scratch, mark);
    if (!made) {
        return refuse(problems, hide);
    }
    for (int k = 0; k < count; k++) {
        hide->regions[k] = regions[k];
    }
    hide->region_count = laid.count > 0 ? count : hide->region_count;
    return true;
}

const Region *hide_region_at(const Hide *hide, Point place)
{
    for (int i = 0; i < hide->region_count; i++) {
        if (polygon_set_contains(hide->regions[i].area, place)) {
            return &hide->regions[i];
        }
    }
    if (!ring_contains(hide->outline, place)) {
        return NULL;
    }
    // On a line between two regions rounding may put a place into neither.
    const Region *nearest = NULL;
    double nearest_mm = HUGE_VAL;
    for (int i = 0; i < hide->region_count; i++) {
        const double away_mm = polygon_set_distance_mm(hide->regions[i].area, place);
        if (away_mm < nearest_mm) {
            nearest = &hide->regions[i];
            nearest_mm = away_mm;
        }
    }
    return nearest;
}
