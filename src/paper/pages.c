#include "paper/pack.h"

#include <string.h>

static const char number_words[] = "page ";

static bool has_number(const Drawing *page)
{
    return page->count > 0 && page->items[0].kind == DRAW_TEXT &&
           strncmp(page->items[0].text, number_words, sizeof number_words - 1) == 0;
}

void pages_add(Pages *pages, Drawing *drawing)
{
    pages->items =
        arena_room(pages->keep, pages->items, pages->count, &pages->capacity, sizeof(Drawing *));
    pages->items[pages->count++] = drawing;
    // Each page says how many there are, so each new page changes the others.
    for (int i = 0; i < pages->count; i++) {
        if (has_number(pages->items[i])) {
            pages->items[i]->items[0].text =
                arena_text(pages->keep, "%s%d of %d", number_words, i + 1, pages->count);
        }
    }
}
