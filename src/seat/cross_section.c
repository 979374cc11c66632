#include "seat/cross_section.h"
#include "base/units.h"

#include "seat/path.h"

#include <string.h>

static const double ARC_CHORD_MM = 0.02;
static const double REPEATED_MM = 1e-6;
enum { DOME_CHORDS = 32, ARC_CHORDS_MAX = 90, CHAIN_POINTS_MAX = 2 * ARC_CHORDS_MAX + 6 };

const char *const path_part_names[PATH_PART_COUNT] = {"dome",  "round", "side", "bottom",
                                                      "under", "hold",  "grip"};
const Band path_part_bands[PATH_PART_COUNT] = {BAND_FACE, BAND_EDGE, BAND_EDGE, BAND_TURN,
                                               BAND_TURN, BAND_TURN, BAND_GRIP};

double path_part_mm(const LeatherPath *path, PathPart part)
{
    const double lengths_mm[PATH_PART_COUNT] = {path->dome_mm,   path->round_mm, path->side_mm,
                                                path->bottom_mm, path->under_mm, path->hold_mm,
                                                path->grip_mm};
    return lengths_mm[part];
}

double path_band_mm(const LeatherPath *path, Band band)
{
    double sum_mm = 0;
    for (PathPart part = 0; part < PATH_PART_COUNT; part++) {
        sum_mm += path_part_bands[part] == band ? path_part_mm(path, part) : 0;
    }
    return sum_mm;
}

// A sheet that lies tight on what is below it, part by part.
typedef struct Skin {
    Ring part[PATH_PART_COUNT];
    int outermost; // index of the round part's point that is farthest out
} Skin;

typedef struct Chain {
    Point *points;
    int count;
} Chain;

static Chain chain_in(Arena *keep)
{
    return (Chain){ARENA_ARRAY(keep, Point, CHAIN_POINTS_MAX), 0};
}

static Ring chain_ring(Chain chain)
{
    return (Ring){chain.points, chain.count};
}

static void add_point(Chain *chain, Point point)
{
    chain->points[chain->count++] = point;
}

// How far an arc may turn in one chord.
static double chord_rad(double radius_mm)
{
    return radius_mm > ARC_CHORD_MM ? 2 * acos(1 - ARC_CHORD_MM / radius_mm) : PI / 2;
}

// Angles from upright, turning outward and down.
typedef struct Arc {
    Point centre;
    double radius_mm;
    double step_rad;
} Arc;

static void add_arc(Chain *chain, Arc arc, double from_rad, double to_rad)
{
    const double wanted = ceil(fmax(to_rad - from_rad, 0) / arc.step_rad);
    const int chords = (int)fmin(fmax(wanted, 1), ARC_CHORDS_MAX);
    for (int i = 0; i <= chords; i++) {
        const double angle_rad = from_rad + (to_rad - from_rad) * i / chords;
        add_point(chain, point_plus(arc.centre, (Point){arc.radius_mm * sin(angle_rad),
                                                        arc.radius_mm * cos(angle_rad)}));
    }
}

static Ring dome_chain(DomeProfile profile, double crown_mm, Point end, Arena *keep)
{
    Chain chain = chain_in(keep);
    const int chords = crown_mm > 0 ? DOME_CHORDS : 1;
    for (int i = 0; i <= chords; i++) {
        const double share = (double)i / chords;
        const double height_mm = dome_height_mm(profile, end.x, crown_mm, share);
        add_point(&chain, (Point){end.x * share, end.y + height_mm});
    }
    return chain_ring(chain);
}

static Ring straight_chain(Point from, Point to, Arena *keep)
{
    Chain chain = chain_in(keep);
    add_point(&chain, from);
    add_point(&chain, to);
    return chain_ring(chain);
}

static Point first_of(Ring chain)
{
    return chain.points[0];
}

static Point last_of(Ring chain)
{
    return chain.points[chain.count - 1];
}

static Ring bottom_chain(const Section *section, const SectionEdge *edge, double frame_mm,
                         Arena *keep)
{
    Chain chain = chain_in(keep);
    const double corner_mm = section->lower_mm; // of the shaped edge, along both faces
    const bool bevelled = section->bevel_mm > 0;
    const Point inner = {frame_mm - corner_mm, bevelled ? 0 : corner_mm};
    const double step_rad = chord_rad(section->bottom_mm);
    const Arc last = {inner, section->bottom_mm, step_rad};
    double from_rad = PI / 2 + edge->lean_rad;
    if (bevelled && !edge->over_bevel) {
        const Arc first = {{frame_mm, corner_mm}, section->bottom_mm, step_rad};
        add_arc(&chain, first, from_rad, 3 * PI / 4);
        from_rad = 3 * PI / 4;
    }
    add_arc(&chain, last, from_rad, PI);
    return chain_ring(chain);
}

// What a section of one side is drawn by.
typedef struct Place {
    const LeatherPath *path;
    double frame_mm;   // where the frame's edge stands
    double leather_mm; // radius of the leather round the padding's edge
    double step_rad;   // of all arcs round the padding's edge: sheets that taper out there then
                       // lie beside each other, chord for chord
    Arena *keep;
} Place;

static Skin skin_of(const Place *place, const Section *section)
{
    const LeatherPath *path = place->path;
    const BuildUp *build_up = section->build_up;
    Arena *keep = place->keep;
    const SectionEdge edge = section_edge(section, path->padding_edge_mm);
    const double edge_mm = build_up->frame_thickness_mm + path->padding_edge_mm;
    const Point upper = {place->frame_mm + section->dome_growth_mm,
                         edge_mm - build_up->edge_radius_mm};
    Chain round = chain_in(keep);
    const Arc arc = {upper, section->rounding_mm, place->step_rad};
    add_arc(&round, arc, path->slope_rad, PI / 2);
    const int outermost = round.count - 1;
    if (edge.lean_rad > 0) {
        round.count--; // once is enough
        add_arc(&round, arc, PI / 2, PI / 2 + edge.lean_rad);
    }
    // So much lower than the leather in the middle as round the edge.
    const double below_mm = place->leather_mm - section->rounding_mm;
    const double crown_mm = fmax(0, build_up->crown_mm - below_mm * (1 - cos(path->slope_rad)));
    const Ring bottom = bottom_chain(section, &edge, place->frame_mm, keep);
    const Point under = last_of(bottom);
    const Point tack = {under.x - path->under_mm, under.y};
    const Point held = {tack.x - path->hold_mm, tack.y};
    return (Skin){
        .outermost = outermost,
        .part = {
            [PART_DOME] = dome_chain(build_up->profile, crown_mm, round.points[0], keep),
            [PART_ROUND] = chain_ring(round),
            [PART_SIDE] = straight_chain(last_of(chain_ring(round)), first_of(bottom), keep),
            [PART_BOTTOM] = bottom,
            [PART_UNDER] = straight_chain(under, tack, keep),
            [PART_HOLD] = straight_chain(tack, held, keep),
            [PART_GRIP] = straight_chain(held, (Point){held.x - path->grip_mm, held.y}, keep),
        }};
}

// The parts up to one of them, from the middle out. What ends with the round part ends where
// that is outermost: there it meets what it lies on, and their last chords are one.
static Ring joined(const Skin *skin, PathPart last, Arena *keep)
{
    Point *points = ARENA_ARRAY(keep, Point, PATH_PART_COUNT * CHAIN_POINTS_MAX);
    int count = 0;
    for (PathPart part = 0; part <= last; part++) {
        const Ring chain = skin->part[part];
        const bool ends = last == PART_ROUND && part == last;
        for (int i = part == 0 ? 0 : 1; i < (ends ? skin->outermost : chain.count); i++) {
            points[count++] = chain.points[i];
        }
    }
    return (Ring){points, count};
}

// What lies between two skins: back along the upper one.
static Ring between(const Skin *below, const Skin *above, PathPart last, Arena *keep)
{
    const Ring out = joined(below, last, keep);
    const Ring back = ring_reversed(joined(above, last, keep), keep);
    Point *points = ARENA_ARRAY(keep, Point, out.count + back.count);
    memcpy(points, out.points, sizeof *points * (size_t)out.count);
    memcpy(points + out.count, back.points, sizeof *points * (size_t)back.count);
    return ring_tidied((Ring){points, out.count + back.count}, REPEATED_MM, keep);
}

// What lies on the wood under the lowest skin, down to the wood's upper face.
static Ring padding_ring(const Skin *skin, double floor_mm, Arena *keep)
{
    const Ring line = joined(skin, PART_SIDE, keep);
    if (first_of(line).y <= floor_mm) {
        return (Ring){NULL, 0};
    }
    Point *points = ARENA_ARRAY(keep, Point, line.count + 2);
    int count = 0;
    while (count < line.count && line.points[count].y > floor_mm) {
        points[count] = line.points[count];
        count++;
    }
    if (count < line.count) {
        const Point a = line.points[count - 1];
        const Point b = line.points[count];
        points[count++] = point_between(a, b, (a.y - floor_mm) / (a.y - b.y));
    }
    points[count++] = (Point){0, floor_mm};
    return ring_tidied(ring_counter_clockwise((Ring){points, count}, keep), REPEATED_MM, keep);
}

static Ring board_ring(const Section *section, double frame_mm, Arena *keep)
{
    const BuildUp *build_up = section->build_up;
    const double lower_mm = section->lower_mm;
    Chain chain = chain_in(keep);
    add_point(&chain, (Point){0, build_up->frame_thickness_mm});
    add_point(&chain, (Point){frame_mm, build_up->frame_thickness_mm});
    if (build_up->bottom_edge == BOTTOM_ROUNDED) {
        const Arc arc = {{frame_mm - lower_mm, lower_mm}, lower_mm, chord_rad(lower_mm)};
        add_arc(&chain, arc, PI / 2, PI);
    } else {
        add_point(&chain, (Point){frame_mm, lower_mm});
        add_point(&chain, (Point){frame_mm - lower_mm, 0});
    }
    add_point(&chain, (Point){0, 0});
    return ring_tidied(ring_counter_clockwise(chain_ring(chain), keep), REPEATED_MM, keep);
}

static PathPart layer_end(const Layer *layer)
{
    return layer->goes_under ? PART_UNDER : layer->on_sides ? PART_SIDE : PART_ROUND;
}

CrossSection cover_cross_section(const Cover *cover, Side side, Arena *keep)
{
    const CoverRecipe *recipe = &cover->recipe;
    const BuildUp *build_up = recipe->build_up;
    const LeatherPath *path = &cover->path[side];
    const int count = build_up->layer_count;
    const Section whole = section_of(build_up, count, recipe->leather->thickness_mm);
    const Place place = {
        .path = path,
        .frame_mm = path->run_mm - whole.dome_growth_mm - whole.rounding_mm * sin(path->slope_rad),
        .leather_mm = whole.rounding_mm,
        .step_rad = chord_rad(whole.rounding_mm),
        .keep = keep,
    };
    CrossSection drawn = {.board = board_ring(&whole, place.frame_mm, keep)};
    const Section bare = section_of(build_up, 0, 0);
    Skin below = skin_of(&place, &bare);
    drawn.padding = padding_ring(&below, build_up->frame_thickness_mm, keep);
    for (int i = 0; i < count; i++) {
        const Section section = section_of(build_up, i + 1, 0);
        const Skin above = skin_of(&place, &section);
        drawn.layers[i] = between(&below, &above, layer_end(&build_up->layers[i]), keep);
        below = above;
    }
    const Skin leather = skin_of(&place, &whole);
    for (PathPart part = 0; part < PATH_PART_COUNT; part++) {
        drawn.leather[part] = leather.part[part];
    }
    return drawn;
}
