#include "paper/page.h"

#include <string.h>

#define HEAD_MM 17.5
#define FOOT_MM 6.0

Point page_size(const Job *job, bool lying)
{
    const Point upright =
        job->paper == PAPER_LETTER ? (Point){8.5 * MM_PER_IN, 11 * MM_PER_IN} : (Point){210, 297};
    return lying ? (Point){upright.y, upright.x} : upright;
}

static Box room_on(Point size)
{
    return (Box){{PAGE_MARGIN_MM, PAGE_MARGIN_MM + FOOT_MM},
                 {size.x - PAGE_MARGIN_MM, size.y - PAGE_MARGIN_MM - HEAD_MM}};
}

Box page_room(const Drawing *page)
{
    return room_on((Point){page->width_mm, page->height_mm});
}

Box page_room_of(const Job *job, bool lying)
{
    return room_on(page_size(job, lying));
}

static void draw_head(Drawing *page, const PackMatter *matter, const char *title)
{
    const double left = PAGE_MARGIN_MM;
    const double right = page->width_mm - PAGE_MARGIN_MM;
    const double top = page->height_mm - PAGE_MARGIN_MM;
    const double first = top - CAPITAL_TITLE_MM;
    const double second = first - 6.2;
    // The number stands first among the items: pages_add() looks for it there.
    draw_text(page, LAYER_TEXT, (Point){right, first}, CAPITAL_BODY_MM, ALIGN_RIGHT, true, 0,
              "page 1 of 1");
    const double number_mm = draw_text_width_mm("page 888 of 888", CAPITAL_BODY_MM, true);
    draw_text(page, LAYER_TEXT, (Point){left, first}, CAPITAL_TITLE_MM, ALIGN_LEFT, true, 0, "%s",
              page_fitted(title, CAPITAL_TITLE_MM, true, right - left - number_mm - 5, page->keep));
    draw_text(page, LAYER_TEXT, (Point){right, second}, CAPITAL_BODY_MM, ALIGN_RIGHT, false, 0,
              "%s", matter->date);
    const double date_mm = draw_text_width_mm(matter->date, CAPITAL_BODY_MM, false);
    draw_text(page, LAYER_TEXT, (Point){left, second}, CAPITAL_BODY_MM, ALIGN_LEFT, false, 0, "%s",
              page_fitted(matter->job->name, CAPITAL_BODY_MM, false, right - left - date_mm - 5,
                          page->keep));
    draw_line(page, LAYER_RULE, (Point){left, second - 2}, (Point){right, second - 2});
}

static void draw_foot(Drawing *page, const Job *job)
{
    const double left = PAGE_MARGIN_MM;
    const double right = page->width_mm - PAGE_MARGIN_MM;
    draw_line(page, LAYER_RULE, (Point){left, PAGE_MARGIN_MM}, (Point){right, PAGE_MARGIN_MM});
    const double base = PAGE_MARGIN_MM - 2 - CAPITAL_SMALL_MM;
    draw_text(page, LAYER_TEXT, (Point){left, base}, CAPITAL_SMALL_MM, ALIGN_LEFT, false, 0,
              "lengths in %s, areas in %s",
              job->units.length == LENGTH_IN ? "inches" : "millimetres",
              job->units.area == AREA_FT2 ? "square feet" : "square metres");
    draw_text(page, LAYER_TEXT, (Point){right, base}, CAPITAL_SMALL_MM, ALIGN_RIGHT, false, 0,
              "Seatwright");
}

Drawing *page_begin(const PackMatter *matter, const char *title, bool lying, Arena *keep)
{
    const Point size = page_size(matter->job, lying);
    Drawing *page = drawing_create(size.x, size.y, title, keep);
    draw_head(page, matter, title);
    draw_foot(page, matter->job);
    return page;
}

/// How many characters of `text`, followed by `tail`, fit into the width.
static int characters_that_fit(const char *text, const char *tail, double size_mm, bool bold,
                               double width_mm, Arena *keep)
{
    int fits = 0;
    int too_many = text_columns(text) + 1;
    while (too_many - fits > 1) {
        const int middle = (fits + too_many) / 2;
        const char *tried =
            arena_text(keep, "%.*s%s", (int)text_bytes_of(text, middle), text, tail);
        if (draw_text_width_mm(tried, size_mm, bold) <= width_mm) {
            fits = middle;
        } else {
            too_many = middle;
        }
    }
    return fits;
}

const char *page_fitted(const char *text, double size_mm, bool bold, double width_mm, Arena *keep)
{
    if (draw_text_width_mm(text, size_mm, bold) <= width_mm) {
        return text;
    }
    const int count = characters_that_fit(text, "…", size_mm, bold, width_mm, keep);
    return arena_text(keep, "%.*s…", (int)text_bytes_of(text, count), text);
}

/// A list of lines under way.
typedef struct Breaker {
    Lines lines;
    int capacity;
    const char *line; ///< the line under way; "" when nothing stands in it
    double size_mm;
    bool bold;
    double width_mm;
    Arena *keep;
} Breaker;

static void end_line(Breaker *breaker)
{
    breaker->lines.items = arena_room(breaker->keep, breaker->lines.items, breaker->lines.count,
                                      &breaker->capacity, sizeof *breaker->lines.items);
    breaker->lines.items[breaker->lines.count++] = breaker->line;
    breaker->line = "";
}

static bool fits(const Breaker *breaker, const char *text)
{
    return draw_text_width_mm(text, breaker->size_mm, breaker->bold) <= breaker->width_mm;
}

static void add_word(Breaker *breaker, const char *word)
{
    const char *longer =
        *breaker->line ? arena_text(breaker->keep, "%s %s", breaker->line, word) : word;
    if (fits(breaker, longer)) {
        breaker->line = longer;
        return;
    }
    if (*breaker->line) {
        end_line(breaker);
    }
    while (!fits(breaker, word)) {
        int count = characters_that_fit(word, "", breaker->size_mm, breaker->bold,
                                        breaker->width_mm, breaker->keep);
        count = count > 0 ? count : 1; // a column narrower than a letter still gets on
        const size_t bytes = text_bytes_of(word, count);
        if (!word[bytes]) {
            break;
        }
        breaker->line = arena_text(breaker->keep, "%.*s", (int)bytes, word);
        end_line(breaker);
        word += bytes;
    }
    breaker->line = word;
}

Lines page_lines(const char *text, double size_mm, bool bold, double width_mm, Arena *keep)
{
    Breaker breaker = {
        .line = "", .size_mm = size_mm, .bold = bold, .width_mm = width_mm, .keep = keep};
    while (*text) {
        text += strspn(text, " \t\r");
        if (*text == '\n') {
            end_line(&breaker);
            text++;
            continue;
        }
        const size_t length = strcspn(text, " \t\r\n");
        if (length > 0) {
            add_word(&breaker, arena_text(keep, "%.*s", (int)length, text));
        }
        text += length;
    }
    if (*breaker.line || breaker.lines.count == 0) {
        end_line(&breaker);
    }
    return breaker.lines;
}

double page_lines_width_mm(Lines lines, double size_mm, bool bold)
{
    double widest = 0;
    for (int i = 0; i < lines.count; i++) {
        widest = fmax(widest, draw_text_width_mm(lines.items[i], size_mm, bold));
    }
    return widest;
}
