#include "paper/flow.h"

#define LINE_MM (CAPITAL_BODY_MM * LINE_PER_CAPITAL)
#define PARAGRAPH_GAP_MM 1.6
#define HANG_MM 7.0
#define TICK_MM 3.6

Flow flow_begin(const PackMatter *matter, Pages *pages, const char *title, bool lying)
{
    Flow flow = {.matter = matter, .pages = pages, .title = title, .lying = lying};
    flow_new_page(&flow);
    return flow;
}

void flow_new_page(Flow *flow)
{
    flow->page = page_begin(flow->matter, flow->title, flow->lying, flow->pages->keep);
    flow->room = page_room(flow->page);
    flow->top_mm = flow->room.max.y;
    pages_add(flow->pages, flow->page);
}

void flow_need(Flow *flow, double height_mm)
{
    if (flow->top_mm - height_mm < flow->room.min.y) {
        flow_new_page(flow);
    }
}

void flow_gap(Flow *flow, double height_mm)
{
    flow->top_mm -= height_mm;
}

void flow_heading(Flow *flow, const char *text, double next_mm)
{
    const double line_mm = CAPITAL_HEADING_MM * 1.7;
    const double above_mm = 3.5;
    const Lines lines = page_lines(text, CAPITAL_HEADING_MM, true,
                                   flow->room.max.x - flow->room.min.x, flow->pages->keep);
    flow_need(flow, above_mm + lines.count * line_mm + 1.5 + next_mm);
    if (flow->top_mm < page_room(flow->page).max.y) {
        flow->top_mm -= above_mm;
    }
    for (int i = 0; i < lines.count; i++) {
        draw_text(flow->page, LAYER_TEXT,
                  (Point){flow->room.min.x, flow->top_mm - CAPITAL_HEADING_MM}, CAPITAL_HEADING_MM,
                  ALIGN_LEFT, true, 0, "%s", lines.items[i]);
        flow->top_mm -= line_mm;
    }
    flow->top_mm -= 1.5;
}

/// Lines one by one, so that a long paragraph may break over pages. The first goes
/// with whatever `mark` draws beside it.
static void flow_lines(Flow *flow, const char *text, double hang_mm, const char *mark, bool tick)
{
    const Lines lines =
        page_lines(text, CAPITAL_BODY_MM, false, flow->room.max.x - flow->room.min.x - hang_mm,
                   flow->pages->keep);
    // A line alone at a page's foot or head reads badly: two stay together.
    flow_need(flow, (lines.count > 1 ? 2 : 1) * LINE_MM);
    for (int i = 0; i < lines.count; i++) {
        flow_need(flow, LINE_MM * (i == lines.count - 2 ? 2 : 1));
        const double base = flow->top_mm - CAPITAL_BODY_MM;
        const double left = flow->room.min.x;
        if (i == 0 && mark) {
            draw_text(flow->page, LAYER_TEXT, (Point){left, base}, CAPITAL_BODY_MM, ALIGN_LEFT,
                      false, 0, "%s", mark);
        }
        if (i == 0 && tick) {
            const double low = base - (TICK_MM - CAPITAL_BODY_MM) / 2;
            const Point box[] = {{left, low},
                                 {left + TICK_MM, low},
                                 {left + TICK_MM, low + TICK_MM},
                                 {left, low + TICK_MM}};
            draw_polyline(flow->page, LAYER_MARK, box, 4, true);
        }
        draw_text(flow->page, LAYER_TEXT, (Point){left + hang_mm, base}, CAPITAL_BODY_MM,
                  ALIGN_LEFT, false, 0, "%s", lines.items[i]);
        flow->top_mm -= LINE_MM;
    }
    flow->top_mm -= PARAGRAPH_GAP_MM;
}

void flow_paragraph(Flow *flow, const char *text)
{
    flow_lines(flow, text, 0, NULL, false);
}

void flow_item(Flow *flow, const char *mark, const char *text)
{
    flow_lines(flow, text, HANG_MM, mark, false);
}

void flow_check(Flow *flow, const char *text)
{
    flow_lines(flow, text, HANG_MM, NULL, true);
}
