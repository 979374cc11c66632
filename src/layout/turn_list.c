#include "layout/turn_list.h"

#include "base/units.h"

#include <math.h>

static const double quarter_turn_rad = 1.5707963267948966;
static const double coarse_rad = 0.2617993877991494; // 15 degrees
static const double slack_rad = 1e-9;

static void list_turn(TurnList *list, double turn_rad, double period_rad)
{
    for (int i = 0; i < list->count; i++) {
        if (fabs(remainder(turn_rad - list->turn_rad[i], period_rad)) < slack_rad) {
            return;
        }
    }
    if (list->count < TURNS_LISTED_MAX) {
        list->turn_rad[list->count++] = turn_rad;
    }
}

static void list_steps(TurnList *list, TurnRange range, double period_rad, double step_rad)
{
    const bool round = range.to_rad - range.from_rad >= period_rad;
    const double span_rad = round ? period_rad : range.to_rad - range.from_rad;
    const int steps = (int)ceil(span_rad / step_rad - slack_rad);
    for (int k = 0; k <= steps - (round ? 1 : 0) && list->count < TURNS_LISTED_MAX; k++) {
        list_turn(list, range.from_rad + (steps > 0 ? span_rad * k / steps : 0), period_rad);
    }
}

// One turn in which most is laid, before the others are tried: many at once find less.
static void list_narrow(TurnList *list, TurnRange range, double period_rad)
{
    list_turn(list, (range.from_rad + range.to_rad) / 2, period_rad);
    const double first = ceil((range.from_rad - slack_rad) / quarter_turn_rad);
    const double turn_rad = fmin(fmax(first * quarter_turn_rad, range.from_rad), range.to_rad);
    if (first * quarter_turn_rad <= range.to_rad + slack_rad) {
        list_turn(list, turn_rad, period_rad);
    }
}

TurnList turn_list(const Piece *piece, TurnSteps steps)
{
    TurnList list = {.count = 0};
    if (piece->turn_symmetry == 0) {
        list_turn(&list, piece->turns[0].from_rad, WHOLE_TURN_RAD);
        list.coarse_count = list.count;
        return list;
    }
    const double period_rad = WHOLE_TURN_RAD / piece->turn_symmetry;
    for (int i = 0; i < piece->turn_count; i++) {
        const TurnRange range = piece->turns[i];
        const double span_rad = range.to_rad - range.from_rad;
        if (!steps.few && span_rad > slack_rad && span_rad < 2 * coarse_rad - slack_rad) {
            list_narrow(&list, range, period_rad);
        } else {
            list_steps(&list, range, period_rad, coarse_rad);
        }
    }
    list.coarse_count = list.count;
    for (int i = 0; i < piece->turn_count && steps.fine_rad > 0; i++) {
        list_steps(&list, piece->turns[i], period_rad, steps.fine_rad);
    }
    return list;
}

static bool find_room(const LayoutTask *task, TurnSteps steps, int each_most, int in_all_most)
{
    int in_all = 0;
    for (int i = 0; i < task->piece_count && in_all <= in_all_most; i++) {
        const int count = turn_list(&task->pieces[i], steps).count;
        in_all += count > each_most ? in_all_most + 1 : count;
    }
    return in_all <= in_all_most;
}

TurnSteps turn_steps(const LayoutTask *task, int each_most)
{
    static const struct {
        double degrees;
        int in_all_most;
    } fine[] = {{2, 40}, {3, 40}, {5, 100}, {7.5, 100}};
    enum { FINE = sizeof fine / sizeof fine[0], FEW = 30 };
    TurnSteps steps = {.few = find_room(task, (TurnSteps){.few = true}, each_most, FEW)};
    if (!find_room(task, steps, each_most, fine[FINE - 1].in_all_most)) {
        return steps;
    }
    for (int i = 0; i < FINE; i++) {
        steps.fine_rad = fine[i].degrees * RAD_PER_DEG;
        if (find_room(task, steps, each_most, fine[i].in_all_most)) {
            return steps;
        }
    }
    steps.fine_rad = 0;
    return steps;
}
