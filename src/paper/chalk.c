#include "paper/chalk.h"

#include "paper/legend.h"
#include "paper/rulers.h"

#define SIDE_CAPITAL_MM 5.6
#define HEAD_MM 17.0
#define LEGEND_GAP_MM 2.0

/// Box of all that a map shows of a hide: its outline and its backbone.
static Box shown_box(const Hide *hide)
{
    Box box = ring_box(hide->outline);
    box.min = (Point){fmin(box.min.x, 0), fmin(box.min.y, 0)};
    box.max = (Point){fmax(box.max.x, hide->backbone_mm), fmax(box.max.y, 0)};
    return box;
}

/// Room between the head and the legend: for rulers and map.
static Box middle_room(const Hide *hide, Box room)
{
    const double legend_mm = legend_height_mm(hide, room.max.x - room.min.x);
    return (Box){{room.min.x, room.min.y + legend_mm + LEGEND_GAP_MM},
                 {room.max.x, room.max.y - HEAD_MM}};
}

double chalk_scale(const Hide *hide, bool upwards, Box room)
{
    const Box inner = rulers_room(middle_room(hide, room), upwards);
    return map_view(shown_box(hide), inner, upwards, false).scale;
}

const char *chalk_hide_name(const PackMatter *matter, int hide, Arena *keep)
{
    const char *name = matter->hides[hide].name;
    return name && *name ? arena_text(keep, "Hide %d: %s", hide + 1, name)
                         : arena_text(keep, "Hide %d", hide + 1);
}

const char *remnant_words(const PackMatter *matter, int hide, Arena *keep)
{
    const CutPlan *plan = matter->plan;
    const Units units = matter->job->units;
    const Remnant *left = &plan->left[hide];
    const char *rectangle = remnant_rectangle_text(left, plan->useful_mm, units.length, keep);
    if (left->area_mm2 <= 0) {
        return arena_text(keep, "Nothing that is left is %s wide.",
                          length_text(plan->useful_mm, units.length, keep));
    }
    return arena_text(keep, "Left in one piece: %s; largest whole rectangle: %s.",
                      remnant_area_text(left, units.area, keep), rectangle);
}

static void draw_head(const PackMatter *matter, int hide, bool flesh_up, Drawing *page, Box room)
{
    const double base = room.max.y - SIDE_CAPITAL_MM;
    const char *side = flesh_up ? "FLESH SIDE UP" : "GRAIN SIDE UP";
    draw_text(page, LAYER_TEXT, (Point){room.min.x, base}, SIDE_CAPITAL_MM, ALIGN_LEFT, true, 0,
              "%s", side);
    const double left = room.min.x + draw_text_width_mm(side, SIDE_CAPITAL_MM, true) + 8;
    const double width = room.max.x - left;
    draw_text(page, LAYER_TEXT, (Point){room.max.x, base}, CAPITAL_BODY_MM, ALIGN_RIGHT, true, 0,
              "%s",
              page_fitted(chalk_hide_name(matter, hide, page->keep), CAPITAL_BODY_MM, true, width,
                          page->keep));
    const bool panel = matter->hides[hide].form == HIDE_PANEL;
    const char *words =
        panel && flesh_up ? "Mirrored about the middle line. Left and right are those of the grain "
                            "side, as in the tables."
        : panel           ? "The middle line lies half way across the panel, along the firm "
                            "direction; 0 is the lower edge."
        : flesh_up        ? "Mirrored about the backbone. Left and right are those of the "
                            "grain side, as in the tables."
                          : "Stand at the butt and look to the neck: left is on your left.";
    draw_text(page, LAYER_TEXT, (Point){room.min.x, base - 5}, CAPITAL_SMALL_MM, ALIGN_LEFT, false,
              0, "%s",
              page_fitted(words, CAPITAL_SMALL_MM, false, room.max.x - room.min.x, page->keep));
    if (matter->plan->left) {
        draw_text(page, LAYER_TEXT, (Point){room.min.x, base - 10}, CAPITAL_SMALL_MM, ALIGN_LEFT,
                  false, 0, "%s",
                  page_fitted(remnant_words(matter, hide, page->keep), CAPITAL_SMALL_MM, false,
                              room.max.x - room.min.x, page->keep));
    }
}

void chalk_draw(const PackMatter *matter, int hide, bool flesh_up, bool upwards, Drawing *page,
                Box room)
{
    const Hide *shown = &matter->hides[hide];
    const Box box = shown_box(shown);
    const Box around = middle_room(shown, room);
    const MapView view = map_view(box, rulers_room(around, upwards), upwards, flesh_up);
    Map map = map_begin(matter, hide, view, rulers_room(around, upwards), page);
    draw_head(matter, hide, flesh_up, page, room);
    rulers_draw(&map, box);
    map_draw(&map);
    legend_draw(&map, room, around.min.y - LEGEND_GAP_MM);
}

/// The way of laying page and backbone that shows the hide largest. An upright page
/// with the backbone up it is what one holds at the bench: it gives way only to what
/// is clearly larger.
static void choose_view(const PackMatter *matter, int hide, bool *lying, bool *upwards)
{
    double best = 0;
    for (int i = 0; i < 4; i++) {
        const bool tried_lying = i >= 2;
        const bool tried_upwards = i % 2 == 0;
        const double scale = chalk_scale(&matter->hides[hide], tried_upwards,
                                         page_room_of(matter->job, tried_lying));
        if (scale > best * 1.04) {
            best = scale;
            *lying = tried_lying;
            *upwards = tried_upwards;
        }
    }
}

void pack_chalk_map(const PackMatter *matter, int hide, Pages *pages)
{
    bool lying = false;
    bool upwards = true;
    choose_view(matter, hide, &lying, &upwards);
    for (int side = 0; side < 2 && pack_goes_on(matter); side++) {
        const bool flesh_up = side == 1;
        Drawing *page =
            page_begin(matter, flesh_up ? "Chalk map, flesh side" : "Chalk map, grain side", lying,
                       pages->keep);
        pages_add(pages, page);
        chalk_draw(matter, hide, flesh_up, upwards, page, page_room(page));
    }
    chalk_mark_tables(matter, hide, pages);
}

Drawing *pack_chalk_picture(const PackMatter *matter, int hide, bool flesh_side, Arena *keep)
{
    const double width_mm = 280;
    const double margin_mm = 5;
    const Hide *shown = &matter->hides[hide];
    // High enough that the width alone decides the scale, then cut to what is used.
    Box room = {{margin_mm, margin_mm}, {width_mm - margin_mm, 2000}};
    const Box box = shown_box(shown);
    const double scale = chalk_scale(shown, false, room);
    const Box inner = rulers_room(middle_room(shown, room), false);
    const double beside_mm = (room.max.y - room.min.y) - (inner.max.y - inner.min.y);
    room.max.y = room.min.y + beside_mm + (box.max.y - box.min.y) * scale;
    Drawing *picture =
        drawing_create(width_mm, room.max.y + margin_mm,
                       arena_text(keep, "%s, %s side up", chalk_hide_name(matter, hide, keep),
                                  flesh_side ? "flesh" : "grain"),
                       keep);
    chalk_draw(matter, hide, flesh_side, false, picture, room);
    return picture;
}
