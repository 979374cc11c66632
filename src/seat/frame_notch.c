// Corners cut out round a chair's legs.
#include "seat/frame_parts.h"

#include "plane/curve.h"
#include "plane/polygon.h"

enum { NOTCH_POINTS_MAX = 100 };

static bool has_notch(Notch notch)
{
    return notch.width_mm != 0 || notch.depth_mm != 0;
}

static bool notch_is_sound(Notch notch, int corner, Say say)
{
    const char *key = SAY_TEXT(say, "notches.%s", corner_fields[corner]);
    const double least_mm = fmin(notch.width_mm, notch.depth_mm);
    if (!(least_mm > 0) || !isfinite(notch.width_mm) || !isfinite(notch.depth_mm)) {
        const bool narrow = !(notch.width_mm > 0) || !isfinite(notch.width_mm);
        return say_mistake(say, SAY_TEXT(say, "%s.%s", key, narrow ? "width" : "depth"),
                           SAY_TEXT(say, "%g mm", narrow ? notch.width_mm : notch.depth_mm),
                           "more than 0", "leave the notch out if there is none");
    }
    if (!(notch.radius_mm >= 0 && notch.radius_mm <= least_mm)) {
        return say_mistake(
            say, SAY_TEXT(say, "%s.radius", key),
            SAY_TEXT(say, "%s is larger than the notch", say_length(say, notch.radius_mm)),
            say_at_most(say, least_mm), NULL);
    }
    return true;
}

// Notches at both ends of a side must leave wood between them.
static bool notches_leave_sides(const Frame *frame, const FrameCorners *corners, Say say)
{
    bool good = true;
    for (int i = 0; i < SIDE_COUNT; i++) {
        const int next = (i + 1) % CORNER_COUNT;
        const Notch a = frame->notch[i];
        const Notch b = frame->notch[next];
        const Point along = point_minus(corners->meeting[next], corners->meeting[i]);
        const bool across = i == SIDE_FRONT || i == SIDE_BACK;
        const double room_mm = across ? fabs(along.x) : fabs(along.y);
        const double taken_mm = across ? a.width_mm + b.width_mm : a.depth_mm + b.depth_mm;
        if (taken_mm < room_mm - 1e-6) {
            continue;
        }
        const bool first = across ? a.width_mm >= b.width_mm : a.depth_mm >= b.depth_mm;
        good = say_mistake(say,
                           SAY_TEXT(say, "notches.%s.%s", corner_fields[first ? i : next],
                                    across ? "width" : "depth"),
                           SAY_TEXT(say, "the notches take %s of the %s, which is %s long",
                                    say_length(say, taken_mm), side_names[i],
                                    say_length(say, room_mm)),
                           "notches that leave wood between them", NULL);
    }
    return good;
}

// What the saw takes: from the inner corner outward past the frame.
static Ring notch_region(Notch notch, int corner, Point meeting, double past_mm, Arena *scratch)
{
    Point *points = ARENA_ARRAY(scratch, Point, NOTCH_POINTS_MAX);
    const double radius_mm = notch.radius_mm;
    int count = 0;
    // As for the back right corner, which the others mirror.
    points[count++] = (Point){-notch.width_mm, past_mm};
    const Point down = {-notch.width_mm, radius_mm - notch.depth_mm};
    const Point right = {radius_mm - notch.width_mm, -notch.depth_mm};
    count += curve_arc(down, right, radius_mm * (1 - sqrt(0.5)), FRAME_TOLERANCE_MM, points + count,
                       NOTCH_POINTS_MAX - 4);
    if (radius_mm > 0) {
        points[count++] = right;
    }
    points[count++] = (Point){past_mm, -notch.depth_mm};
    points[count++] = (Point){past_mm, past_mm};
    const bool to_right = corner == CORNER_FRONT_RIGHT || corner == CORNER_BACK_RIGHT;
    const bool to_back = corner == CORNER_BACK_RIGHT || corner == CORNER_BACK_LEFT;
    for (int i = 0; i < count; i++) {
        points[i].x = meeting.x + (to_right ? points[i].x : -points[i].x);
        points[i].y = meeting.y + (to_back ? points[i].y : -points[i].y);
    }
    return ring_counter_clockwise((Ring){points, count}, scratch);
}

// Takes one notch out of the wood.
static bool cut_notch(const Frame *frame, int corner, Point meeting, Say say, Arena *scratch,
                      Ring *outline)
{
    const char *key = SAY_TEXT(say, "notches.%s", corner_fields[corner]);
    const Box box = ring_box(*outline);
    const double past_mm = point_distance(box.min, box.max);
    const Ring region = notch_region(frame->notch[corner], corner, meeting, past_mm, scratch);
    PolygonSet left;
    if (!polygon_overlay(POLYGON_DIFFERENCE, polygon_set_of_ring(*outline, scratch),
                         polygon_set_of_ring(region, scratch), scratch, &left)) {
        return say_mistake(say, key, "the notch could not be cut out of this outline", NULL, NULL);
    }
    if (left.count != 1) {
        return say_mistake(say, key,
                           left.count == 0 ? "the notch takes the whole frame"
                                           : "the notch cuts the frame apart",
                           "notches that leave the frame in one piece", NULL);
    }
    const Ring rest = left.items[0].outer;
    if (ring_area_mm2(*outline) - ring_area_mm2(rest) < 1e-3) {
        return say_mistake(say, key, "the notch does not reach the wood",
                           "a notch larger than what the rounded corner already takes", NULL);
    }
    *outline = rest;
    return true;
}

bool frame_cut_notches(const Frame *frame, const FrameCorners *corners, Say say, Ring whole,
                       Arena *scratch, Ring *outline)
{
    bool good = true;
    for (int i = 0; i < CORNER_COUNT; i++) {
        good &= !has_notch(frame->notch[i]) || notch_is_sound(frame->notch[i], i, say);
    }
    if (!good || !notches_leave_sides(frame, corners, say)) {
        return false;
    }
    *outline = whole;
    for (int i = 0; i < CORNER_COUNT; i++) {
        if (has_notch(frame->notch[i]) &&
            !cut_notch(frame, i, corners->meeting[i], say, scratch, outline)) {
            return false;
        }
    }
    return true;
}
