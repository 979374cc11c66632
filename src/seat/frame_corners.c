// Frames with corners: sides that may bow, and corners rounded to touch both.
#include "base/units.h"
#include "seat/frame_parts.h"

#include "plane/curve.h"

enum { CURVE_POINTS_MAX = 400, OUTLINE_POINTS_MAX = 16 * CURVE_POINTS_MAX };

// A bow deeper than this share of its side is no longer a side.
static const double BOW_SHARE_MAX = 0.25;

// A side as a curve over shares 0 to 1: a straight line or part of a circle.
typedef struct Curve {
    Point from;
    Point to;
    double hand; // +1: stands out, -1: hollow, 0: straight
    Point centre;
    double radius_mm;
    double angle_rad; // seen from the centre
} Curve;

// A corner's rounding: where it touches the side before and the side behind.
typedef struct Rounding {
    double radius_mm; // 0: none
    Point centre;
    double share_before; // on the side before, where the rounding begins
    double share_behind; // on the side behind, where it ends
} Rounding;

FrameCorners frame_corners_of(const Frame *frame, const Point corner[CORNER_COUNT])
{
    FrameCorners corners = {0};
    for (int i = 0; i < SIDE_COUNT; i++) {
        corners.meeting[i] = corner[i];
        corners.side[i] = (FrameSide){.from = corner[i],
                                      .to = corner[(i + 1) % CORNER_COUNT],
                                      .sagitta_mm = frame->bow_mm.at[i]};
    }
    return corners;
}

static Curve curve_of(FrameSide side)
{
    Curve curve = {.from = side.from, .to = side.to};
    const double half_mm = point_distance(side.from, side.to) / 2;
    const double rise_mm = fabs(side.sagitta_mm);
    // A rise too small to see would put the centre too far off to reckon with.
    if (half_mm == 0 || rise_mm < 1e-6 * half_mm) {
        return curve;
    }
    curve.hand = side.sagitta_mm > 0 ? 1 : -1;
    curve.radius_mm = (half_mm * half_mm + rise_mm * rise_mm) / (2 * rise_mm);
    curve.angle_rad = 4 * atan2(rise_mm, half_mm);
    const Point outward = point_right(point_unit(point_minus(side.to, side.from)));
    curve.centre = point_plus(point_between(side.from, side.to, 0.5),
                              point_times(outward, curve.hand * (rise_mm - curve.radius_mm)));
    return curve;
}

static Point curve_point(Curve curve, double share)
{
    if (curve.hand == 0) {
        return point_between(curve.from, curve.to, share);
    }
    const Motion turn = {curve.centre.x, curve.centre.y, curve.hand * curve.angle_rad * share};
    return motion_apply(motion_matrix(turn), point_minus(curve.from, curve.centre));
}

static Point curve_inward(Curve curve, double share)
{
    if (curve.hand == 0) {
        return point_times(point_right(point_unit(point_minus(curve.to, curve.from))), -1);
    }
    const Point spoke = point_minus(curve.centre, curve_point(curve, share));
    return point_times(point_unit(spoke), curve.hand);
}

// Distance from the curve (run on beyond its ends), positive on the inner side.
static double curve_depth(Curve curve, Point p)
{
    if (curve.hand == 0) {
        return point_dot(point_minus(p, curve.from), curve_inward(curve, 0));
    }
    return curve.hand * (curve.radius_mm - point_distance(p, curve.centre));
}

// Share of the place on the curve that is nearest to a point.
static double curve_share(Curve curve, Point p)
{
    if (curve.hand == 0) {
        const Point along = point_minus(curve.to, curve.from);
        return point_dot(point_minus(p, curve.from), along) / point_dot(along, along);
    }
    const Point from = point_minus(curve.from, curve.centre);
    const Point to = point_minus(p, curve.centre);
    const double angle_rad = atan2(point_cross(from, to), point_dot(from, to));
    return curve.hand * angle_rad / curve.angle_rad;
}

// Finds the circle that touches both sides, rolling it along the side before, away
// from the corner, until it clears the side behind. False when it does not fit.
static bool find_rounding(Curve before, Curve behind, double radius_mm, Rounding *rounding)
{
    if (point_distance(before.from, before.to) == 0 ||
        point_distance(behind.from, behind.to) == 0) {
        return false;
    }
    double clear = 0; // share on the side before
    double stuck = 1; // at the corner it stands out over the side behind
    for (int i = 0; i < 60; i++) {
        const double share = i == 0 ? 0 : (clear + stuck) / 2;
        const Point centre = point_plus(curve_point(before, share),
                                        point_times(curve_inward(before, share), radius_mm));
        const bool clears = curve_depth(behind, centre) >= radius_mm * (1 - 1e-12);
        if (i == 0 && !clears) {
            return false;
        }
        *(clears ? &clear : &stuck) = share;
    }
    rounding->radius_mm = radius_mm;
    rounding->centre =
        point_plus(curve_point(before, clear), point_times(curve_inward(before, clear), radius_mm));
    rounding->share_before = clear;
    rounding->share_behind = curve_share(behind, rounding->centre);
    return rounding->share_behind > 0 && rounding->share_behind <= 1 + 1e-9;
}

static double greatest_radius_mm(Curve before, Curve behind)
{
    double fits = 0;
    double too_large = point_distance(before.from, before.to) * 10;
    for (int i = 0; i < 50; i++) {
        const double radius_mm = (fits + too_large) / 2;
        Rounding unused;
        *(find_rounding(before, behind, radius_mm, &unused) ? &fits : &too_large) = radius_mm;
    }
    return fits;
}

static bool bows_fit(const FrameCorners *corners, Say say)
{
    bool good = true;
    for (int i = 0; i < SIDE_COUNT; i++) {
        const FrameSide side = corners->side[i];
        const double length_mm = point_distance(side.from, side.to);
        const double most_mm = BOW_SHARE_MAX * length_mm;
        if (!(fabs(side.sagitta_mm) <= most_mm)) {
            good =
                say_mistake(say, SAY_TEXT(say, "bow.%s", side_names[i]),
                            SAY_TEXT(say, "%s is too much for a side %s long",
                                     say_length(say, side.sagitta_mm), say_length(say, length_mm)),
                            SAY_TEXT(say, "%s, in or out", say_at_most(say, most_mm)), NULL);
        }
    }
    return good;
}

static bool round_one(const Frame *frame, int i, const Curve *curve, Say say, Rounding *rounding)
{
    *rounding = (Rounding){0};
    const double radius_mm = frame->radius_mm[i];
    if (radius_mm == 0) {
        return true;
    }
    const char *field = SAY_TEXT(say, "corner_radius.%s", corner_fields[i]);
    if (!(radius_mm > 0) || !isfinite(radius_mm)) {
        return say_mistake(say, field, SAY_TEXT(say, "%g mm is no radius", radius_mm), "0 or more",
                           NULL);
    }
    const Curve before = curve[(i + 3) % SIDE_COUNT];
    if (find_rounding(before, curve[i], radius_mm, rounding)) {
        return true;
    }
    const double most_mm = greatest_radius_mm(before, curve[i]);
    if (most_mm < 0.1) {
        return say_mistake(
            say, field,
            SAY_TEXT(say, "the %s corner is flat or bends in: nothing to round", corner_names[i]),
            "0", NULL);
    }
    return say_mistake(
        say, field,
        SAY_TEXT(say, "%s is too large for the sides that meet there", say_length(say, radius_mm)),
        say_at_most(say, most_mm), NULL);
}

// Roundings at the two ends of a side must not overlap.
static bool roundings_clear(const Frame *frame, const Rounding *rounding, const Curve *curve,
                            Say say)
{
    bool good = true;
    for (int i = 0; i < SIDE_COUNT; i++) {
        const int next = (i + 1) % CORNER_COUNT;
        const double from = rounding[i].radius_mm > 0 ? rounding[i].share_behind : 0;
        const double to = rounding[next].radius_mm > 0 ? rounding[next].share_before : 1;
        if (from <= to + 1e-9) {
            continue;
        }
        const int larger = frame->radius_mm[next] > frame->radius_mm[i] ? next : i;
        const double length_mm = point_distance(curve[i].from, curve[i].to);
        good = say_mistake(say, SAY_TEXT(say, "corner_radius.%s", corner_fields[larger]),
                           SAY_TEXT(say, "the roundings at both ends of the %s take %s of its %s",
                                    side_names[i], say_length(say, length_mm * (from + 1 - to)),
                                    say_length(say, length_mm)),
                           "radii that leave room for each other", NULL);
    }
    return good;
}

typedef struct Chain {
    Point *points;
    int count;
} Chain;

static void add_arc(Chain *chain, Point from, Point to, double sagitta_mm)
{
    chain->count += curve_arc(from, to, sagitta_mm, FRAME_TOLERANCE_MM,
                              chain->points + chain->count, CURVE_POINTS_MAX);
}

static void add_rounding(Chain *chain, Rounding rounding, Curve before, Curve behind)
{
    const Point from = curve_point(before, rounding.share_before);
    const Point to = curve_point(behind, rounding.share_behind);
    const Point in = curve_inward(before, rounding.share_before);
    const Point out = curve_inward(behind, rounding.share_behind);
    const double turn_rad = atan2(point_cross(in, out), point_dot(in, out));
    add_arc(chain, from, to, rounding.radius_mm * (1 - cos(turn_rad / 2)));
}

static void add_half_ellipse(Chain *chain, FrameSide side)
{
    const Point middle = point_between(side.from, side.to, 0.5);
    const Point across = point_minus(side.from, middle);
    const Point out =
        point_times(point_right(point_unit(point_minus(side.to, side.from))), side.ellipse_mm);
    const double greater_mm = fmax(point_length(across), side.ellipse_mm);
    const double step_rad = 2 * acos(1 - fmin(0.5, FRAME_TOLERANCE_MM / greater_mm));
    // An even number puts a point on the axis, so that the mirror image agrees.
    const int chords = (int)fmin(CURVE_POINTS_MAX, 2 * ceil(PI / step_rad / 2));
    for (int i = 0; i < chords; i++) {
        const MotionMatrix turn = motion_matrix((Motion){0, 0, PI * i / chords});
        chain->points[chain->count++] = point_plus(
            middle, point_plus(point_times(across, turn.cos), point_times(out, turn.sin)));
    }
}

static Ring assemble(const FrameCorners *corners, const Curve *curve, const Rounding *rounding,
                     Arena *scratch)
{
    Chain chain = {ARENA_ARRAY(scratch, Point, OUTLINE_POINTS_MAX), 0};
    for (int i = 0; i < SIDE_COUNT; i++) {
        const int next = (i + 1) % CORNER_COUNT;
        const bool begins_round = rounding[i].radius_mm > 0;
        if (begins_round) {
            add_rounding(&chain, rounding[i], curve[(i + 3) % SIDE_COUNT], curve[i]);
        }
        if (corners->side[i].ellipse_mm > 0) {
            add_half_ellipse(&chain, corners->side[i]);
            continue;
        }
        const double from = begins_round ? rounding[i].share_behind : 0;
        const double to = rounding[next].radius_mm > 0 ? rounding[next].share_before : 1;
        const double turn_rad = curve[i].angle_rad * (to - from);
        const double rise_mm = curve[i].radius_mm * (1 - cos(turn_rad / 2));
        add_arc(&chain, curve_point(curve[i], from), curve_point(curve[i], to),
                curve[i].hand * rise_mm);
    }
    // Where two roundings use up a side, its ends are one point.
    return ring_tidied((Ring){chain.points, chain.count}, 1e-6, scratch);
}

bool frame_corners_outline(const Frame *frame, FrameCorners corners, Say say, Arena *keep,
                           Arena *scratch, Ring *outline)
{
    if (!bows_fit(&corners, say)) {
        return false;
    }
    Curve curve[SIDE_COUNT];
    for (int i = 0; i < SIDE_COUNT; i++) {
        curve[i] = curve_of(corners.side[i]);
    }
    Rounding rounding[CORNER_COUNT];
    bool good = true;
    for (int i = 0; i < CORNER_COUNT; i++) {
        good &= round_one(frame, i, curve, say, &rounding[i]);
    }
    if (!good || !roundings_clear(frame, rounding, curve, say)) {
        return false;
    }
    const Ring whole = assemble(&corners, curve, rounding, scratch);
    Point crossing;
    if (!ring_is_simple(whole, &crossing)) {
        return say_mistake(say, "bow",
                           SAY_TEXT(say, "two sides cross near x %s, y %s",
                                    say_length(say, crossing.x), say_length(say, crossing.y)),
                           "bows that leave wood between the sides", NULL);
    }
    Ring cut;
    if (!frame_cut_notches(frame, &corners, say, whole, scratch, &cut)) {
        return false;
    }
    *outline = ring_counter_clockwise(cut, keep);
    return true;
}
