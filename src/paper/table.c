#include "paper/table.h"

#include <string.h>

#define LINE_MM (CAPITAL_BODY_MM * 1.8)
#define ROW_PADDING_MM 1.1
#define COLUMN_GAP_MM 4.5
#define NARROWEST_MM 16.0
#define TICK_MM 3.6

/// Where the columns stand.
typedef struct Places {
    double left[TABLE_COLUMNS_MAX];
    double width[TABLE_COLUMNS_MAX];
    double right; ///< end of the last column
} Places;

/// One row broken into lines.
typedef struct Row {
    Lines cell[TABLE_COLUMNS_MAX];
    double height_mm;
} Row;

static const char **row_cells(const Table *table, int row)
{
    return table->cells + (ptrdiff_t)row * table->column_count;
}

void table_row(Table *table, const char *const *cells)
{
    const int columns = table->column_count;
    table->cells = arena_room(table->keep, table->cells, table->row_count, &table->capacity,
                              (size_t)columns * sizeof *table->cells);
    const char **row = row_cells(table, table->row_count);
    for (int i = 0; i < columns; i++) {
        row[i] = cells[i] ? cells[i] : "";
    }
    table->row_count++;
}

/// Width in which a head stands on two lines at most, its words whole.
static double head_width_mm(const char *head, Arena *keep)
{
    double width = 0;
    const char *rest = head;
    while (*rest) {
        const size_t length = strcspn(rest, " ");
        const char *word = arena_text(keep, "%.*s", (int)length, rest);
        width = fmax(width, draw_text_width_mm(word, CAPITAL_BODY_MM, true));
        rest += length;
        rest += strspn(rest, " ");
    }
    while (page_lines(head, CAPITAL_BODY_MM, true, width + 0.1, keep).count > 2) {
        width += CAPITAL_BODY_MM;
    }
    return width;
}

static double natural_width_mm(const Table *table, int column)
{
    double width = fmax(head_width_mm(table->columns[column].head, table->keep),
                        table->columns[column].least_mm);
    if (table->columns[column].tick) {
        return fmax(width, TICK_MM);
    }
    for (int row = 0; row < table->row_count; row++) {
        const char *text = table->cells[row * table->column_count + column];
        // Unbroken but for the lines that the text itself ends.
        const Lines lines = page_lines(text, CAPITAL_BODY_MM, false, HUGE_VAL, table->keep);
        width = fmax(width, page_lines_width_mm(lines, CAPITAL_BODY_MM, false));
    }
    return width;
}

/// Takes what is too wide from the widest of the columns that may be narrowed, so that
/// the narrower ones keep their lines whole.
static void narrow(const Table *table, double *width, double excess_mm)
{
    while (excess_mm > 1e-6) {
        int widest = -1;
        double next = 0;
        for (int i = 0; i < table->column_count; i++) {
            if (table->columns[i].wraps && (widest < 0 || width[i] > width[widest])) {
                widest = i;
            }
        }
        if (widest < 0 || width[widest] <= NARROWEST_MM) {
            return;
        }
        for (int i = 0; i < table->column_count; i++) {
            if (table->columns[i].wraps && i != widest) {
                next = fmax(next, width[i]);
            }
        }
        // Down to just below the next widest, then that one has its turn.
        const double least = fmax(NARROWEST_MM, fmin(next, width[widest]) - 1);
        const double taken = fmin(excess_mm, width[widest] - least);
        width[widest] -= taken;
        excess_mm -= taken;
    }
}

static Places place_columns(const Table *table, Box room)
{
    Places places = {.right = room.min.x};
    double total = COLUMN_GAP_MM * (table->column_count - 1);
    for (int i = 0; i < table->column_count; i++) {
        places.width[i] = natural_width_mm(table, i) + 0.1; // rounding must not break a line
        total += places.width[i];
    }
    narrow(table, places.width, total - (room.max.x - room.min.x));
    for (int i = 0; i < table->column_count; i++) {
        places.left[i] = places.right + (i > 0 ? COLUMN_GAP_MM : 0);
        places.right = places.left[i] + places.width[i];
    }
    return places;
}

static Row break_row(const char *const *texts, const Places *places, int columns, double least_mm,
                     bool bold, Arena *keep)
{
    Row row = {.height_mm = 0};
    for (int i = 0; i < columns; i++) {
        row.cell[i] = page_lines(texts[i], CAPITAL_BODY_MM, bold, places->width[i], keep);
        row.height_mm = fmax(row.height_mm, row.cell[i].count * LINE_MM);
    }
    row.height_mm += ROW_PADDING_MM + CAPITAL_BODY_MM - LINE_MM / 2;
    row.height_mm = fmax(row.height_mm, least_mm);
    return row;
}

static void draw_cell(Drawing *page, const Column *column, Lines lines, double left, double width,
                      double top, bool bold)
{
    const double x = column->align == ALIGN_LEFT     ? left
                     : column->align == ALIGN_MIDDLE ? left + width / 2
                                                     : left + width;
    for (int i = 0; i < lines.count; i++) {
        if (*lines.items[i]) {
            draw_text(page, LAYER_TEXT, (Point){x, top - CAPITAL_BODY_MM - i * LINE_MM},
                      CAPITAL_BODY_MM, column->align, bold, 0, "%s", lines.items[i]);
        }
    }
}

static void draw_tick(Drawing *page, const Column *column, double left, double width, double top)
{
    const double x = column->align == ALIGN_MIDDLE ? left + (width - TICK_MM) / 2 : left;
    const double low = top - CAPITAL_BODY_MM / 2 - TICK_MM / 2;
    const Point box[] = {
        {x, low}, {x + TICK_MM, low}, {x + TICK_MM, low + TICK_MM}, {x, low + TICK_MM}};
    draw_polyline(page, LAYER_MARK, box, 4, true);
}

static void rule_columns(Drawing *page, const Table *table, const Places *places, double top,
                         double bottom)
{
    for (int i = 1; i < table->column_count; i++) {
        const double x = places->left[i] - COLUMN_GAP_MM / 2;
        draw_line(page, LAYER_RULE, (Point){x, top}, (Point){x, bottom});
    }
}

static void draw_row(Flow *flow, const Table *table, const Places *places, const Row *row,
                     bool head)
{
    const double top = flow->top_mm - ROW_PADDING_MM;
    if (table->ruled) {
        rule_columns(flow->page, table, places, flow->top_mm, flow->top_mm - row->height_mm);
    }
    for (int i = 0; i < table->column_count; i++) {
        if (table->columns[i].tick && !head) {
            draw_tick(flow->page, &table->columns[i], places->left[i], places->width[i], top);
            continue;
        }
        draw_cell(flow->page, &table->columns[i], row->cell[i], places->left[i], places->width[i],
                  top, head);
    }
    flow->top_mm -= row->height_mm;
    draw_line(flow->page, LAYER_RULE, (Point){places->left[0], flow->top_mm},
              (Point){places->right, flow->top_mm});
}

void table_draw(const Table *table, Flow *flow)
{
    Arena *keep = flow->pages->keep;
    const Places places = place_columns(table, flow->room);
    const char *heads[TABLE_COLUMNS_MAX];
    for (int i = 0; i < table->column_count; i++) {
        heads[i] = table->columns[i].head;
    }
    const Row head = break_row(heads, &places, table->column_count, 0, true, keep);
    bool begun = false;
    for (int i = 0; i < table->row_count && pack_goes_on(flow->matter); i++) {
        const Row row = break_row(row_cells(table, i), &places, table->column_count, table->row_mm,
                                  false, keep);
        const Drawing *before = flow->page;
        flow_need(flow, row.height_mm + (begun ? 0 : head.height_mm));
        if (!begun || flow->page != before) {
            draw_row(flow, table, &places, &head, true);
            begun = true;
        }
        draw_row(flow, table, &places, &row, false);
    }
    flow->top_mm -= 2.5;
}
