#include "layout/search.h"

#include "base/random.h"
#include "layout/greedy.h"
#include "layout/strip.h"
#include "layout/task.h"

#include <stdlib.h>
#include <string.h>

// Words of counted work in one unit: about one second of a laptop's core.
static const double words_in_unit = 1.6e9;
// Layouts without a better one after which a complete layout is good enough.
enum { PATIENCE = 400, PASSES = 3 };
// Share of the work left that a pass may spend while a finer one can follow.
static const double pass_share = 0.5;
// Half the cells: four times as many, under masks of twice as many runs.
static const double finer_cost = 8;
// A complete layout whose costs are all alike cannot get better.
static const double cost_tolerance = 1e-12;

typedef struct Best {
    Laid *laid;
    Motion *motions; // of the same, as long as there is no model of their cells
    int count;
    double value;
    double cost;
    bool any;
} Best;

// One copy that is to be laid, with the key that it is sorted by.
typedef struct Copy {
    int piece;
    double key; // greater first
} Copy;

typedef struct Search {
    Model model;
    Greedy greedy;
    const LayoutTask *task;
    uint64_t seed;
    Copy *all; // every copy that is not locked, largest first
    int all_count;
    Copy *order; // of the layout at hand
    int order_count;
    Laid *kept;
    int kept_count;
    Best best;
    double attainable; // value of all that fits an empty sheet
    SearchTally tally;
} Search;

static int by_key(const void *left, const void *right)
{
    const Copy *a = left;
    const Copy *b = right;
    if (a->key != b->key) {
        return a->key < b->key ? 1 : -1;
    }
    return (a->piece > b->piece) - (a->piece < b->piece);
}

static double piece_area_mm2(const Search *search, int piece)
{
    return fabs(ring_area_mm2(search->task->pieces[piece].outline[0]));
}

static void list_copies(Search *search, Arena *arena)
{
    const LayoutTask *task = search->task;
    int *wanted = ARENA_ARRAY(arena, int, task->piece_count + 1);
    for (int i = 0; i < task->piece_count; i++) {
        wanted[i] = task->pieces[i].demand;
    }
    for (int i = 0; i < task->locked_count; i++) {
        wanted[task->locked[i].piece]--;
    }
    search->all = ARENA_ARRAY(arena, Copy, LAYOUT_COPIES_MAX);
    search->order = ARENA_ARRAY(arena, Copy, LAYOUT_COPIES_MAX);
    search->kept = ARENA_ARRAY(arena, Laid, LAYOUT_COPIES_MAX);
    search->best.laid = ARENA_ARRAY(arena, Laid, LAYOUT_COPIES_MAX);
    search->best.motions = ARENA_ARRAY(arena, Motion, LAYOUT_COPIES_MAX);
    for (int i = 0; i < task->piece_count; i++) {
        for (int copy = 0; copy < wanted[i]; copy++) {
            search->all[search->all_count++] = (Copy){i, piece_area_mm2(search, i)};
        }
    }
    qsort(search->all, (size_t)search->all_count, sizeof *search->all, by_key);
}

// The value of what fits an empty sheet: no search can place more.
static void find_attainable(Search *search)
{
    model_clear(&search->model);
    search->attainable = 0;
    const Rule rule = {.along_x = 1, .along_y = 1};
    int asked = -1; // copies of a piece stand together
    bool fits = false;
    for (int i = 0; i < search->all_count && !search->model.work.stopped; i++) {
        const int piece = search->all[i].piece;
        if (piece != asked) {
            Laid found;
            fits = greedy_find(&search->greedy, piece, &rule, &found);
            asked = piece;
        }
        search->attainable += fits ? search->task->pieces[piece].value : 0;
    }
}

// The first rules are fixed, so that even a short search tries the plain ways: best
// leather first, then from each corner along each edge.
static Rule fixed_rule(int number)
{
    static const Rule rules[] = {
        {1, 0.02, 0.01, 0.02, true},  {1, 0.3, 0.05, 0.01, false},  {0.1, 1, 0.1, 0.01, false},
        {0.1, 1, -0.1, 0.01, false},  {0.1, 0.1, 1, 0.01, false},   {0.1, 0.1, -1, 0.01, false},
        {0.1, -1, 0.1, 0.01, false},  {0.1, -1, -0.1, 0.01, false}, {0.1, -0.1, 1, 0.01, false},
        {0.1, -0.1, -1, 0.01, false},
    };
    enum { RULES = sizeof rules / sizeof rules[0] };
    return rules[number % RULES];
}
enum { FIXED_RULES = 10 };

static Rule drawn_rule(Random *random)
{
    static const double costs[] = {0, 0.1, 0.5, 2};
    static const double straights[] = {0, 0.01, 0.1};
    const double minor = random_between(random, -0.3, 0.3);
    const double major = random_below(random, 2) ? 1 : -1;
    const bool along_x = random_below(random, 2) == 0;
    return (Rule){.cost = costs[random_below(random, 4)],
                  .along_x = along_x ? major : minor,
                  .along_y = along_x ? minor : major,
                  .straight = straights[random_below(random, 3)],
                  .any_sheet = random_below(random, 3) == 0};
}

static void order_all(Search *search, Random *random, double spread)
{
    search->order_count = search->all_count;
    search->kept_count = 0;
    for (int i = 0; i < search->all_count; i++) {
        search->order[i] = search->all[i];
        search->order[i].key *= exp(spread * random_between(random, -1, 1));
    }
    qsort(search->order, (size_t)search->order_count, sizeof *search->order, by_key);
}

// Takes some neighbours out of the best layout, to be laid anew with all that is
// missing.
static void order_part(Search *search, Random *random)
{
    const Best *best = &search->best;
    const Laid *middle = &best->laid[random_below(random, best->count)];
    const int out = 1 + random_below(random, best->count < 5 ? best->count : 5);
    double far[LAYOUT_COPIES_MAX];
    bool taken[LAYOUT_COPIES_MAX] = {false};
    for (int i = 0; i < best->count; i++) {
        const Laid *laid = &best->laid[i];
        far[i] = laid->sheet == middle->sheet
                     ? hypot(laid->column - middle->column, laid->row - middle->row)
                     : 1e6;
    }
    for (int k = 0; k < out; k++) {
        int nearest = -1;
        for (int i = 0; i < best->count; i++) {
            if (!taken[i] && (nearest < 0 || far[i] < far[nearest])) {
                nearest = i;
            }
        }
        taken[nearest] = true;
    }
    int kept_of[LAYOUT_PIECES_MAX] = {0};
    search->kept_count = 0;
    for (int i = 0; i < best->count; i++) {
        if (!taken[i]) {
            search->kept[search->kept_count++] = best->laid[i];
            kept_of[best->laid[i].piece]++;
        }
    }
    search->order_count = 0;
    for (int i = 0; i < search->all_count; i++) {
        if (kept_of[search->all[i].piece]-- > 0) {
            continue;
        }
        search->order[search->order_count] = search->all[i];
        search->order[search->order_count++].key *= exp(random_between(random, -0.7, 0.7));
    }
    qsort(search->order, (size_t)search->order_count, sizeof *search->order, by_key);
}

static bool spent(const Search *search)
{
    return search->model.work.stopped ||
           (search->best.any && search->model.work.done >= search->model.work.limit);
}

static void lay_order(Search *search, const Rule *rule)
{
    Model *model = &search->model;
    model_clear(model);
    for (int i = 0; i < search->kept_count; i++) {
        model_lay(model, search->kept[i]);
    }
    for (int i = 0; i < search->order_count && !spent(search); i++) {
        Laid found;
        if (greedy_find(&search->greedy, search->order[i].piece, rule, &found)) {
            model_lay(model, found);
        }
    }
    search->tally.layouts++;
}

// Keeps what was laid if it is better: more value, then less cost. True if so.
static bool keep_if_better(Search *search)
{
    const Model *model = &search->model;
    double value = 0;
    double cost = 0;
    for (int i = 0; i < model->laid_count; i++) {
        value += search->task->pieces[model->laid[i].piece].value;
        cost += model->laid[i].cost;
    }
    cost /= model->laid_count > 0 ? model->laid_count : 1;
    Best *best = &search->best;
    const double slack = 1e-9 * fmax(value, best->value);
    const bool better = !best->any || value > best->value + slack ||
                        (value >= best->value - slack && cost < best->cost - cost_tolerance);
    if (better && (model->laid_count > 0 || !model->work.stopped)) {
        memcpy(best->laid, model->laid, (size_t)model->laid_count * sizeof *best->laid);
        best->count = model->laid_count;
        best->value = value;
        best->cost = cost;
        best->any = true;
        return true;
    }
    return false;
}

// Whether nothing is missing at all: finer cells cannot place more.
static bool all_laid(const Search *search)
{
    return search->best.count == search->all_count;
}

static bool complete(const Search *search)
{
    return search->best.any && search->best.value >= search->attainable * (1 - 1e-9);
}

static void look(Search *search, uint64_t stream)
{
    int since_better = 0;
    for (int i = 0; !spent(search); i++) {
        Random random = random_begin(search->seed, (uint64_t)i, stream);
        Rule rule = fixed_rule(i);
        if (i >= FIXED_RULES) {
            rule = drawn_rule(&random);
        }
        if (i >= FIXED_RULES && search->best.count > 0 && random_share(&random) < 0.6) {
            order_part(search, &random);
            if (complete(search)) {
                rule.cost = 5; // all is laid; now only better places count
            }
        } else {
            order_all(search, &random, i < FIXED_RULES ? 0 : 0.7);
        }
        lay_order(search, &rule);
        since_better = keep_if_better(search) ? 0 : since_better + 1;
        if (complete(search) && (search->best.cost <= cost_tolerance || since_better >= PATIENCE)) {
            return;
        }
    }
}

// The judge has the last word: what it refuses is not handed out. Locked placements
// stand first and were accepted before.
static int drop_refused(const LayoutTask *task, Layout *layout, Arena *scratch)
{
    int refused = 0;
    LayoutFault fault;
    while (layout_check(task, layout->placements, layout->count, scratch, &fault, 1) > 0) {
        int worst = fault.placement;
        if (fault.kind == LAYOUT_OVERLAP || fault.kind == LAYOUT_GAP) {
            worst = worst > fault.other ? worst : fault.other;
        }
        for (int i = worst; i + 1 < layout->count; i++) {
            layout->placements[i] = layout->placements[i + 1];
        }
        layout->count--;
        refused++;
    }
    return refused;
}

static double placement_cost(const LayoutTask *task, const Placement *placement, Arena *scratch)
{
    const ArenaMark mark = arena_mark(scratch);
    const Piece *piece = &task->pieces[placement->piece];
    const Ring deepest =
        ring_moved(piece->outline[piece->depth_count - 1], placement->motion, scratch);
    const double cost = field_ring_mean(task->sheets[placement->sheet].field, deepest);
    arena_rewind(scratch, mark);
    return cost;
}

static int hand_out(const Search *search, Arena *keep, Arena *scratch, Layout *layout)
{
    const LayoutTask *task = search->task;
    *layout = (Layout){
        .placements = ARENA_ARRAY(keep, Placement, task->locked_count + search->best.count + 1),
        .missing = ARENA_ARRAY(keep, int, task->piece_count + 1)};
    for (int i = 0; i < task->locked_count; i++) {
        layout->placements[layout->count] = task->locked[i];
        layout->placements[layout->count++].locked = true;
    }
    for (int i = 0; i < search->best.count; i++) {
        const Laid laid = search->best.laid[i];
        layout->placements[layout->count++] = (Placement){
            .piece = laid.piece, .sheet = laid.sheet, .motion = search->best.motions[i]};
    }
    const int refused = drop_refused(task, layout, scratch);
    for (int i = 0; i < task->piece_count; i++) {
        layout->missing[i] = task->pieces[i].demand;
    }
    for (int i = 0; i < layout->count; i++) {
        layout->missing[layout->placements[i].piece]--;
        layout->value += task->pieces[layout->placements[i].piece].value;
        layout->cost += placement_cost(task, &layout->placements[i], scratch) / layout->count;
    }
    return refused;
}

static const Taken *locked_outlines(const LayoutTask *task, Arena *arena)
{
    Taken *taken = ARENA_ARRAY(arena, Taken, task->locked_count + 1);
    for (int i = 0; i < task->locked_count; i++) {
        const Placement *locked = &task->locked[i];
        taken[i] = (Taken){locked->sheet, ring_moved(task->pieces[locked->piece].outline[0],
                                                     locked->motion, arena)};
    }
    return taken;
}

// Places the best layout on a model whose cells are half as large. A half cell's mask
// lies within the whole cell's, so what was free stays free.
static void carry_over(Search *search)
{
    const Model *model = &search->model;
    for (int i = 0; i < search->best.count; i++) {
        Laid *laid = &search->best.laid[i];
        laid->column = 2 * laid->column + model->poses[laid->pose].left;
        laid->row = 2 * laid->row + model->poses[laid->pose].low;
    }
}

// Leaves the best layout without cells: as motions, and as origins to carry over.
static void set_down(Search *search)
{
    for (int i = 0; i < search->best.count; i++) {
        Laid *laid = &search->best.laid[i];
        search->best.motions[i] = model_motion(&search->model, *laid);
        model_origin(&search->model, *laid, &laid->column, &laid->row);
    }
}

// One pass on cells of one size, from the best layout of the pass before. Spends a
// share of the work left when a finer pass can follow, else all. True when it can.
static bool pass(Search *search, int number, ModelView view, Work *work, Arena *scratch)
{
    const ArenaMark mark = arena_mark(scratch);
    Model *model = &search->model;
    const double limit = work->limit;
    const double begun = work->done;
    const double cell_mm = model_coarse_cell_mm(search->task) / (1 << number);
    search->greedy = greedy_begin(model, search->task, scratch);
    model_make(search->task, view, cell_mm, *work, scratch, model);
    carry_over(search);
    find_attainable(search);
    const double left = limit - model->work.done;
    const bool finer = number + 1 < PASSES && model_finds_room(search->task, cell_mm / 2) &&
                       finer_cost * (model->work.done - begun) <= left / 4;
    model->work.limit = finer ? model->work.done + pass_share * left : limit;
    look(search, (uint64_t)number);
    set_down(search);
    search->tally.cell_mm = cell_mm;
    search->tally.poses = model->pose_count;
    *work = model->work;
    work->limit = limit;
    arena_rewind(scratch, mark);
    return finer && !work->stopped && !all_laid(search);
}

// Coarse cells first; finer ones only while something is missing.
static void pass_all(Search *search, ModelView view, Work *work, Arena *scratch)
{
    if (search->task->sheet_count == 0 || search->all_count == 0) {
        search->best.any = true; // nothing to lay, or nowhere: the empty layout
        return;
    }
    bool again = true;
    for (int i = 0; again; i++) {
        again = pass(search, i, view, work, scratch);
    }
}

bool search_run(const LayoutTask *task, LayoutOptions options, const Progress *progress,
                Arena *keep, Arena *scratch, SearchResult *result, Problems *problems)
{
    const ArenaMark mark = arena_mark(scratch);
    if (!task_check(task, scratch, problems)) {
        arena_rewind(scratch, mark);
        return false;
    }
    Search *search = ARENA_NEW(scratch, Search);
    search->task = task;
    search->seed = options.seed;
    list_copies(search, scratch);
    Work work = {.progress = progress,
                 .limit = words_in_unit * (options.work > 0 ? options.work : 1.0)};
    const ModelView view = {.taken = locked_outlines(task, scratch),
                            .taken_count = task->locked_count};
    work.stopped = !progress_report(progress, "laying the pieces", 0);
    if (!work.stopped) {
        pass_all(search, view, &work, scratch);
    }
    const bool found = search->best.any;
    if (found) {
        search->tally.refused = hand_out(search, keep, scratch, &result->layout);
        search->tally.work = work.done / words_in_unit;
        result->tally = search->tally;
    } else {
        problems_say(problems, PROBLEM_CANCELLED, "layout",
                     "stopped before the first piece was laid");
    }
    arena_rewind(scratch, mark);
    return found;
}

bool layout_search(const LayoutTask *task, LayoutOptions options, const Progress *progress,
                   Arena *keep, Arena *scratch, Layout *layout, Problems *problems)
{
    if (task->aim == LAYOUT_SHORTEST_STRIP) {
        return task_check(task, scratch, problems) &&
               strip_run(task, options, progress, keep, scratch, layout, problems);
    }
    SearchResult result = {0};
    if (!search_run(task, options, progress, keep, scratch, &result, problems)) {
        return false;
    }
    *layout = result.layout;
    return true;
}
