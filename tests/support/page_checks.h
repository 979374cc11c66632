// What tests ask of any page: that all of it is on the paper, that no text lies over another,
// and what it says.
#pragma once

#include "paper/drawing.h"
#include "support/check.h"

/// Box of a text that stands upright or is turned by a quarter.
static inline Box text_box(const DrawItem *item)
{
    const double width = draw_text_width_mm(item->text, item->size_mm, item->bold);
    const double from = item->align == ALIGN_LEFT     ? 0
                        : item->align == ALIGN_MIDDLE ? -width / 2
                                                      : -width;
    const Point at = item->points[0];
    if (item->turn_rad == 0) {
        return (Box){{at.x + from, at.y}, {at.x + from + width, at.y + item->size_mm}};
    }
    CHECK_NEAR(item->turn_rad, 90 * RAD_PER_DEG, 1e-12);
    return (Box){{at.x - item->size_mm, at.y + from}, {at.x, at.y + from + width}};
}

static inline void check_on_page(const Drawing *page)
{
    const double printable_mm = 5;
    for (int i = 0; i < page->count; i++) {
        const DrawItem *item = &page->items[i];
        const Box box = item->kind == DRAW_TEXT ? text_box(item)
                                                : ring_box((Ring){item->points, item->point_count});
        if (box.min.x < printable_mm || box.min.y < printable_mm ||
            box.max.x > page->width_mm - printable_mm ||
            box.max.y > page->height_mm - printable_mm) {
            print_error("%s: %s\n", page->items[0].text, item->text ? item->text : "line");
            fail();
        }
    }
}

static inline bool boxes_meet(Box a, Box b)
{
    return a.min.x < b.max.x && b.min.x < a.max.x && a.min.y < b.max.y && b.min.y < a.max.y;
}

static inline void check_texts_apart(const Drawing *page, Arena *keep)
{
    Box *boxes = ARENA_ARRAY(keep, Box, page->count);
    const char **texts = ARENA_ARRAY(keep, const char *, page->count);
    int count = 0;
    for (int i = 0; i < page->count; i++) {
        if (page->items[i].kind == DRAW_TEXT) {
            texts[count] = page->items[i].text;
            boxes[count++] = text_box(&page->items[i]);
        }
    }
    for (int i = 0; i < count; i++) {
        for (int k = 0; k < i; k++) {
            if (boxes_meet(boxes[i], boxes[k])) {
                print_error("%s: \"%s\" over \"%s\"\n", texts[0], texts[i], texts[k]);
                fail();
            }
        }
    }
}

static inline bool says(const Drawing *page, const char *text)
{
    for (int i = 0; i < page->count; i++) {
        if (page->items[i].kind == DRAW_TEXT && strcmp(page->items[i].text, text) == 0) {
            return true;
        }
    }
    return false;
}

static inline bool begins(const Drawing *page, const char *text)
{
    for (int i = 0; i < page->count; i++) {
        if (page->items[i].kind == DRAW_TEXT &&
            strncmp(page->items[i].text, text, strlen(text)) == 0) {
            return true;
        }
    }
    return false;
}
