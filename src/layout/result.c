#include "layout/result.h"

#include "layout/measure.h"

#include <string.h>

double sheet_price(const Sheet *sheet)
{
    return sheet->price > 0 ? sheet->price : 1;
}

double sheets_price(const LayoutTask *task, const Placement *placements, int count)
{
    bool used[LAYOUT_SHEETS_MAX] = {false};
    double price = 0;
    for (int i = 0; i < count; i++) {
        const int sheet = placements[i].sheet;
        price += used[sheet] ? 0 : sheet_price(&task->sheets[sheet]);
        used[sheet] = true;
    }
    return price;
}

// The judge has the last word: what it refuses is not handed out.
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

int result_make(const LayoutTask *task, const Placement *placements, int count, Arena *keep,
                Arena *scratch, Layout *layout)
{
    *layout = (Layout){.placements = ARENA_ARRAY(keep, Placement, count + 1),
                       .count = count,
                       .missing = ARENA_ARRAY(keep, int, task->piece_count + 1)};
    if (count > 0) {
        memcpy(layout->placements, placements, (size_t)count * sizeof *placements);
    }
    const int refused = drop_refused(task, layout, scratch);
    for (int i = 0; i < task->piece_count; i++) {
        layout->missing[i] = task->pieces[i].demand;
    }
    for (int i = 0; i < layout->count; i++) {
        layout->missing[layout->placements[i].piece]--;
        layout->value += task->pieces[layout->placements[i].piece].value;
        layout->cost += measure_cost(task, &layout->placements[i], scratch) / layout->count;
    }
    layout->price = sheets_price(task, layout->placements, layout->count);
    return refused;
}
