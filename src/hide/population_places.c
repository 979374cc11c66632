// Flaws of random hides at places of their own: spots, the neck, brands.
#include "base/units.h"
#include "hide/population_parts.h"

enum { PLACE_TRIES = 60, NEAR_TRIES = 10, CLUSTERS_MAX = 500, SPOT_STREAMS = 40 };
// Zones of spots, in backbone lengths.
static const double TAIL_ROOT_UP = 0.15;
static const double TAIL_ROOT_OUT = 0.1;
static const double RIM_DEPTH = 0.1;
// A box that holds all hides that are not refused.
static const Box HIDE_BOX = {{-0.25, -0.9}, {1.25, 0.9}};
// Further spots of a cluster lie about the first, itself off the middle: hence sqrt(2).
static const double ABOUT_THE_FIRST = 1.4;

// Boxes on either half that brands lie in, in backbone lengths: common practice.
static const Box brand_boxes[BRAND_PLACES] = {
    [BRAND_BUTT] = {{0.08, 0.12}, {0.30, 0.34}},
    [BRAND_SIDE] = {{0.38, 0.12}, {0.62, 0.34}},
    [BRAND_SHOULDER] = {{0.68, 0.08}, {0.85, 0.25}},
};
// Irons are 3 to 5 in high and brands one to three characters wide: from memory. ln of mm.
static const SizeLaw brand_size = {4.94, 0.25, 5.5};
static const SizeLaw brand_elongation = {0.35, 0.2, 0.8};

static Point random_in(Random *random, Box box)
{
    const double x = random_between(random, box.min.x, box.max.x);
    const double y = random_between(random, box.min.y, box.max.y);
    return (Point){x, y};
}

static bool is_in_tail_root(Point unit)
{
    return unit.x < TAIL_ROOT_UP && fabs(unit.y) < TAIL_ROOT_OUT;
}

static bool is_in_zone(const FlawCanvas *canvas, SpotZone zone, Point at)
{
    if (!ring_contains(canvas->outline, at)) {
        return false;
    }
    if (is_in_tail_root(point_times(at, 1 / canvas->length_mm))) {
        return zone == SPOT_TAIL_ROOT;
    }
    const bool rim = zone == SPOT_RIM || // was set off from the edge
                     ring_distance_mm(canvas->outline, at) < RIM_DEPTH * canvas->length_mm;
    return zone == (rim ? SPOT_RIM : SPOT_INSIDE);
}

static Point place_in_zone(const FlawCanvas *canvas, SpotZone zone, Random *random)
{
    const double length_mm = canvas->length_mm;
    const HideEdge *edge = canvas->edge;
    const Box tail = {{0, -TAIL_ROOT_OUT}, {TAIL_ROOT_UP, TAIL_ROOT_OUT}};
    Point at = {0, 0};
    bool found = false;
    for (int i = 0; i < PLACE_TRIES && !found; i++) {
        if (zone == SPOT_RIM) {
            const EdgeSpot spot = edge_spot(edge, edge->along[edge->count] * random_share(random));
            const double depth_mm = length_mm * RIM_DEPTH * random_share(random);
            at = point_plus(spot.at, point_times(spot.inward, depth_mm));
        } else {
            at = point_times(random_in(random, zone == SPOT_INSIDE ? HIDE_BOX : tail), length_mm);
        }
        found = is_in_zone(canvas, zone, at);
    }
    // The middle of any hide, should all tries have failed.
    return found ? at : (Point){0.5 * length_mm, 0};
}

static Point place_near(const FlawCanvas *canvas, Point first, double scatter_mm, Random *random)
{
    for (int i = 0; i < NEAR_TRIES; i++) {
        const double x = first.x + ABOUT_THE_FIRST * scatter_mm * random_normal(random);
        const double y = first.y + ABOUT_THE_FIRST * scatter_mm * random_normal(random);
        if (ring_contains(canvas->outline, (Point){x, y})) {
            return (Point){x, y};
        }
    }
    return first;
}

// Each spot has a stream of its own: how often a place is looked for, and how many corners a
// spot has, change nothing for the others.
static void draw_cluster(FlawCanvas *canvas, SpotZone zone, int index)
{
    const int number = ((int)zone * CLUSTERS_MAX + index) * SPOT_STREAMS;
    Random random = canvas_stream(canvas, DRAWN_SPOT, number);
    const SpotLaw *law = &spot_laws[zone];
    const int first_class = law_choice(&random, law->classes, FLAW_CLASSES);
    const int drawn = random_poisson(&random, law->in_cluster - 1);
    const int count = 1 + drawn < SPOT_STREAMS ? 1 + drawn : SPOT_STREAMS - 1;
    const Point first = place_in_zone(canvas, zone, &random);
    for (int i = 0; i < count; i++) {
        Random own = canvas_stream(canvas, DRAWN_SPOT, number + 1 + i);
        const bool same = random_share(&own) < law->same_class;
        const int other_class = law_choice(&own, law->classes, FLAW_CLASSES);
        const DrawnFlaw what = {.kind = DRAWN_SPOT,
                                .quality = i == 0 || same ? first_class : other_class};
        Blob blob = {.size_mm = canvas->grade->sizes * law_size(&own, law->size)};
        blob.elongation = law_size(&own, law->elongation);
        blob.angle_rad = PI * random_share(&own);
        blob.middle = i == 0 ? first : place_near(canvas, first, law->scatter_mm, &own);
        canvas_add_blob(canvas, what, blob, &own);
    }
}

void draw_spots(FlawCanvas *canvas)
{
    for (int zone = 0; zone < SPOT_ZONES; zone++) {
        const int count = canvas_count(canvas, counted(DRAWN_SPOT, zone), spot_laws[zone].clusters,
                                       canvas->grade->spots);
        for (int i = 0; i < count && i < CLUSTERS_MAX; i++) {
            draw_cluster(canvas, (SpotZone)zone, i);
        }
    }
}

void draw_neck_zone(FlawCanvas *canvas)
{
    if (!canvas_chance(canvas, counted(DRAWN_NECK_ZONE, 0), canvas->grade->neck_zones)) {
        return;
    }
    Random random = canvas_stream(canvas, DRAWN_NECK_ZONE, 0);
    const NeckLaw *law = &neck_zone_law;
    const DrawnFlaw what = {.kind = DRAWN_NECK_ZONE,
                            .quality = law_choice(&random, law->classes, FLAW_CLASSES)};
    const double up = law_normal(&random, law->x, 2);
    const double out = law_normal(&random, law->y, 2);
    Blob blob = {.middle = point_times((Point){up, out}, canvas->length_mm)};
    blob.size_mm = canvas->grade->sizes * law_size(&random, law->size);
    blob.elongation = law_size(&random, law->elongation);
    blob.angle_rad = random_share(&random) < 0.5 ? 0 : PI / 2;
    canvas_add_blob(canvas, what, blob, &random);
}

static void draw_brand(FlawCanvas *canvas, int index)
{
    Random random = canvas_stream(canvas, DRAWN_BRAND, index);
    const int place = law_choice(&random, canvas->grade->brand_places, BRAND_PLACES);
    const Point on_left = random_in(&random, brand_boxes[place]);
    const double side = random_share(&random) < 0.5 ? 1 : -1;
    Blob blob = {.middle = point_times((Point){on_left.x, side * on_left.y}, canvas->length_mm)};
    blob.size_mm = law_size(&random, brand_size);
    blob.elongation = law_size(&random, brand_elongation);
    blob.angle_rad = PI * random_share(&random);
    const DrawnFlaw what = {.kind = DRAWN_BRAND, .quality = 1, .place = (BrandPlace)place};
    canvas_add_blob(canvas, what, blob, &random);
}

void draw_brands(FlawCanvas *canvas)
{
    if (canvas_chance(canvas, counted(DRAWN_BRAND, 0), canvas->grade->branded)) {
        draw_brand(canvas, 0);
        if (canvas_chance(canvas, counted(DRAWN_BRAND, 1), canvas->grade->second_brand)) {
            draw_brand(canvas, 1);
        }
    }
}
