#include "seat/frame_parts.h"

#include "plane/curve.h"

#include <assert.h>

const char *const side_names[SIDE_COUNT] = {"front", "right", "back", "left"};
const char *const corner_names[CORNER_COUNT] = {"front left", "front right", "back right",
                                                "back left"};
const char *const corner_fields[CORNER_COUNT] = {"front_left", "front_right", "back_right",
                                                 "back_left"};
const char *const frame_shape_names[FRAME_SHAPE_COUNT] = {
    [FRAME_RECTANGLE] = "rectangle", [FRAME_TAPER] = "taper", [FRAME_D] = "D",
    [FRAME_ROUND] = "round",         [FRAME_OVAL] = "oval",   [FRAME_MEASURED] = "measured",
    [FRAME_TRACED] = "traced"};

// ring_is_simple() is quadratic.
enum { TRACED_POINTS_MAX = 5000 };

Side side_of_normal(Point outward)
{
    if (fabs(outward.y) >= fabs(outward.x)) {
        return outward.y > 0 ? SIDE_BACK : SIDE_FRONT;
    }
    return outward.x > 0 ? SIDE_RIGHT : SIDE_LEFT;
}

// True when a measure can be a length; else it is a mistake.
static bool is_length(Say say, const char *field, double mm)
{
    if (isfinite(mm) && mm > 0) {
        return true;
    }
    return say_mistake(say, field, SAY_TEXT(say, "%g mm is no length", mm), "more than 0", NULL);
}

static bool rectangle(const Frame *frame, Say say, Arena *keep, Arena *scratch, Ring *outline)
{
    const bool tapers = frame->shape == FRAME_TAPER;
    bool good = is_length(say, "front", frame->front_mm);
    good &= is_length(say, "depth", frame->depth_mm);
    good &= !tapers || is_length(say, "back", frame->back_mm);
    if (!good) {
        return false;
    }
    const double front = frame->front_mm / 2;
    const double back = tapers ? frame->back_mm / 2 : front;
    const double depth = frame->depth_mm;
    const Point corner[CORNER_COUNT] = {{-front, 0}, {front, 0}, {back, depth}, {-back, depth}};
    return frame_corners_outline(frame, frame_corners_of(frame, corner), say, keep, scratch,
                                 outline);
}

static bool measured(const Frame *frame, Say say, Arena *keep, Arena *scratch, Ring *outline)
{
    const struct {
        const char *field;
        double mm;
    } measures[] = {{"front", frame->front_mm},
                    {"right", frame->right_mm},
                    {"back", frame->back_mm},
                    {"left", frame->left_mm},
                    {"diagonal_left", frame->diagonal_left_mm},
                    {"diagonal_right", frame->diagonal_right_mm}};
    bool good = true;
    for (int i = 0; i < 6; i++) {
        good &= is_length(say, measures[i].field, measures[i].mm);
    }
    Point corner[CORNER_COUNT];
    return good && frame_measured_corners(frame, say, corner) &&
           frame_corners_outline(frame, frame_corners_of(frame, corner), say, keep, scratch,
                                 outline);
}

static bool d_shape(const Frame *frame, Say say, Arena *keep, Arena *scratch, Ring *outline)
{
    bool good = is_length(say, "front", frame->front_mm);
    good &= is_length(say, "depth", frame->depth_mm);
    good &= frame->curve_mm == 0 || is_length(say, "curve", frame->curve_mm);
    if (!good) {
        return false;
    }
    const double half = frame->front_mm / 2;
    const double depth = frame->depth_mm;
    const double curve = frame->curve_mm > 0 ? frame->curve_mm : half;
    if (curve > depth) {
        const char *how = frame->curve_mm > 0 ? "" : ", half the front,";
        return say_mistake(say, "curve",
                           SAY_TEXT(say, "the round part%s is %s deep, more than the whole seat",
                                    how, say_length(say, curve)),
                           say_at_most(say, depth), NULL);
    }
    Frame plain = *frame;
    plain.bow_mm = (Sides){{0}};
    const double straight = depth - curve;
    const Point corner[CORNER_COUNT] = {{-half, 0}, {half, 0}, {half, straight}, {-half, straight}};
    FrameCorners corners = frame_corners_of(&plain, corner);
    corners.side[SIDE_BACK].ellipse_mm = curve;
    corners.meeting[CORNER_BACK_RIGHT].y = depth;
    corners.meeting[CORNER_BACK_LEFT].y = depth;
    for (int i = CORNER_BACK_RIGHT; i <= CORNER_BACK_LEFT; i++) {
        if (frame->radius_mm[i] > 0) {
            return say_mistake(say, SAY_TEXT(say, "corner_radius.%s", corner_fields[i]),
                               "a D has no corners at the back", "0", NULL);
        }
    }
    return frame_corners_outline(&plain, corners, say, keep, scratch, outline);
}

static bool ellipse(const Frame *frame, Say say, Arena *keep, Ring *outline)
{
    const bool round = frame->shape == FRAME_ROUND;
    bool good = is_length(say, round ? "diameter" : "width", frame->front_mm);
    good &= round || is_length(say, "depth", frame->depth_mm);
    if (!good) {
        return false;
    }
    const double half_depth = (round ? frame->front_mm : frame->depth_mm) / 2;
    *outline = curve_ellipse((Point){0, half_depth}, frame->front_mm / 2, half_depth,
                             FRAME_TOLERANCE_MM, keep);
    return true;
}

static bool traced(const Frame *frame, Say say, Arena *keep, Arena *scratch, Ring *outline)
{
    const Ring given = frame->traced;
    if (given.count < 3 || given.count > TRACED_POINTS_MAX) {
        return say_mistake(say, "outline", SAY_TEXT(say, "%d points", given.count),
                           SAY_TEXT(say, "3 to %d points", TRACED_POINTS_MAX), NULL);
    }
    for (int i = 0; i < given.count; i++) {
        if (!isfinite(given.points[i].x) || !isfinite(given.points[i].y)) {
            return say_mistake(say, SAY_TEXT(say, "outline[%d]", i), "not a point", NULL, NULL);
        }
    }
    const Ring tidy = ring_tidied(given, FRAME_TOLERANCE_MM, scratch);
    Point crossing;
    if (tidy.count < 3) {
        return say_mistake(say, "outline", "all points lie on one line", NULL, "trace it again");
    }
    if (!ring_is_simple(tidy, &crossing)) {
        return say_mistake(say, "outline",
                           SAY_TEXT(say, "it crosses itself near x %s, y %s",
                                    say_length(say, crossing.x), say_length(say, crossing.y)),
                           "a line that meets itself only where it closes",
                           "put the points in order along the edge");
    }
    *outline = ring_counter_clockwise(tidy, keep);
    return true;
}

bool frame_outline(const Frame *frame, const char *where, Arena *keep, Arena *scratch,
                   Ring *outline, Problems *problems)
{
    const ArenaMark mark = arena_mark(scratch);
    const Say say = {problems, where};
    bool made = false;
    switch (frame->shape) {
    case FRAME_RECTANGLE:
    case FRAME_TAPER:
        made = rectangle(frame, say, keep, scratch, outline);
        break;
    case FRAME_D:
        made = d_shape(frame, say, keep, scratch, outline);
        break;
    case FRAME_ROUND:
    case FRAME_OVAL:
        made = ellipse(frame, say, keep, outline);
        break;
    case FRAME_MEASURED:
        made = measured(frame, say, keep, scratch, outline);
        break;
    case FRAME_TRACED:
        made = traced(frame, say, keep, scratch, outline);
        break;
    case FRAME_SHAPE_COUNT:
        assert(frame->shape < FRAME_SHAPE_COUNT);
    }
    arena_rewind(scratch, mark);
    return made;
}
