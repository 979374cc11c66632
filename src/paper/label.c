#include "paper/label.h"

#define AIR_MM 0.6
#define RING_TIDY_MM 0.15

LabelBoard board_create(Box room, Arena *keep)
{
    return (LabelBoard){.keep = keep, .room = room};
}

void board_take(LabelBoard *board, Box box)
{
    board->taken = arena_room(board->keep, board->taken, board->taken_count, &board->taken_capacity,
                              sizeof *board->taken);
    board->taken[board->taken_count++] = box;
}

void board_line(LabelBoard *board, Point from, Point to, double cost)
{
    board->lines = arena_room(board->keep, board->lines, board->line_count, &board->line_capacity,
                              sizeof *board->lines);
    board->lines[board->line_count++] = (BoardLine){from, to, cost};
}

void board_ring(LabelBoard *board, Ring ring, double cost)
{
    // Rounded corners are many short edges: as they are, each would cost.
    const Ring plain = ring_tidied(ring, RING_TIDY_MM, board->keep);
    for (int i = 0; i < plain.count; i++) {
        board_line(board, plain.points[i], ring_point(plain, i + 1), cost);
    }
}

static bool box_holds(Box box, Point p)
{
    return p.x > box.min.x && p.x < box.max.x && p.y > box.min.y && p.y < box.max.y;
}

bool board_taken_at(const LabelBoard *board, Point point)
{
    for (int i = 0; i < board->taken_count; i++) {
        if (box_holds(board->taken[i], point)) {
            return true;
        }
    }
    return false;
}

Box label_box(Label label, Point middle)
{
    const double half_width = draw_text_width_mm(label.text, label.size_mm, label.bold) / 2;
    // Letters such as g reach a quarter of a capital below the baseline.
    return (Box){{middle.x - half_width - AIR_MM, middle.y - 0.75 * label.size_mm - AIR_MM},
                 {middle.x + half_width + AIR_MM, middle.y + 0.55 * label.size_mm + AIR_MM}};
}

static bool boxes_meet(Box a, Box b)
{
    return a.min.x < b.max.x && b.min.x < a.max.x && a.min.y < b.max.y && b.min.y < a.max.y;
}

/// Whether a line crosses a box: it is cut to the box side by side.
/// Source  Liang and Barsky, ACM Trans. Graphics 3 (1984) 1-22.
static bool line_meets(BoardLine line, Box box)
{
    if (fmax(line.from.x, line.to.x) < box.min.x || fmin(line.from.x, line.to.x) > box.max.x ||
        fmax(line.from.y, line.to.y) < box.min.y || fmin(line.from.y, line.to.y) > box.max.y) {
        return false; // most are, and this is quick
    }
    const Point way = point_minus(line.to, line.from);
    const double step[] = {-way.x, way.x, -way.y, way.y};
    const double room[] = {line.from.x - box.min.x, box.max.x - line.from.x,
                           line.from.y - box.min.y, box.max.y - line.from.y};
    double enter = 0;
    double leave = 1;
    for (int i = 0; i < 4; i++) {
        if (step[i] == 0) {
            if (room[i] < 0) {
                return false;
            }
        } else if (step[i] < 0) {
            enter = fmax(enter, room[i] / step[i]);
        } else {
            leave = fmin(leave, room[i] / step[i]);
        }
    }
    return enter < leave;
}

bool board_clear(const LabelBoard *board, Point from, Point to)
{
    for (int i = 0; i < board->taken_count; i++) {
        if (line_meets((BoardLine){from, to, 0}, board->taken[i])) {
            return false;
        }
    }
    return true;
}

/// Cost of a box that begins at `cost`; at least `enough` as soon as that is reached.
static double cost_up_to(const LabelBoard *board, Box box, double cost, double enough)
{
    if (box.min.x < board->room.min.x || box.max.x > board->room.max.x ||
        box.min.y < board->room.min.y || box.max.y > board->room.max.y) {
        return LABEL_REFUSED;
    }
    for (int i = 0; i < board->taken_count; i++) {
        if (boxes_meet(board->taken[i], box)) {
            return LABEL_REFUSED;
        }
    }
    for (int i = 0; i < board->line_count && cost < enough; i++) {
        if (line_meets(board->lines[i], box)) {
            cost += board->lines[i].cost;
        }
    }
    return cost;
}

bool board_place(LabelBoard *board, Label label, const Point *middles, const double *extra,
                 int count, Point *middle)
{
    const Box around = label_box(label, (Point){0, 0});
    int best = -1;
    double best_cost = LABEL_REFUSED;
    for (int i = 0; i < count; i++) {
        const Box box = {point_plus(around.min, middles[i]), point_plus(around.max, middles[i])};
        const double begin = extra ? extra[i] : 0;
        if (begin >= best_cost) {
            continue;
        }
        const double cost = cost_up_to(board, box, begin, best_cost);
        if (cost < best_cost) {
            best_cost = cost;
            best = i;
        }
    }
    if (best < 0) {
        return false;
    }
    *middle = middles[best];
    board_take(board, label_box(label, *middle));
    return true;
}

void label_draw(Drawing *drawing, DrawLayer layer, Label label, Point middle)
{
    draw_text(drawing, layer, (Point){middle.x, middle.y - label.size_mm / 2}, label.size_mm,
              ALIGN_MIDDLE, label.bold, 0, "%s", label.text);
}
