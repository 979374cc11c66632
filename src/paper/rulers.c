#include "paper/rulers.h"

#include "paper/marks.h"

#define SIZE_MM CAPITAL_SMALL_MM
#define TICK_MM 1.6
#define BELOW_MM 9.5     ///< ruler below the map: tick, number, caption
#define BESIDE_MM 15.5   ///< ruler to the left of it
#define RULER_GAP_MM 1.5 ///< from the hide to a ruler
#define WORD_MM 3.0      ///< capitals of neck and butt
#define ARROW_MM 7.0     ///< strip of the firm direction's arrow
#define NUMBERS_APART_MM 9.0
enum { SMALL_TICKS = 5 };

/// Strip that a word takes at an end of the hide.
static double word_strip_mm(bool upwards)
{
    return upwards ? WORD_MM + 2.5 : 13.0;
}

Box rulers_room(Box room, bool upwards)
{
    const double word = word_strip_mm(upwards);
    Box inner = {{room.min.x + BESIDE_MM, room.min.y + BELOW_MM}, room.max};
    if (upwards) {
        inner.min.y += word;
        inner.max.y -= word;
        inner.max.x -= ARROW_MM;
    } else {
        inner.min.x += word;
        inner.max.x -= word;
        inner.max.y -= ARROW_MM;
    }
    return inner;
}

/// A ruler under way: `up` measures along the backbone, else out from it; `below`
/// lies under the map, else to its left.
typedef struct Ruler {
    Map *map;
    bool up;
    bool below;
    double line_mm; ///< y of the ruler below, x of the one beside
    double from_mm; ///< on the hide
    double to_mm;
} Ruler;

static Point ruler_point(const Ruler *ruler, double value_mm, double off_mm)
{
    const Point on_hide = ruler->up ? (Point){value_mm, 0} : (Point){0, value_mm};
    const Point on_page = map_point(&ruler->map->view, on_hide);
    return ruler->below ? (Point){on_page.x, ruler->line_mm - off_mm}
                        : (Point){ruler->line_mm - off_mm, on_page.y};
}

static void draw_number(const Ruler *ruler, double value_mm)
{
    Drawing *page = ruler->map->page;
    const char *digits = length_digits(ruler->up ? value_mm : fabs(value_mm),
                                       ruler->map->matter->job->units.length, page->keep);
    if (ruler->below) {
        draw_text(page, LAYER_TEXT, ruler_point(ruler, value_mm, TICK_MM + 0.8 + SIZE_MM), SIZE_MM,
                  ALIGN_MIDDLE, false, 0, "%s", digits);
    } else {
        const Point at = ruler_point(ruler, value_mm, TICK_MM + 0.8);
        draw_text(page, LAYER_TEXT, (Point){at.x, at.y - SIZE_MM / 2}, SIZE_MM, ALIGN_RIGHT, false,
                  0, "%s", digits);
    }
}

/// A caption over a stretch of the ruler, if it has room.
static void draw_caption(const Ruler *ruler, double from_mm, double to_mm, const char *text)
{
    Drawing *page = ruler->map->page;
    const double stretch_mm = (to_mm - from_mm) * ruler->map->view.scale;
    if (draw_text_width_mm(text, SIZE_MM, false) > stretch_mm) {
        return;
    }
    const double off_mm =
        ruler->below ? TICK_MM + 1.9 + 2 * SIZE_MM : BESIDE_MM - RULER_GAP_MM - SIZE_MM;
    const Point at = ruler_point(ruler, (from_mm + to_mm) / 2, off_mm);
    draw_text(page, LAYER_TEXT, at, SIZE_MM, ALIGN_MIDDLE, false,
              ruler->below ? 0 : 90 * RAD_PER_DEG, "%s", text);
}

static void draw_ruler(const Ruler *ruler)
{
    const LengthUnit unit = ruler->map->matter->job->units.length;
    Drawing *page = ruler->map->page;
    double step_mm = map_scale_step_mm(unit);
    while (step_mm * ruler->map->view.scale < NUMBERS_APART_MM) {
        step_mm *= 2;
    }
    draw_line(page, LAYER_RULE, ruler_point(ruler, ruler->from_mm, 0),
              ruler_point(ruler, ruler->to_mm, 0));
    const double small_mm = step_mm / SMALL_TICKS;
    const int last = (int)floor(ruler->to_mm / small_mm + 1e-9);
    for (int i = (int)ceil(ruler->from_mm / small_mm - 1e-9); i <= last; i++) {
        const bool whole = i % SMALL_TICKS == 0;
        draw_line(page, LAYER_RULE, ruler_point(ruler, i * small_mm, 0),
                  ruler_point(ruler, i * small_mm, whole ? TICK_MM : TICK_MM / 2));
        if (whole) {
            draw_number(ruler, i * small_mm);
        }
    }
    const char *name = length_unit_name(unit);
    if (ruler->up) {
        draw_caption(
            ruler, ruler->from_mm, ruler->to_mm,
            arena_text(page->keep, "up the %s, %s", marks_axis_name(ruler->map->hide), name));
        return;
    }
    draw_caption(ruler, 0, ruler->to_mm, arena_text(page->keep, "out to the left, %s", name));
    draw_caption(ruler, ruler->from_mm, 0, arena_text(page->keep, "out to the right, %s", name));
}

/// A word at one end of the hide, beyond its outline where the backbone would go on.
static void draw_end(Map *map, Point end, Point outward, const char *word)
{
    const Label label = {word, WORD_MM, true};
    const Box around = label_box(label, (Point){0, 0});
    const Point half = {around.max.x, (around.max.y - around.min.y) / 2};
    const Point at = {end.x + outward.x * (half.x + 0.8), end.y + outward.y * (half.y + 0.8)};
    label_draw(map->page, LAYER_TEXT, label, at);
    board_take(&map->board, label_box(label, at));
}

static void draw_ends(Map *map, Box hide_box)
{
    const Point butt = map_point(&map->view, (Point){hide_box.min.x, 0});
    const Point neck = map_point(&map->view, (Point){hide_box.max.x, 0});
    const Point to_neck = map->view.upwards ? (Point){0, 1} : (Point){1, 0};
    if (map->hide->form == HIDE_PANEL) {
        return; // a panel has neither
    }
    draw_end(map, neck, to_neck, "neck");
    draw_end(map, butt, point_times(to_neck, -1), "butt");
}

static void draw_firm_arrow_strip(Map *map, Box shown)
{
    static const char words[] = "firm direction";
    const double half_word = draw_text_width_mm(words, SIZE_MM, false) / 2 + 2;
    const double reach = half_word + 14;
    const bool upwards = map->view.upwards;
    const Point centre = point_between(shown.min, shown.max, 0.5);
    const Point middle = upwards ? (Point){shown.max.x + ARROW_MM - 2.5, centre.y}
                                 : (Point){centre.x, shown.max.y + ARROW_MM - 2.5};
    const Point way = upwards ? (Point){0, 1} : (Point){1, 0};
    for (int sign = -1; sign <= 1; sign += 2) {
        map_arrow(map->page, point_plus(middle, point_times(way, sign * half_word)),
                  point_plus(middle, point_times(way, sign * reach)), 2.6);
    }
    const Point base = upwards ? (Point){middle.x + SIZE_MM / 2, middle.y}
                               : (Point){middle.x, middle.y - SIZE_MM / 2};
    draw_text(map->page, LAYER_TEXT, base, SIZE_MM, ALIGN_MIDDLE, false,
              upwards ? 90 * RAD_PER_DEG : 0, "%s", words);
    const Point half = upwards ? (Point){2, reach} : (Point){reach, 2};
    board_take(&map->board, (Box){point_minus(middle, half), point_plus(middle, half)});
}

/// The hide's box on the page.
static Box box_on_page(const Map *map, Box hide_box)
{
    const Point a = map_point(&map->view, hide_box.min);
    const Point b = map_point(&map->view, hide_box.max);
    return (Box){{fmin(a.x, b.x), fmin(a.y, b.y)}, {fmax(a.x, b.x), fmax(a.y, b.y)}};
}

void rulers_draw(Map *map, Box hide_box)
{
    const bool upwards = map->view.upwards;
    const Box shown = box_on_page(map, hide_box);
    const double word = word_strip_mm(upwards);
    const double below = shown.min.y - (upwards ? word : 0) - RULER_GAP_MM;
    const double beside = shown.min.x - (upwards ? 0 : word) - RULER_GAP_MM;
    const Ruler up = {.map = map,
                      .up = true,
                      .below = !upwards,
                      .line_mm = upwards ? beside : below,
                      .from_mm = hide_box.min.x,
                      .to_mm = hide_box.max.x};
    const Ruler out = {.map = map,
                       .up = false,
                       .below = upwards,
                       .line_mm = upwards ? below : beside,
                       .from_mm = hide_box.min.y,
                       .to_mm = hide_box.max.y};
    draw_ruler(&up);
    draw_ruler(&out);
    board_take(&map->board, (Box){{shown.min.x - 5, below - BELOW_MM}, {shown.max.x + 5, below}});
    board_take(&map->board,
               (Box){{beside - BESIDE_MM, shown.min.y - 2}, {beside, shown.max.y + 2}});
    draw_ends(map, hide_box);
    draw_firm_arrow_strip(map, shown);
}

double rulers_scale_bar(Drawing *page, const MapView *view, LengthUnit unit, Point at)
{
    double length_mm = map_scale_step_mm(unit);
    while (length_mm * view->scale < 20) {
        length_mm *= 2;
    }
    while (length_mm * view->scale > 40) {
        length_mm /= 2;
    }
    const double bar_mm = length_mm * view->scale;
    const double height_mm = SIZE_MM / 2;
    const double half_mm = bar_mm / 2;
    const Point first[] = {{at.x, at.y},
                           {at.x + half_mm, at.y},
                           {at.x + half_mm, at.y + height_mm},
                           {at.x, at.y + height_mm}};
    const Point whole[] = {{at.x, at.y},
                           {at.x + bar_mm, at.y},
                           {at.x + bar_mm, at.y + height_mm},
                           {at.x, at.y + height_mm}};
    draw_shape(page, LAYER_MARK, (Ring){first, 4}, true);
    draw_shape(page, LAYER_MARK, (Ring){whole, 4}, false);
    const char *text = arena_text(page->keep, "%s, about 1 : %.0f",
                                  length_text(length_mm, unit, page->keep), 1 / view->scale);
    draw_text(page, LAYER_TEXT, (Point){at.x + bar_mm + 2, at.y - (SIZE_MM - height_mm) / 2},
              SIZE_MM, ALIGN_LEFT, false, 0, "%s", text);
    return bar_mm + 2 + draw_text_width_mm(text, SIZE_MM, false);
}
