#include "layout/stream.h"

#include "layout/place_pairs.h"

enum { PASSES = 3 };
// Share of the work left that a pass may spend while a finer one can follow.
static const double pass_share = 0.5;
// Half the cells: twice the rows, of twice as many bands, and pairs to be made anew.
static const double finer_cost = 16;
// With less work than all pairs of all turns would take, so large a share of it goes to
// the middles of the turns alone.
static const double middles_share = 0.75;

static void set_down(Stream *stream)
{
    for (int i = 0; i < stream->tries.best.count; i++) {
        stream->motions[i] = model_motion(&stream->model, stream->tries.best.laid[i]);
    }
}

static void tell(void *context)
{
    Stream *stream = context;
    set_down(stream);
    stream->improved(stream->improved_context, stream);
}

// Places the best layout on a model whose cells are half as large. On finer bands no
// stretch is longer, so what was free stays free.
static void carry_over(Stream *stream)
{
    Arrangement *best = &stream->tries.best;
    for (int i = 0; i < best->count; i++) {
        best->laid[i].column *= 2;
        best->laid[i].row *= 2;
    }
    tries_return_to_best(&stream->tries);
}

// One pass on cells of one size. Spends a share of the work left when a finer pass can
// follow, else all. True when it can.
static bool pass(Stream *stream, int number, Arena *scratch)
{
    const ArenaMark mark = arena_mark(scratch);
    Model *model = &stream->model;
    Tries *tries = &stream->tries;
    const double limit = stream->work.limit;
    const double begun = stream->work.done;
    const int cell = model_coarse_cell(stream->task) >> number;
    tries->model = model;
    tries->greedy = greedy_begin(model, stream->task, scratch);
    model_make(stream->task, stream->view, cell, stream->work, scratch, model);
    if (number == 0 && limit < model_pairs_steps(model)) {
        tries->middles_until = middles_share * limit;
    }
    if (number > 0) {
        carry_over(stream);
    }
    tries_find_attainable(tries);
    if (number == 0 && stream->start) {
        tries_start_from(tries, stream->start, stream->start_count);
    }
    const double left = limit - model->work.done;
    const bool finer = number + 1 < PASSES && cell % 2 == 0 &&
                       model_finds_room(stream->task, cell / 2) &&
                       finer_cost * (model->work.done - begun) <= left / 4;
    model->work.limit = finer ? model->work.done + pass_share * left : limit;
    tries_run(tries, (uint64_t)number);
    set_down(stream);
    stream->cell_mm = cell / LATTICE_PER_MM;
    stream->work = model->work;
    stream->work.limit = limit;
    arena_rewind(scratch, mark);
    return finer && !stream->work.stopped && !tries_all_laid(tries);
}

void stream_run(Stream *stream, Arena *scratch)
{
    if (stream->improved) {
        stream->tries.improved = tell;
        stream->tries.improved_context = stream;
    }
    if (stream->task->sheet_count == 0 || stream->tries.all_count == 0) {
        stream->tries.best.any = true; // nothing to lay, or nowhere: the empty layout
        return;
    }
    // Coarse cells first; finer ones only while something is missing.
    bool again = true;
    for (int i = 0; again; i++) {
        again = pass(stream, i, scratch);
    }
}
