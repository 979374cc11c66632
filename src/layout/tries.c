#include "layout/tries.h"
#include "base/units.h"

#include "base/random.h"

#include <stdlib.h>
#include <string.h>

// Layouts without a better one after which a complete layout is good enough.
enum { PATIENCE = 400 };
// At most so many pieces are taken out at once.
enum { OUT_MAX = 4 };
// How much less than the best a layout may be worth to be gone on from, at first; falls to
// nothing.
static const double worse_at_first = 0.02;
// A complete layout whose costs are all alike cannot get better.
static const double cost_tolerance = 1e-12;
// Steps between two tellings of a better layout: about 10 ms.
static const double telling_steps = 1e7;

// Steps of work to order one piece, and to compare the nearness of two.
static const double order_steps = 100;
static const double nearness_steps = 1.5;

static int by_key(const void *left, const void *right)
{
    const Copy *a = left;
    const Copy *b = right;
    if (a->key != b->key) {
        return a->key < b->key ? 1 : -1;
    }
    return (a->piece > b->piece) - (a->piece < b->piece);
}

void tries_begin(Tries *tries, const LayoutTask *task, uint64_t seed, Arena *arena)
{
    *tries = (Tries){.task = task,
                     .seed = seed,
                     .all = ARENA_ARRAY(arena, Copy, LAYOUT_COPIES_MAX),
                     .order = ARENA_ARRAY(arena, Copy, LAYOUT_COPIES_MAX),
                     .kept = ARENA_ARRAY(arena, Laid, LAYOUT_COPIES_MAX)};
    tries->best.laid = ARENA_ARRAY(arena, Laid, LAYOUT_COPIES_MAX);
    tries->current.laid = ARENA_ARRAY(arena, Laid, LAYOUT_COPIES_MAX);
    int *wanted = ARENA_ARRAY(arena, int, task->piece_count + 1);
    for (int i = 0; i < task->piece_count; i++) {
        wanted[i] = task->pieces[i].demand;
    }
    for (int i = 0; i < task->locked_count; i++) {
        wanted[task->locked[i].piece]--;
    }
    for (int i = 0; i < task->piece_count; i++) {
        const double area_mm2 = fabs(ring_area_mm2(task->pieces[i].outline[0]));
        for (int copy = 0; copy < wanted[i]; copy++) {
            tries->all[tries->all_count++] = (Copy){i, area_mm2};
        }
    }
    qsort(tries->all, (size_t)tries->all_count, sizeof *tries->all, by_key);
}

static bool only_middles(const Tries *tries)
{
    return tries->model->work.done < tries->middles_until;
}

// Whether a piece finds room on an empty sheet, at any turn.
static bool fits_alone(Tries *tries, int piece)
{
    const Rule straight = {.along_x = 1, .along_y = 1};
    const Rule any_turn = {.along_x = 1, .along_y = 1, .tried = ALL_TURNS};
    Laid found;
    if (only_middles(tries)) {
        if (greedy_find(&tries->greedy, piece, &straight, &found)) {
            return true;
        }
        model_clear(tries->model); // other turns: a round of its own
    }
    return greedy_find(&tries->greedy, piece, &any_turn, &found) ||
           work_is_over(&tries->model->work);
}

void tries_find_attainable(Tries *tries)
{
    model_clear(tries->model);
    tries->attainable = 0;
    // Half of the most is left for the first layout.
    Work *work = &tries->model->work;
    const double most = work->most;
    work->most = most / 2;
    int asked = -1; // copies of a piece stand together
    bool fits = false;
    for (int i = 0; i < tries->all_count && !work->stopped; i++) {
        const int piece = tries->all[i].piece;
        if (piece != asked) {
            fits = fits_alone(tries, piece);
            asked = piece;
        }
        tries->attainable += fits ? tries->task->pieces[piece].value : 0;
    }
    work->most = most;
}

// The first rules are fixed, so that even a short search tries the plain ways: best
// leather first, then from each corner along each edge.
static Rule fixed_rule(int number)
{
    static const Rule rules[] = {
        {1, 0.02, 0.01, 0.02, ALL_TURNS, true}, {1, 0.3, 0.05, 0.01, ALL_TURNS, false},
        {0.1, 1, 0.1, 0.01, ALL_TURNS, false},  {0.1, 1, -0.1, 0.01, ALL_TURNS, false},
        {0.1, 0.1, 1, 0.01, ALL_TURNS, false},  {0.1, 0.1, -1, 0.01, ALL_TURNS, false},
        {0.1, -1, 0.1, 0.01, ALL_TURNS, false}, {0.1, -1, -0.1, 0.01, ALL_TURNS, false},
        {0.1, -0.1, 1, 0.01, ALL_TURNS, false}, {0.1, -0.1, -1, 0.01, ALL_TURNS, false},
    };
    enum { RULES = sizeof rules / sizeof rules[0] };
    return rules[number % RULES];
}
enum { FIXED_RULES = 10 };

// A direction to push to, and some of the turns off the middle: a try costs as much as
// the turns that it looks at.
static Rule drawn_rule(Random *random)
{
    static const double costs[] = {0, 0.1, 0.5, 2};
    static const double straights[] = {0, 0.01, 0.1};
    const double way_rad = random_between(random, 0, WHOLE_TURN_RAD);
    const bool middles = random_share(random) < 0.3;
    const uint64_t quarter = random_bits(random) & random_bits(random);
    return (Rule){.cost = costs[random_below(random, 4)],
                  .along_x = cos(way_rad),
                  .along_y = sin(way_rad),
                  .straight = straights[random_below(random, 3)],
                  .tried = middles ? 0 : quarter,
                  .any_sheet = random_below(random, 3) == 0};
}

static void order_all(Tries *tries, Random *random, double spread)
{
    tries->order_count = tries->all_count;
    tries->kept_count = 0;
    for (int i = 0; i < tries->all_count; i++) {
        tries->order[i] = tries->all[i];
        tries->order[i].key *= exp(spread * random_between(random, -1, 1));
    }
    qsort(tries->order, (size_t)tries->order_count, sizeof *tries->order, by_key);
}

static bool spent(const Tries *tries)
{
    return work_is_over(&tries->model->work) ||
           (tries->best.any && tries->model->work.done >= tries->model->work.limit);
}

bool tries_all_laid(const Tries *tries)
{
    return tries->best.count == tries->all_count;
}

static bool complete(const Tries *tries, const Arrangement *arrangement)
{
    return arrangement->any && arrangement->value >= tries->attainable * (1 - 1e-9);
}

static double middle_distance(const CellBox *a, const CellBox *b)
{
    return hypot(a->left + a->right - b->left - b->right, a->low + a->high - b->low - b->high);
}

static CellBox box_around(CellBox a, CellBox b)
{
    return (CellBox){a.left < b.left ? a.left : b.left, a.low < b.low ? a.low : b.low,
                     a.right > b.right ? a.right : b.right, a.high > b.high ? a.high : b.high};
}

static const CellBox no_cells = {0, 0, -1, -1};

// Takes some neighbours out of the current layout; the rest is kept. The windows are
// then the room that they left.
static void take_out(Tries *tries, Random *random, CellBox *windows)
{
    const Arrangement *current = &tries->current;
    CellBox cells[LAYOUT_COPIES_MAX];
    double far[LAYOUT_COPIES_MAX];
    for (int i = 0; i < current->count; i++) {
        cells[i] = model_cells(tries->model, current->laid[i]);
    }
    const int middle = random_below(random, current->count);
    const int out = 1 + random_below(random, current->count < OUT_MAX ? current->count : OUT_MAX);
    for (int i = 0; i < current->count; i++) {
        const bool near = current->laid[i].sheet == current->laid[middle].sheet;
        far[i] = near ? middle_distance(&cells[i], &cells[middle]) : 1e9;
    }
    for (int i = 0; i < tries->task->sheet_count; i++) {
        windows[i] = no_cells;
    }
    // All in order of nearness: the first go, and of the others those that block most of
    // the room come first, which saves work.
    tries->kept_count = 0;
    for (int k = 0; k < current->count; k++) {
        int nearest = 0;
        for (int i = 1; i < current->count; i++) {
            nearest = far[i] < far[nearest] ? i : nearest;
        }
        far[nearest] = HUGE_VAL;
        const Laid *laid = &current->laid[nearest];
        CellBox *window = &windows[laid->sheet];
        if (k < out) {
            *window = window->right < 0 ? cells[nearest] : box_around(*window, cells[nearest]);
        } else {
            tries->kept[tries->kept_count++] = *laid;
        }
    }
}

static void order_missing(Tries *tries, Random *random)
{
    int kept_of[LAYOUT_PIECES_MAX] = {0};
    for (int i = 0; i < tries->kept_count; i++) {
        kept_of[tries->kept[i].piece]++;
    }
    tries->order_count = 0;
    for (int i = 0; i < tries->all_count; i++) {
        if (kept_of[tries->all[i].piece]-- > 0) {
            continue;
        }
        tries->order[tries->order_count] = tries->all[i];
        tries->order[tries->order_count++].key *= exp(random_between(random, -4, 4));
    }
    qsort(tries->order, (size_t)tries->order_count, sizeof *tries->order, by_key);
}

static void lay_order(Tries *tries, const Rule *rule)
{
    Model *model = tries->model;
    for (int i = 0; i < tries->kept_count; i++) {
        model_lay(model, tries->kept[i]);
    }
    for (int i = 0; i < tries->order_count && !spent(tries); i++) {
        Laid found;
        if (greedy_find(&tries->greedy, tries->order[i].piece, rule, &found)) {
            model_lay(model, found);
        }
    }
    tries->layouts++;
}

static Arrangement weighed(const Tries *tries)
{
    const Model *model = tries->model;
    Arrangement result = {.laid = model->laid, .count = model->laid_count, .any = true};
    for (int i = 0; i < model->laid_count; i++) {
        result.value += tries->task->pieces[model->laid[i].piece].value;
        result.cost += model->laid[i].cost;
    }
    result.cost /= model->laid_count > 0 ? model->laid_count : 1;
    return result;
}

bool arrangement_is_better(const Arrangement *a, const Arrangement *b)
{
    const double slack = 1e-9 * fmax(a->value, b->value);
    return !b->any || a->value > b->value + slack ||
           (a->value >= b->value - slack && a->cost < b->cost - cost_tolerance);
}

static void keep(Arrangement *to, const Arrangement *from)
{
    Laid *laid = to->laid;
    memcpy(laid, from->laid, (size_t)from->count * sizeof *laid);
    *to = *from;
    to->laid = laid;
}

void tries_return_to_best(Tries *tries)
{
    keep(&tries->current, &tries->best);
    tries->started = true;
}

void tries_start_from(Tries *tries, const Placement *start, int count)
{
    Model *model = tries->model;
    int wanted[LAYOUT_PIECES_MAX] = {0};
    for (int i = 0; i < tries->all_count; i++) {
        wanted[tries->all[i].piece]++;
    }
    model_clear(model);
    for (int i = 0; i < count; i++) {
        const Placement *placement = &start[i];
        if (placement->locked || placement->piece < 0 ||
            placement->piece >= tries->task->piece_count || placement->sheet < 0 ||
            placement->sheet >= tries->task->sheet_count || wanted[placement->piece] <= 0) {
            continue;
        }
        Laid found;
        if (greedy_find_near(&tries->greedy, placement, &found)) {
            model_lay(model, found);
            wanted[placement->piece]--;
        }
    }
    const Arrangement built = weighed(tries);
    keep(&tries->best, &built);
    keep(&tries->current, &built);
    tries->started = true;
}

static void build(Tries *tries, Random *random, int number)
{
    Rule rule = number < FIXED_RULES ? fixed_rule(number) : drawn_rule(random);
    if (only_middles(tries)) {
        rule.tried = 0;
    }
    model_clear(tries->model);
    if ((number < FIXED_RULES && !tries->started) || tries->current.count == 0) {
        order_all(tries, random, number < FIXED_RULES ? 0 : 0.7);
    } else {
        CellBox windows[LAYOUT_SHEETS_MAX] = {{0, 0, -1, -1}};
        take_out(tries, random, windows);
        order_missing(tries, random);
        if (complete(tries, &tries->current)) {
            rule.cost = 5; // all is laid; now only better places count, wherever they are
        } else {
            for (int i = 0; i < tries->task->sheet_count; i++) {
                model_look_at(tries->model, i, windows[i]);
            }
        }
    }
    lay_order(tries, &rule);
    // With many pieces and a full sheet, putting them in order is all there is to do.
    const double count = tries->all_count;
    work_add(&tries->model->work, order_steps * count + nearness_steps * count * count);
}

// Record-to-record travel (Dueck 1993): what is not much worse than the best is gone on
// from, and ever less worse as the work is spent.
static bool worth_going_on(const Tries *tries, const Arrangement *built, double begun)
{
    const Work *work = &tries->model->work;
    const double left = fmax(1 - (work->done - begun) / (work->limit - begun), 0);
    const Arrangement *best = &tries->best;
    if (arrangement_is_better(built, &tries->current)) {
        return true;
    }
    if (complete(tries, best)) {
        return complete(tries, built) && built->cost < best->cost * (1 + worse_at_first * left);
    }
    return built->value > best->value * (1 - worse_at_first * left);
}

// Tells of a better layout, but not of each in a row of many. True when told.
static bool tell(Tries *tries)
{
    const double done = tries->model->work.done;
    if (!tries->improved || (tries->told > 0 && done - tries->told < telling_steps)) {
        return false;
    }
    tries->told = done;
    tries->improved(tries->improved_context);
    return true;
}

void tries_run(Tries *tries, uint64_t stream)
{
    const double begun = tries->model->work.done;
    int since_better = 0;
    bool untold = false;
    const Work *work = &tries->model->work;
    for (int i = 0; !spent(tries) || (!tries->best.any && !work->stopped); i++) {
        Random random = random_begin(tries->seed, (uint64_t)i, stream);
        build(tries, &random, i);
        const Arrangement built = weighed(tries);
        if (work->stopped && built.count == 0) {
            return;
        }
        since_better++;
        if (arrangement_is_better(&built, &tries->best)) {
            keep(&tries->best, &built);
            since_better = 0;
            untold = true;
        }
        untold = untold && !tell(tries);
        if (worth_going_on(tries, &built, begun)) {
            keep(&tries->current, &built);
        }
        if (complete(tries, &tries->best) &&
            (tries->best.cost <= cost_tolerance || since_better >= PATIENCE)) {
            return;
        }
    }
}
