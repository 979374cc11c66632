// Flaws of random hides along the edge: cuts, shanks, soft patches and bands.
#include "base/units.h"
#include "hide/population_parts.h"

enum {
    BLOB_POINTS_MAX = 24,
    CUT_SAMPLES = 7,
    BAND_STEPS_MAX = 32,
    BAND_TRIES = 5,
    ARC_POINTS = 3,
};
static const double BLOTCHY = 0.12;       // share by which the radius of a blob goes in and out
static const double OVER_THE_EDGE_MM = 1; // what is cut at the edge reaches beyond it
static const double BAND_STEP_MM = 44;
static const double THINNER = 0.6; // from try to try
// Mean of 4 s (1 - s) is 2/3.
static const double MEAN_OF_ARC = 2.0 / 3;

// What the graders' classes are in the tolerance table's terms (docs/population.md). What a
// flaw was is not recorded with the hides; these are the likeliest for kind and class.
static const FlawKind flaw_kinds[DRAWN_KIND_COUNT][FLAW_CLASSES] = {
    [DRAWN_EDGE_CUT] = {FLAW_HOLE, FLAW_FLAY_CUT, FLAW_SCAR, FLAW_SCAR},
    [DRAWN_SPOT] = {FLAW_HOLE, FLAW_OPEN_SCAR, FLAW_SCAR, FLAW_TICKS},
    [DRAWN_HIND_CAP] = {FLAW_THIN, FLAW_THIN, FLAW_LOOSE_GRAIN, FLAW_LOOSE_GRAIN},
    [DRAWN_FORE_CAP] = {FLAW_THIN, FLAW_THIN, FLAW_LOOSE_GRAIN, FLAW_LOOSE_GRAIN},
    [DRAWN_HIND_PATCH] = {FLAW_THIN, FLAW_LOOSE_GRAIN, FLAW_LOOSE_GRAIN, FLAW_WRINKLE},
    [DRAWN_FORE_PATCH] = {FLAW_THIN, FLAW_LOOSE_GRAIN, FLAW_LOOSE_GRAIN, FLAW_WRINKLE},
    [DRAWN_FLANK_POCKET] = {FLAW_THIN, FLAW_STRETCHED, FLAW_STRETCHED, FLAW_WRINKLE},
    [DRAWN_ARMPIT] = {FLAW_THIN, FLAW_STRETCHED, FLAW_STRETCHED, FLAW_WRINKLE},
    [DRAWN_NECK_SIDE] = {FLAW_THIN, FLAW_LOOSE_GRAIN, FLAW_LOOSE_GRAIN, FLAW_WRINKLE},
    [DRAWN_BELLY_BAND] = {FLAW_THIN, FLAW_LOOSE_GRAIN, FLAW_LOOSE_GRAIN, FLAW_WRINKLE},
    [DRAWN_NECK_ZONE] = {FLAW_OPEN_SCAR, FLAW_LOOSE_GRAIN, FLAW_LOOSE_GRAIN, FLAW_WRINKLE},
    [DRAWN_BRAND] = {FLAW_BRAND, FLAW_BRAND, FLAW_BRAND, FLAW_BRAND},
};

Random canvas_stream(const FlawCanvas *canvas, DrawnKind kind, int index)
{
    return part_begin(canvas->trial, PART_FLAWS + (int)kind, index);
}

int canvas_count(const FlawCanvas *canvas, int number, CountLaw law, double factor)
{
    Random random = part_begin(canvas->trial, PART_COUNTS, number);
    return random_count(&random, law.mean * factor, law.dispersion);
}

bool canvas_chance(const FlawCanvas *canvas, int number, double chance)
{
    Random random = part_begin(canvas->trial, PART_COUNTS, number);
    return random_share(&random) < chance;
}

void canvas_add(FlawCanvas *canvas, DrawnFlaw what, const Point *points, int count)
{
    const Ring drawn = {points, count};
    const Box box = ring_box(drawn);
    if (canvas->count == FLAWS_MAX || (canvas->half > 0 && box.max.y <= 0) ||
        (canvas->half < 0 && box.min.y >= 0)) {
        return;
    }
    Point *kept = ARENA_ARRAY(canvas->keep, Point, count);
    const bool turned = ring_area_mm2(drawn) < 0;
    for (int i = 0; i < count; i++) {
        kept[i] = points[turned ? count - 1 - i : i];
    }
    const Ring ring = {kept, count};
    canvas->drawn[canvas->count] = what;
    canvas->flaws[canvas->count++] = (Flaw){.kind = flaw_kinds[what.kind][what.quality],
                                            .area = polygon_set_of_ring(ring, canvas->keep),
                                            .middle = ring_centroid(ring)};
}

void canvas_add_blob(FlawCanvas *canvas, DrawnFlaw what, Blob blob, Random *random)
{
    const int count = blob.size_mm < 30 ? 8 : blob.size_mm < 120 ? 14 : BLOB_POINTS_MAX;
    // As large as the disc, though it has corners.
    const double radius_mm = 0.5 * blob.size_mm * sqrt(2 * PI / (count * sin(2 * PI / count)));
    const double longer = sqrt(blob.elongation);
    const Point axis = {cos(blob.angle_rad), sin(blob.angle_rad)};
    Point points[BLOB_POINTS_MAX];
    double blotch = 0;
    for (int i = 0; i < count; i++) {
        blotch = 0.5 * (blotch + random_between(random, -2 * BLOTCHY, 2 * BLOTCHY));
        const double r = radius_mm * (1 + blotch);
        const double u = r * longer * cos(2 * PI * i / count);
        const double v = r / longer * sin(2 * PI * i / count);
        points[i] = (Point){blob.middle.x + u * axis.x - v * axis.y,
                            blob.middle.y + u * axis.y + v * axis.x};
    }
    canvas_add(canvas, what, points, count);
}

// How far the edge between two of its spots lies out of the straight line, outward and inward.
typedef struct Stretch {
    Point from;
    Point to;
    Point foot;       // of the middle of the edge, on the line
    Point inward;     // square to the line
    double middle_mm; // how far inward of the line the middle of the edge lies
    double bulge_mm;
    double dip_mm;
} Stretch;

static Stretch stretch_of(const HideEdge *edge, double along, double base_mm)
{
    const EdgeSpot middle = edge_spot(edge, along);
    Stretch stretch = {.from = edge_spot(edge, along - base_mm / 2).at,
                       .to = edge_spot(edge, along + base_mm / 2).at,
                       .inward = middle.inward};
    const Point line = point_minus(stretch.to, stretch.from);
    if (point_length(line) > 0.3 * base_mm) {
        stretch.inward = point_times(point_right(point_unit(line)), -1);
    } else { // the edge turns back, as round the end of a slit
        const Point half = point_times(point_right(middle.inward), -0.5 * base_mm);
        stretch.from = point_plus(middle.at, half);
        stretch.to = point_minus(middle.at, half);
    }
    const Point way = point_minus(stretch.to, stretch.from);
    const Point to_middle = point_minus(middle.at, stretch.from);
    const double share = point_dot(to_middle, way) / point_dot(way, way);
    stretch.foot = point_between(stretch.from, stretch.to, fmin(0.95, fmax(0.05, share)));
    stretch.middle_mm = point_dot(to_middle, stretch.inward);
    stretch.bulge_mm = fmax(0, -stretch.middle_mm);
    stretch.dip_mm = fmax(0, stretch.middle_mm);
    for (int i = 1; i < CUT_SAMPLES; i++) {
        const Point at = edge_spot(edge, along + base_mm * ((double)i / CUT_SAMPLES - 0.5)).at;
        const double in = point_dot(point_minus(at, stretch.from), stretch.inward);
        stretch.bulge_mm = fmax(stretch.bulge_mm, -in);
        stretch.dip_mm = fmax(stretch.dip_mm, in);
    }
    return stretch;
}

static void draw_edge_cut(FlawCanvas *canvas, const double *weight, int index)
{
    Random random = canvas_stream(canvas, DRAWN_EDGE_CUT, index);
    const EdgeCutLaw *law = &edge_cut_law;
    const HideEdge *edge = canvas->edge;
    const double want = weight[edge->count] * random_share(&random);
    const int i = rising_index(weight, edge->count + 1, want);
    const double along =
        edge->along[i] + random_share(&random) * (edge->along[i + 1] - edge->along[i]);
    const bool butt = edge_t_of(edge->place[i]) < 1;
    const double sizes = canvas->grade->sizes;
    const double depth_mm = sizes * law_size(&random, butt ? law->butt_depth : law->rest_depth);
    const double base_mm = sizes * law_size(&random, butt ? law->butt_base : law->rest_base);
    const DrawnFlaw what = {.kind = DRAWN_EDGE_CUT,
                            .quality = law_choice(&random, law->classes, FLAW_CLASSES)};
    const bool touching = random_share(&random) < law->touching;
    const double gap_mm = law_size(&random, law->gap);
    const Stretch stretch = stretch_of(edge, along, base_mm);
    if (touching) {
        const Point out = point_times(stretch.inward, -(stretch.bulge_mm + OVER_THE_EDGE_MM));
        const double deep_mm = depth_mm + stretch.middle_mm;
        const Point ring[] = {
            stretch.from, point_plus(stretch.foot, point_times(stretch.inward, deep_mm)),
            stretch.to, point_plus(stretch.to, out), point_plus(stretch.from, out)};
        canvas_add(canvas, what, ring, 5);
    } else {
        const Point in = point_times(stretch.inward, gap_mm + stretch.dip_mm);
        const Point ring[] = {
            point_plus(stretch.from, in),
            point_plus(point_plus(point_between(stretch.from, stretch.to, 0.5), in),
                       point_times(stretch.inward, depth_mm)),
            point_plus(stretch.to, in)};
        canvas_add(canvas, what, ring, 3);
    }
}

void draw_edge_cuts(FlawCanvas *canvas, bool capped)
{
    const EdgeCutLaw *law = &edge_cut_law;
    const HideEdge *edge = canvas->edge;
    const CountLaw many = capped ? law->with_caps : law->without;
    const int count =
        canvas_count(canvas, counted(DRAWN_EDGE_CUT, capped), many, canvas->grade->edge_cuts);
    const ArenaMark mark = arena_mark(canvas->scratch);
    double *weight = ARENA_ARRAY(canvas->scratch, double, edge->count + 1);
    for (int i = 0; i < edge->count; i++) {
        const int bin = (int)(edge_t_of(edge->place[i]) * EDGE_RATES / EDGE_SEGMENTS);
        weight[i + 1] = weight[i] + law->rate[bin < EDGE_RATES ? bin : EDGE_RATES - 1] *
                                        (edge->along[i + 1] - edge->along[i]);
    }
    for (int i = 0; i < count; i++) {
        draw_edge_cut(canvas, weight, i);
    }
    arena_rewind(canvas->scratch, mark);
}

// The shank between two edge places, cut off by a chord that bulges inward: its hull, since what
// of that lies off the hide does no harm.
static void draw_cap(FlawCanvas *canvas, DrawnKind kind, const CapLaw *law, bool left)
{
    Random random = canvas_stream(canvas, kind, left);
    const HideEdge *edge = canvas->edge;
    const bool there = random_share(&random) < law->chance;
    const double one = edge_along_at(edge, edge_place_of(left, law_normal(&random, law->from, 2)));
    const double two = edge_along_at(edge, edge_place_of(left, law_normal(&random, law->to, 2)));
    const double bulge_mm = canvas->length_mm * law_normal(&random, law->bulge, 2);
    if (!there) {
        return;
    }
    const double from = fmin(one, two);
    const double to = fmax(one, two);
    const ArenaMark mark = arena_mark(canvas->scratch);
    Point *points = ARENA_ARRAY(canvas->scratch, Point, edge->count + ARC_POINTS + 2);
    int count = 0;
    for (int i = 0; i < edge->count; i++) {
        if (edge->along[i] > from && edge->along[i] < to) {
            points[count++] = edge->at[i];
        }
    }
    const Point first = edge_spot(edge, from).at;
    const Point last = edge_spot(edge, to).at;
    points[count++] = first;
    points[count++] = last;
    const Point inward = point_times(point_right(point_unit(point_minus(last, first))), -1);
    for (int i = 1; i <= ARC_POINTS; i++) {
        const double share = (double)i / (ARC_POINTS + 1);
        const double in_mm = bulge_mm * 4 * share * (1 - share) / MEAN_OF_ARC;
        points[count++] = point_plus(point_between(first, last, share), point_times(inward, in_mm));
    }
    Point *hull = ARENA_ARRAY(canvas->scratch, Point, count + 1);
    const int hull_count = hull_of(points, count, hull);
    canvas_add(canvas, (DrawnFlaw){.kind = kind}, hull, hull_count);
    arena_rewind(canvas->scratch, mark);
}

void draw_caps(FlawCanvas *canvas)
{
    for (int left = 0; left < 2; left++) {
        draw_cap(canvas, DRAWN_HIND_CAP, &hind_cap_law, left);
        draw_cap(canvas, DRAWN_FORE_CAP, &fore_cap_law, left);
    }
}

static void draw_patch(FlawCanvas *canvas, DrawnKind kind, const PatchLaw *law, bool left,
                       int index)
{
    Random random = canvas_stream(canvas, kind, 2 * index + left);
    const EdgeSpot spot = edge_spot(
        canvas->edge,
        edge_along_at(canvas->edge, edge_place_of(left, law_normal(&random, law->place, 2))));
    const double drawn_mm = canvas->length_mm * law_size(&random, law->depth);
    Blob blob = {.size_mm = canvas->grade->sizes * law_size(&random, law->size),
                 .elongation = law_size(&random, law->elongation)};
    const double angle_rad = law_normal(&random, law->angle_deg, 2) * RAD_PER_DEG;
    blob.angle_rad = left ? angle_rad : -angle_rad;
    const bool touching = random_share(&random) < law->touching;
    const double gap_mm = law_size(&random, law->gap);
    const DrawnFlaw what = {.kind = kind,
                            .quality = law_choice(&random, law->classes, FLAW_CLASSES)};
    // How far the ellipse reaches towards the edge.
    const double longer = sqrt(blob.elongation);
    const Point axis = {cos(blob.angle_rad), sin(blob.angle_rad)};
    const double reach_mm =
        0.5 * blob.size_mm *
        hypot(longer * point_dot(spot.inward, axis), point_cross(spot.inward, axis) / longer);
    const double depth_mm =
        touching ? fmin(drawn_mm, 0.8 * reach_mm) : fmax(drawn_mm, reach_mm + gap_mm);
    blob.middle = point_plus(spot.at, point_times(spot.inward, depth_mm));
    canvas_add_blob(canvas, what, blob, &random);
}

static void draw_patches_of(FlawCanvas *canvas, DrawnKind kind, const PatchLaw *law, CountLaw many,
                            double factor)
{
    for (int left = 0; left < 2; left++) {
        const int count = canvas_count(canvas, counted(kind, 1 + left), many, factor);
        for (int i = 0; i < count; i++) {
            draw_patch(canvas, kind, law, left, i);
        }
    }
}

void draw_patches(FlawCanvas *canvas, bool capped)
{
    const HideGrade *grade = canvas->grade;
    if (!capped) {
        draw_patches_of(canvas, DRAWN_HIND_PATCH, &hind_patch_law, hind_patch_count,
                        grade->shank_patches);
        draw_patches_of(canvas, DRAWN_FORE_PATCH, &fore_patch_law, fore_patch_count,
                        grade->shank_patches);
    }
    // Left and right belong together: drawn once for both. All ten halves with pockets had one.
    if (canvas_chance(canvas, counted(DRAWN_FLANK_POCKET, 0), grade->flank_pockets)) {
        for (int left = 0; left < 2; left++) {
            draw_patch(canvas, DRAWN_FLANK_POCKET, &flank_pocket_law, left, 0);
        }
    }
    if (canvas_chance(canvas, counted(DRAWN_ARMPIT, 0), grade->armpits)) {
        draw_patches_of(canvas, DRAWN_ARMPIT, &armpit_law, armpit_count, 1);
    }
    if (canvas_chance(canvas, counted(DRAWN_NECK_SIDE, 0), grade->neck_sides)) {
        draw_patches_of(canvas, DRAWN_NECK_SIDE, &neck_side_law, neck_side_count, 1);
    }
}

typedef struct Band {
    double middle_mm; // along the edge
    double length_mm;
    double offset_mm;
    double thick_mm; // in the middle; nothing at the ends
} Band;

// Returns how many points; `ring` has room for 2 * BAND_STEPS_MAX.
static int band_ring(const HideEdge *edge, Band band, bool straight, Point *ring)
{
    const int wanted = (int)(band.length_mm / BAND_STEP_MM) + 2;
    const int steps = wanted < BAND_STEPS_MAX ? wanted : BAND_STEPS_MAX;
    const Point first = edge_spot(edge, band.middle_mm - band.length_mm / 2).at;
    const Point last = edge_spot(edge, band.middle_mm + band.length_mm / 2).at;
    const Point inward = point_times(point_right(point_unit(point_minus(last, first))), -1);
    for (int i = 0; i <= steps; i++) {
        const double share = (double)i / steps;
        EdgeSpot spot = {.at = point_between(first, last, share), .inward = inward};
        if (!straight) {
            spot = edge_spot(edge, band.middle_mm + band.length_mm * (share - 0.5));
        }
        const double in_mm = band.offset_mm + band.thick_mm * 4 * share * (1 - share);
        ring[i] = point_plus(spot.at, point_times(spot.inward, band.offset_mm));
        if (i > 0 && i < steps) {
            ring[2 * steps - i] = point_plus(spot.at, point_times(spot.inward, in_mm));
        }
    }
    return 2 * steps;
}

// A strip along the edge. Where that turns sharply a thick one would cross itself, and a thinner
// one nearer to the edge is taken; where there are slits, a straight one at last.
static void draw_belly_band(FlawCanvas *canvas, bool left)
{
    Random random = canvas_stream(canvas, DRAWN_BELLY_BAND, left);
    const BandLaw *law = &belly_band_law;
    const double place = edge_place_of(left, law_normal(&random, law->middle, 2));
    Band band = {.middle_mm = edge_along_at(canvas->edge, place)};
    band.length_mm = law_size(&random, law->length);
    band.offset_mm = law_size(&random, law->offset);
    band.thick_mm = canvas->grade->sizes * law_size(&random, law->thickness) / MEAN_OF_ARC;
    const Band wanted = band;
    Point ring[2 * BAND_STEPS_MAX];
    int count = 0;
    bool apart = false;
    for (int k = 0; k < BAND_TRIES && !apart; k++) {
        count = band_ring(canvas->edge, band, false, ring);
        const ArenaMark mark = arena_mark(canvas->scratch);
        apart = edges_keep_apart(ring, count, canvas->scratch);
        arena_rewind(canvas->scratch, mark);
        band.offset_mm *= THINNER;
        band.thick_mm *= THINNER;
    }
    if (!apart) {
        count = band_ring(canvas->edge, wanted, true, ring);
    }
    canvas_add(canvas, (DrawnFlaw){.kind = DRAWN_BELLY_BAND, .quality = 2}, ring, count);
}

void draw_belly_bands(FlawCanvas *canvas)
{
    for (int left = 0; left < 2; left++) {
        if (canvas_chance(canvas, counted(DRAWN_BELLY_BAND, left), canvas->grade->belly_bands)) {
            draw_belly_band(canvas, left);
        }
    }
}
