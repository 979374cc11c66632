#include "seat/cover.h"

#include "plane/polygon.h"
#include "seat/bands.h"
#include "seat/path.h"
#include "seat/say.h"
#include "seat/symmetry.h"

#include <assert.h>

const char *const band_names[BAND_COUNT] = {"face", "edge", "turn", "grip"};
const char *const cut_style_names[CUT_STYLE_COUNT] = {
    [CUT_FOLLOWING] = "following", [CUT_STRAIGHT] = "straight"};

const FlatRule flat_rules[FLAT_RULE_COUNT] = {
    {"4 in all round", 101.6, "common practice"},
    {"3 in all round", 76.2,
     "trade guidance: slip-seat article by W. Sandry; Woodworker's Journal 32(6), 2008, p. 63"},
};

static const double TIDY_MM = 0.01;
static const double REPEATED_MM = 1e-9;
static const double STRAIGHT_WASTE = 0.03;
// On a crowned seat straight edges become slightly curved; their chords stay within
// 0.02 mm at this step.
static const double STEP_MM = 20;
static const int STEPS_MAX = 200;

static const Point straight_to[SIDE_COUNT] = {{0, -1}, {1, 0}, {0, 1}, {-1, 0}};

// All that the steps of making one cover share.
typedef struct Making {
    Section section;
    const LeatherSheet *leather;
    Say say;
    Arena *keep;
    Arena *scratch;
    Cover cover; // so far
} Making;

// Where a ray leaves a ring for the last time.
typedef struct Exit {
    double distance_mm; // 0 when it meets no edge
    Point outward;      // of the edge
    double support_mm;  // distance of the edge's line from the ray's start
} Exit;

static Exit ray_exit(Ring ring, Point from, Point direction)
{
    Exit exit = {0};
    for (int i = 0; i < ring.count; i++) {
        const Point a = point_minus(ring.points[i], from);
        const Point b = point_minus(ring_point(ring, i + 1), from);
        const double a_side = point_cross(direction, a);
        const double b_side = point_cross(direction, b);
        if ((a_side > 0) == (b_side > 0)) {
            continue;
        }
        const Point hit = point_between(a, b, a_side / (a_side - b_side));
        const double distance_mm = point_dot(hit, direction);
        if (distance_mm > exit.distance_mm) {
            const Point outward = point_right(point_unit(point_minus(b, a)));
            exit = (Exit){distance_mm, outward, point_dot(hit, outward)};
        }
    }
    return exit;
}

static bool padding_fits(const Making *making)
{
    const BuildUp *build_up = making->section.build_up;
    const Say say = making->say;
    bool good = true;
    int lowest = 0;
    for (int i = 1; i < SIDE_COUNT; i++) {
        lowest =
            build_up->padding_edge_mm.at[i] < build_up->padding_edge_mm.at[lowest] ? i : lowest;
    }
    const double height_mm = build_up->padding_edge_mm.at[lowest];
    if (build_up->edge_radius_mm > height_mm) {
        good = say_mistake(say, "padding.edge_radius",
                           SAY_TEXT(say, "%s is more than the padding is high at the %s, %s",
                                    say_length(say, build_up->edge_radius_mm), side_names[lowest],
                                    say_length(say, height_mm)),
                           say_at_most(say, height_mm), NULL);
    }
    if (making->section.lower_mm > build_up->frame_thickness_mm) {
        good = say_mistake(say, "board.bottom_size",
                           SAY_TEXT(say, "%s is more than the board is thick",
                                    say_length(say, build_up->bottom_mm)),
                           say_at_most(say, build_up->frame_thickness_mm), NULL);
    }
    if (good && !section_edge(&making->section, height_mm).closes) {
        good = say_mistake(say, "padding.overhang",
                           SAY_TEXT(say,
                                    "%s is so much over so low an edge that the padding "
                                    "would hang below the frame at the %s",
                                    say_length(say, build_up->overhang_mm), side_names[lowest]),
                           "a smaller overhang or edge radius, or a higher edge", NULL);
    }
    return good;
}

static bool tack_line_fits(const Making *making)
{
    const Fixing *fixing = making->cover.recipe.fixing;
    const Say say = making->say;
    bool good = true;
    for (int i = 0; i < SIDE_COUNT; i++) {
        const double inset_mm = fixing->tack_inset_mm.at[i];
        const char *field = SAY_TEXT(say, "fixing.tack_inset.%s", side_names[i]);
        if (inset_mm < making->section.lower_mm) {
            good = say_mistake(say, field,
                               SAY_TEXT(say, "%s lies on the shaped lower edge of the frame",
                                        say_length(say, inset_mm)),
                               say_at_least(say, making->section.lower_mm), NULL);
        }
        const Exit exit = ray_exit(making->cover.frame, making->cover.middle, straight_to[i]);
        if (inset_mm >= exit.distance_mm) {
            good = say_mistake(
                say, field,
                SAY_TEXT(say, "%s reaches past the middle of the frame", say_length(say, inset_mm)),
                SAY_TEXT(say, "less than %s", say_length(say, exit.distance_mm)), NULL);
        }
    }
    return good;
}

// Distance of an edge's line from the middle, and its outward normal.
static double edge_support_mm(Ring ring, int i, Point middle, Point *outward)
{
    const Point along = point_minus(ring_point(ring, i + 1), ring.points[i]);
    *outward = point_right(point_unit(along));
    return point_dot(point_minus(ring.points[i], middle), *outward);
}

static bool too_intricate(const Making *making)
{
    return say_mistake(making->say, "frame", "this outline could not be laid flat", NULL,
                       "trace or measure it again with fewer points");
}

// The plan outline where the dome ends and the rounding of the edge begins.
static bool dome_outline(const Making *making, Ring *outline)
{
    Arena *scratch = making->scratch;
    const Point middle = making->cover.middle;
    PolygonSet grown;
    if (!polygon_grow(polygon_set_of_ring(making->cover.frame, scratch),
                      making->section.dome_growth_mm, POLYGON_MITRE, scratch, &grown)) {
        return too_intricate(making);
    }
    const Ring flat_end = ring_tidied(polygon_set_largest_ring(grown), TIDY_MM, scratch);
    if (grown.count != 1 || !ring_contains(flat_end, middle)) {
        return say_mistake(making->say, "padding.edge_radius",
                           "the rounded edge leaves no face in one piece round the middle of the "
                           "frame",
                           "a smaller radius, or a frame whose middle lies on the wood", NULL);
    }
    if (making->section.build_up->crown_mm == 0) {
        *outline = flat_end;
        return true;
    }
    double *reach_mm = ARENA_ARRAY(scratch, double, flat_end.count);
    for (int i = 0; i < flat_end.count; i++) {
        Point outward;
        const double support_mm = edge_support_mm(flat_end, i, middle, &outward);
        reach_mm[i] = section_dome_reach_mm(&making->section, support_mm);
    }
    Ring wide;
    if (!ring_widened(flat_end, reach_mm, scratch, making->keep, &wide)) {
        return too_intricate(making);
    }
    const Ring tidy = ring_tidied(wide, TIDY_MM, scratch);
    const double step_mm = fmax(STEP_MM, ring_length_mm(tidy) / STEPS_MAX);
    *outline = ring_refined(tidy, step_mm, scratch);
    return true;
}

// Half of a circle's dome is as high as it is wide, and no dome of a circle higher.
static bool crown_fits(const Making *making, Ring outline)
{
    const BuildUp *build_up = making->section.build_up;
    const double least_mm = ring_distance_mm(outline, making->cover.middle);
    if (build_up->profile != DOME_CIRCLE || build_up->crown_mm <= least_mm) {
        return true;
    }
    return say_mistake(making->say, "padding.crown",
                       SAY_TEXT(making->say, "%s is more than half a circle over this seat",
                                say_length(making->say, build_up->crown_mm)),
                       say_at_most(making->say, least_mm), "choose another profile");
}

// The dome laid flat: each point keeps its direction from the middle and takes the
// distance over the dome.
static Ring laid_flat(const Making *making, Ring outline)
{
    const BuildUp *build_up = making->section.build_up;
    const Point middle = making->cover.middle;
    Point *points = ARENA_ARRAY(making->scratch, Point, outline.count);
    for (int i = 0; i < outline.count; i++) {
        const Point p = point_minus(outline.points[i], middle);
        const double run_mm = point_length(p);
        const double dome_mm = dome_arc_mm(build_up->profile, run_mm, build_up->crown_mm);
        points[i] = point_plus(middle, point_times(p, dome_mm / run_mm));
    }
    return (Ring){points, outline.count};
}

// Grows the face by the widths, and joins the next outline further in to the result,
// so that tidying has not made it cross that.
static bool grow_from_face(const Making *making, Ring face, const double *widths_mm, Ring inner,
                           Ring *outline)
{
    Arena *scratch = making->scratch;
    Ring wide;
    if (!ring_widened(face, widths_mm, scratch, making->keep, &wide)) {
        return too_intricate(making);
    }
    const Ring tidy = ring_tidied(wide, TIDY_MM, scratch);
    PolygonSet joined;
    if (!polygon_overlay(POLYGON_UNION, polygon_set_of_ring(tidy, scratch),
                         polygon_set_of_ring(inner, scratch), scratch, &joined)) {
        return too_intricate(making);
    }
    // Where the two lie on each other, joining leaves points that are all but the same.
    *outline = ring_tidied(polygon_set_largest_ring(joined), REPEATED_MM, scratch);
    return true;
}

// The outlines from the face out, each a step farther along the leather's way.
static bool make_outlines(Making *making, Ring outline, Ring face)
{
    Cover *cover = &making->cover;
    const Fixing *fixing = cover->recipe.fixing;
    LeatherPath *path = ARENA_ARRAY(making->scratch, LeatherPath, face.count);
    double *widths_mm = ARENA_ARRAY(making->scratch, double, face.count);
    for (int i = 0; i < face.count; i++) {
        Point outward;
        const double support_mm = edge_support_mm(outline, i, cover->middle, &outward);
        path[i] = section_path(&making->section, fixing, outward, support_mm);
    }
    cover->within[BAND_FACE] = face;
    for (int i = 0; i < face.count; i++) {
        widths_mm[i] = path[i].round_mm + path[i].side_mm;
    }
    if (!grow_from_face(making, face, widths_mm, face, &cover->within[BAND_EDGE])) {
        return false;
    }
    for (int i = 0; i < face.count; i++) {
        widths_mm[i] += path[i].bottom_mm + path[i].under_mm;
    }
    if (!grow_from_face(making, face, widths_mm, cover->within[BAND_EDGE], &cover->tack_line)) {
        return false;
    }
    for (int i = 0; i < face.count; i++) {
        widths_mm[i] += path[i].hold_mm;
    }
    if (!grow_from_face(making, face, widths_mm, cover->tack_line, &cover->within[BAND_TURN])) {
        return false;
    }
    for (int i = 0; i < face.count; i++) {
        widths_mm[i] += path[i].grip_mm;
    }
    return grow_from_face(making, face, widths_mm, cover->within[BAND_TURN],
                          &cover->within[BAND_GRIP]);
}

// Copies a ring into `keep`, smaller about the middle by what the hands will stretch.
static Ring kept(const Making *making, Ring ring)
{
    const LeatherSheet *leather = making->leather;
    const Point middle = making->cover.middle;
    const double across = leather->use_stretch ? 1 / (1 + leather->stretch_across) : 1;
    const double along = leather->use_stretch ? 1 / (1 + leather->stretch_along) : 1;
    Point *points = ARENA_ARRAY(making->keep, Point, ring.count);
    for (int i = 0; i < ring.count; i++) {
        const Point p = point_minus(ring.points[i], middle);
        points[i] = point_plus(middle, (Point){p.x * across, p.y * along});
    }
    return (Ring){points, ring.count};
}

static void keep_outlines(Making *making, CutStyle style)
{
    Cover *cover = &making->cover;
    for (int i = 0; i < BAND_COUNT; i++) {
        cover->within[i] = kept(making, cover->within[i]);
    }
    cover->tack_line = kept(making, cover->tack_line);
    const Ring whole = cover->within[BAND_GRIP];
    cover->cut = style == CUT_STRAIGHT
                     ? cover_straight_cuts(whole, STRAIGHT_WASTE, making->keep, making->scratch)
                     : whole;
    const Box box = ring_box(cover->tack_line);
    if (!making->leather->use_stretch) {
        cover->stretch_along_mm = making->leather->stretch_along * (box.max.y - box.min.y);
        cover->stretch_across_mm = making->leather->stretch_across * (box.max.x - box.min.x);
    }
    cover->net_area_mm2 = ring_area_mm2(cover->within[BAND_TURN]);
    cover->gross_area_mm2 = ring_area_mm2(cover->cut);
}

// The way at the middle of each side.
static void follow_paths(Making *making, Ring outline)
{
    const BuildUp *build_up = making->section.build_up;
    Cover *cover = &making->cover;
    const Fixing *fixing = cover->recipe.fixing;
    for (int i = 0; i < SIDE_COUNT; i++) {
        const Point direction = straight_to[i];
        const Exit dome = ray_exit(outline, cover->middle, direction);
        LeatherPath path = section_path(&making->section, fixing, dome.outward, dome.support_mm);
        path.run_mm = dome.distance_mm;
        path.dome_mm = dome_arc_mm(build_up->profile, dome.distance_mm, build_up->crown_mm);
        path.beyond_frame_mm =
            ray_exit(cover->within[BAND_GRIP], cover->middle, direction).distance_mm -
            ray_exit(cover->frame, cover->middle, direction).distance_mm;
        cover->path[i] = path;
    }
}

static void find_symmetry(Cover *cover)
{
    const Ring rings[] = {cover->frame,     cover->within[BAND_FACE], cover->within[BAND_EDGE],
                          cover->tack_line, cover->within[BAND_TURN], cover->within[BAND_GRIP],
                          cover->cut};
    bool mirror = true;
    bool half_turn = true;
    bool round = true;
    for (size_t i = 0; i < sizeof rings / sizeof rings[0]; i++) {
        mirror = mirror && ring_looks_mirrored(rings[i], ALIKE_MM);
        half_turn = half_turn && ring_looks_half_turned(rings[i], cover->middle, ALIKE_MM);
        round = round && ring_looks_round(rings[i], cover->middle, ALIKE_MM);
    }
    cover->mirror = mirror;
    cover->turn_symmetry = round ? 0 : half_turn ? 2 : 1;
}

static bool make(Making *making, CutStyle style)
{
    if (!padding_fits(making) || !tack_line_fits(making)) {
        return false;
    }
    Ring outline = {NULL, 0};
    if (!dome_outline(making, &outline) || !crown_fits(making, outline)) {
        return false;
    }
    assert(outline.count >= 3); // it has the middle inside
    const Ring face = laid_flat(making, outline);
    if (!make_outlines(making, outline, face)) {
        return false;
    }
    keep_outlines(making, style);
    follow_paths(making, outline);
    find_symmetry(&making->cover);
    return true;
}

bool cover_make(Ring frame, const CoverRecipe *recipe, const char *where, Arena *keep,
                Arena *scratch, Cover *cover, Problems *problems)
{
    assert(recipe->build_up->layer_count >= 0 && recipe->build_up->layer_count <= LAYERS_MAX);
    const ArenaMark mark = arena_mark(scratch);
    Making making = {.section = section_of(recipe->build_up, recipe->build_up->layer_count,
                                           recipe->leather->thickness_mm),
                     .leather = recipe->leather,
                     .say = {problems, where},
                     .keep = keep,
                     .scratch = scratch,
                     .cover = {.frame = ring_moved(frame, (Motion){0}, keep),
                               .recipe = *recipe,
                               .middle = ring_centroid(frame)}};
    const bool made = make(&making, recipe->cut);
    if (made) {
        *cover = making.cover;
    }
    arena_rewind(scratch, mark);
    return made;
}

Sides cover_against_rule(const Cover *cover, double rule_mm)
{
    Sides over = {{0}};
    for (int i = 0; i < SIDE_COUNT; i++) {
        over.at[i] = rule_mm - cover->path[i].beyond_frame_mm;
    }
    return over;
}
