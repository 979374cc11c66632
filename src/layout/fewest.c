#include "layout/fewest.h"

#include "base/random.h"
#include "layout/fewest_plan.h"
#include "layout/ranked.h"
#include "layout/result.h"

#include <string.h>

// Each sheet that is likely needed may be filled so many times: a few times as well as one
// sheet needs, more often only when there is more work than that.
static const double fills_of_sheet_least = 5;
static const double fills_of_sheet_most = 20;
static const double good_fill_work = 0.3;
// Share of a sheet that pieces are likely to use.
static const double likely_use = 0.55;
static const double least_saving = 1e-9; // of a price, to be a saving
static const double least_work = 1e-3;   // of one fill
// Fills of a set of sheets without less missing, after which another set is tried.
enum { PATIENCE = 8, PATIENCE_OF_SHEET = 3 };
// What stays missing becomes dearer, what does not cheaper again, down to its own worth.
static const double dearer = 1.15;
static const double cheaper = 0.98;
static const double dearest = 4;
static const double shaken_spread = 0.04; // of the order of sheets, once the best failed

typedef struct Set {
    int sheets[LAYOUT_SHEETS_MAX];
    int count;
    double price;
    double room_mm2;
    double shaken_mm2; // the same, of rooms shaken a little, so that sets differ
} Set;

typedef struct Fewest {
    const LayoutTask *task;
    const LayoutOptions *options;
    Filler filler;
    Random random;
    double *room_mm2;   // of each sheet
    double *shaken_mm2; // of each sheet, now
    bool *bound;        // of each sheet: something is locked there
    bool *begun;        // of each sheet: something else lay there from the start
    double *worth;      // of each piece, for a fill
    double *factor;     // of each piece, >= 1
    double *base;       // of each piece, without its factor
    double pieces_mm2;
    double fill_work;
    Plan best;
    Plan trial;
    Plan before; // the trial before a fill
} Fewest;

// ---- Work and worth

static bool spent(const Fewest *fewest)
{
    return fewest->filler.stopped || fewest->filler.done >= fewest->filler.limit;
}

static double piece_mm2(const Fewest *fewest, int piece)
{
    return fabs(ring_area_mm2(fewest->task->pieces[piece].outline[0]));
}

static void fill(Fewest *fewest, Plan *plan, int sheet)
{
    for (int i = 0; i < fewest->task->piece_count; i++) {
        fewest->worth[i] = fewest->base[i] * fewest->factor[i];
    }
    const double left = fewest->filler.limit - fewest->filler.done;
    plan_fill(&fewest->filler, plan, sheet, fewest->worth,
              fmax(fmin(fewest->fill_work, left), least_work));
}

static double lack(const Fewest *fewest, const Plan *plan)
{
    double lacking = 0;
    for (int i = 0; i < fewest->task->piece_count; i++) {
        lacking += plan->missing[i] * fewest->base[i] * fewest->factor[i];
    }
    return lacking;
}

static void change_prices(Fewest *fewest, const Plan *plan)
{
    for (int i = 0; i < fewest->task->piece_count; i++) {
        const double change = plan->missing[i] > 0 ? dearer : cheaper;
        fewest->factor[i] = fmin(fmax(fewest->factor[i] * change, 1), dearest);
    }
}

static void tell(const Fewest *fewest, const Plan *plan)
{
    if (fewest->options->improved) {
        const Layout layout = {
            .placements = plan->items, .count = plan->count, .missing = plan->missing};
        fewest->options->improved(fewest->options->improved_context, &layout);
    }
}

// ---- Sets of sheets

// All sheets, those with most room for their price first, shaken by `spread`.
static void order_sheets(Fewest *fewest, double spread, Ranked *offers)
{
    const LayoutTask *task = fewest->task;
    for (int i = 0; i < task->sheet_count; i++) {
        const double shake = exp(spread * random_between(&fewest->random, -1, 1));
        fewest->shaken_mm2[i] = shake * fewest->room_mm2[i];
        offers[i] = (Ranked){i, -fewest->shaken_mm2[i] / sheet_price(&task->sheets[i])};
    }
    ranked_sort(offers, task->sheet_count);
}

static void set_add(const Fewest *fewest, Set *set, int sheet)
{
    set->sheets[set->count++] = sheet;
    set->price += sheet_price(&fewest->task->sheets[sheet]);
    set->room_mm2 += fewest->room_mm2[sheet];
    set->shaken_mm2 += fewest->shaken_mm2[sheet];
}

static bool set_has(const Set *set, int sheet)
{
    for (int i = 0; i < set->count; i++) {
        if (set->sheets[i] == sheet) {
            return true;
        }
    }
    return false;
}

static void set_add_below(const Fewest *fewest, Set *set, int sheet, double price)
{
    const double with = set->price + sheet_price(&fewest->task->sheets[sheet]);
    if (!set_has(set, sheet) && with < price * (1 - least_saving)) {
        set_add(fewest, set, sheet);
    }
}

// The largest of some sets that cost less than `price`: all begin with what something is
// locked on, then with one sheet each, then go on in the offers' order.
static Set set_below(const Fewest *fewest, const Ranked *offers, double price)
{
    const int count = fewest->task->sheet_count;
    Set largest = {.count = 0};
    for (int first = 0; first < count; first++) {
        Set set = {.count = 0};
        for (int i = 0; i < count; i++) {
            if (fewest->bound[i]) {
                set_add(fewest, &set, i);
            }
        }
        set_add_below(fewest, &set, first, price);
        for (int i = 0; i < count; i++) {
            set_add_below(fewest, &set, offers[i].index, price);
        }
        if (set.shaken_mm2 > largest.shaken_mm2) {
            largest = set;
        }
    }
    return largest;
}

// ---- Filling

// One sheet after the other, as long as anything is missing: those first that something lies on
// from the start, as they are paid for.
static void fill_in_order(Fewest *fewest, Plan *plan)
{
    Ranked offers[LAYOUT_SHEETS_MAX];
    order_sheets(fewest, 0, offers);
    for (int begun = 1; begun >= 0; begun--) {
        for (int i = 0; i < fewest->task->sheet_count && !fewest->filler.stopped; i++) {
            const int sheet = offers[i].index;
            if (fewest->begun[sheet] == begun && !plan_complete(fewest->task, plan)) {
                fill(fewest, plan, sheet);
                tell(fewest, plan);
            }
        }
    }
}

// Clears one or two sheets of the set and fills them anew. True when less is missing; what
// makes more missing is taken back.
static bool refill(Fewest *fewest, Plan *plan, const Set *set)
{
    const int first = random_below(&fewest->random, set->count);
    const int second = random_below(&fewest->random, set->count);
    const bool one = first == second || random_below(&fewest->random, 3) == 0;
    plan_copy(fewest->task, plan, &fewest->before);
    plan_clear(plan, set->sheets[first]);
    if (!one) {
        plan_clear(plan, set->sheets[second]);
    }
    fill(fewest, plan, set->sheets[first]);
    if (!one && !fewest->filler.stopped) {
        fill(fewest, plan, set->sheets[second]);
    }
    const double now = lack(fewest, plan);
    const double then = lack(fewest, &fewest->before);
    if (fewest->filler.stopped || now > then * (1 + 1e-9)) {
        plan_copy(fewest->task, &fewest->before, plan);
        return false;
    }
    return now < then * (1 - 1e-9);
}

// Until nothing is missing. False when it gives up.
static bool repair(Fewest *fewest, Plan *plan, const Set *set)
{
    const int patience = PATIENCE + PATIENCE_OF_SHEET * set->count;
    int in_vain = 0;
    while (!plan_complete(fewest->task, plan)) {
        if (spent(fewest) || in_vain >= patience) {
            return false;
        }
        in_vain = refill(fewest, plan, set) ? 0 : in_vain + 1;
        change_prices(fewest, plan);
    }
    return true;
}

// Tries a set of sheets, from the best plan. True when all pieces found room.
static bool try_set(Fewest *fewest, const Set *set)
{
    Plan *plan = &fewest->trial;
    plan_copy(fewest->task, &fewest->best, plan);
    for (int i = 0; i < fewest->task->sheet_count; i++) {
        if (!set_has(set, i)) {
            plan_clear(plan, i);
        }
    }
    for (int i = 0; i < set->count && !spent(fewest); i++) {
        if (plan_count_on(plan, set->sheets[i]) == 0 && !plan_complete(fewest->task, plan)) {
            fill(fewest, plan, set->sheets[i]);
        }
    }
    return repair(fewest, plan, set);
}

static double best_price(const Fewest *fewest)
{
    return sheets_price(fewest->task, fewest->best.items, fewest->best.count);
}

// Ever cheaper sets, until the work is spent or the sheets left are too small together.
static void find_cheaper(Fewest *fewest)
{
    Ranked offers[LAYOUT_SHEETS_MAX];
    double spread = 0;
    while (!spent(fewest)) {
        const double price = best_price(fewest);
        order_sheets(fewest, 0, offers);
        const Set largest = set_below(fewest, offers, price);
        if (largest.room_mm2 < fewest->pieces_mm2 || largest.price >= price * (1 - least_saving)) {
            return;
        }
        order_sheets(fewest, spread, offers);
        const Set shaken = set_below(fewest, offers, price);
        const Set *set = shaken.room_mm2 < fewest->pieces_mm2 ? &largest : &shaken;
        fewest->filler.done += least_work; // even when there is nothing to fill
        const bool found = try_set(fewest, set);
        if (found) {
            plan_copy(fewest->task, &fewest->trial, &fewest->best);
            tell(fewest, &fewest->best);
        }
        spread = found ? 0 : shaken_spread;
    }
}

// ---- The whole

static double room_mm2(const Sheet *sheet)
{
    double room = fabs(ring_area_mm2(sheet->outline));
    for (int i = 0; i < sheet->hole_count; i++) {
        room -= fabs(ring_area_mm2(sheet->holes[i]));
    }
    return fmax(room, 1);
}

static void count_by(Fewest *fewest, bool value)
{
    for (int i = 0; i < fewest->task->piece_count; i++) {
        fewest->base[i] = value ? fewest->task->pieces[i].value : piece_mm2(fewest, i);
    }
}

static void prepare(Fewest *fewest, Arena *scratch)
{
    const LayoutTask *task = fewest->task;
    fewest->room_mm2 = ARENA_ARRAY(scratch, double, task->sheet_count + 1);
    fewest->shaken_mm2 = ARENA_ARRAY(scratch, double, task->sheet_count + 1);
    fewest->bound = ARENA_ARRAY(scratch, bool, task->sheet_count + 1);
    double stock_mm2 = 0;
    for (int i = 0; i < task->sheet_count; i++) {
        fewest->room_mm2[i] = room_mm2(&task->sheets[i]);
        stock_mm2 += fewest->room_mm2[i];
    }
    for (int i = 0; i < task->locked_count; i++) {
        fewest->bound[task->locked[i].sheet] = true;
    }
    fewest->worth = ARENA_ARRAY(scratch, double, task->piece_count + 1);
    fewest->factor = ARENA_ARRAY(scratch, double, task->piece_count + 1);
    fewest->base = ARENA_ARRAY(scratch, double, task->piece_count + 1);
    for (int i = 0; i < task->piece_count; i++) {
        fewest->factor[i] = 1;
        fewest->pieces_mm2 += task->pieces[i].demand * piece_mm2(fewest, i);
    }
    const double likely =
        ceil(fewest->pieces_mm2 * task->sheet_count / fmax(likely_use * stock_mm2, 1));
    const double for_sheet = fewest->filler.limit / fmax(fmin(likely, task->sheet_count), 1);
    fewest->fill_work = fmax(for_sheet / fills_of_sheet_most,
                             fmin(for_sheet / fills_of_sheet_least, good_fill_work));
    count_by(fewest, false);
    fewest->best = plan_make(task, scratch);
    plan_begin_from(task, fewest->options->start, fewest->options->start_count, &fewest->best,
                    scratch);
    fewest->begun = ARENA_ARRAY(scratch, bool, task->sheet_count + 1);
    for (int i = 0; i < task->sheet_count; i++) {
        fewest->begun[i] = plan_count_on(&fewest->best, i) > 0;
    }
    fewest->trial = plan_make(task, scratch);
    fewest->before = plan_make(task, scratch);
}

static double value_of(const Fewest *fewest, const Plan *plan)
{
    double value = 0;
    for (int i = 0; i < plan->count; i++) {
        value += fewest->task->pieces[plan->items[i].piece].value;
    }
    return value;
}

// There was no room for all on the whole stock: the most value.
static void find_room(Fewest *fewest)
{
    const LayoutTask *task = fewest->task;
    Set all = {.count = 0};
    for (int i = 0; i < task->sheet_count; i++) {
        set_add(fewest, &all, i);
    }
    count_by(fewest, true);
    Plan *plan = &fewest->trial;
    plan_copy(task, &fewest->best, plan);
    while (all.count > 0 && !spent(fewest) && !plan_complete(task, plan)) {
        (void)refill(fewest, plan, &all);
        change_prices(fewest, plan);
        if (value_of(fewest, plan) > value_of(fewest, &fewest->best)) {
            plan_copy(task, plan, &fewest->best);
            tell(fewest, plan);
        }
    }
    count_by(fewest, false);
}

static void look(Fewest *fewest)
{
    Plan *begun = &fewest->before;
    plan_copy(fewest->task, &fewest->best, begun);
    fill_in_order(fewest, &fewest->best);
    if (value_of(fewest, &fewest->best) < value_of(fewest, begun)) { // large ones for many
        plan_copy(fewest->task, begun, &fewest->best);
    }
    if (!plan_complete(fewest->task, &fewest->best)) {
        find_room(fewest);
    }
    if (plan_complete(fewest->task, &fewest->best)) {
        find_cheaper(fewest);
    }
}

bool fewest_run(const LayoutTask *task, LayoutOptions options, const Progress *progress,
                Arena *keep, Arena *scratch, Layout *layout, Problems *problems)
{
    const ArenaMark mark = arena_mark(scratch);
    Fewest *fewest = ARENA_NEW(scratch, Fewest);
    fewest->task = task;
    fewest->options = &options;
    fewest->random = random_begin(options.seed, 0, 0);
    fewest->filler = (Filler){.task = task,
                              .progress = progress,
                              .seed = options.seed,
                              .limit = options.work > 0 ? options.work : 1.0,
                              .keep = keep,
                              .scratch = scratch};
    fewest->filler.stopped = !progress_report(progress, "laying the pieces", 0);
    prepare(fewest, scratch);
    look(fewest);
    const bool found = fewest->best.count > 0 || !fewest->filler.stopped;
    if (found) {
        (void)result_make(task, fewest->best.items, fewest->best.count, keep, scratch, layout);
        layout->work = fewest->filler.done;
    } else {
        problems_say(problems, PROBLEM_CANCELLED, "layout",
                     "stopped before the first piece was laid");
    }
    arena_rewind(scratch, mark);
    return found;
}
