// How a picture lies under a hide.
#include "hide/hide.h"

static const double MARKS_APART_MIN_PX = 10;

// From one pixel to another, y up.
static Point pixels_between(Pixel from, Pixel to)
{
    return (Point){to.column - from.column, from.row - to.row};
}

static bool refuse(const char *where, const char *key, const char *than, Problems *problems)
{
    Arena *keep = problems->keep;
    return problems_add(
        problems,
        (Problem){.kind = PROBLEM_BAD_INPUT,
                  .where = arena_text(keep, "%s.%s", where, key),
                  .found = arena_text(keep, "lies on `%s`, or next to it", than),
                  .allowed = arena_text(keep, "%g px and more from it", MARKS_APART_MIN_PX),
                  .remedy = "mark two places far from each other"});
}

bool hide_picture_map(const HidePicture *picture, const char *where, PictureMap *map,
                      Problems *problems)
{
    const Point along = pixels_between(picture->butt, picture->neck);
    const double apart_px = point_length(pixels_between(picture->from, picture->to));
    const bool turned =
        point_length(along) >= MARKS_APART_MIN_PX || refuse(where, "neck", "butt", problems);
    const bool scaled = apart_px >= MARKS_APART_MIN_PX || refuse(where, "to", "from", problems);
    if (!turned || !scaled) {
        return false;
    }
    const double scale = picture->apart_mm / apart_px;
    const Point up = point_times(point_unit(along), scale);
    // With p = (column, -row): x = up . p, y = up x p, both from the butt end.
    PictureMap made = {.a = up.x, .b = -up.y, .c = -up.y, .d = -up.x, .mm_per_px = scale};
    const Point butt = picture_map_place(made, picture->butt);
    made.e = -butt.x;
    made.f = -butt.y;
    *map = made;
    return true;
}

Point picture_map_place(PictureMap map, Pixel pixel)
{
    return (Point){map.a * pixel.column + map.c * pixel.row + map.e,
                   map.b * pixel.column + map.d * pixel.row + map.f};
}
