// Text that flows down a page and on to the next: headings, paragraphs and lists.
#pragma once

#include "paper/page.h"

/// A column under way. Callers may narrow `room` and lower `top_mm` for what they
/// draw themselves; a new page has its whole room again.
typedef struct Flow {
    const PackMatter *matter;
    Pages *pages;
    const char *title;
    bool lying;
    Drawing *page;
    Box room;      ///< of this column on this page
    double top_mm; ///< what comes next hangs from here
} Flow;

/// Begins a page and adds it to `pages`.
Flow flow_begin(const PackMatter *matter, Pages *pages, const char *title, bool lying);
void flow_new_page(Flow *flow);

/// Goes to a new page unless this much height is left.
void flow_need(Flow *flow, double height_mm);
void flow_gap(Flow *flow, double height_mm);

/// Stays with at least `next_mm` of what follows.
void flow_heading(Flow *flow, const char *text, double next_mm);
void flow_paragraph(Flow *flow, const char *text);
/// A paragraph hung behind a mark (`1.`, `-`).
void flow_item(Flow *flow, const char *mark, const char *text);
/// A paragraph behind a box to tick.
void flow_check(Flow *flow, const char *text);
