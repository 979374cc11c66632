#include "layout/place_pairs.h"

// Pairs are kept until the model takes so much; then they are made anew each time.
static const size_t pairs_kept_bytes = (size_t)400 << 20;

// Puts a span into a row's list, joined with those that it meets. Returns the new count.
static int join_span(Stride *spans, int count, Stride span)
{
    int kept = 0;
    for (int i = 0; i < count; i++) {
        if (spans[i].from <= span.to + 1 && span.from <= spans[i].to + 1) {
            span.from = span.from < spans[i].from ? span.from : spans[i].from;
            span.to = span.to > spans[i].to ? span.to : spans[i].to;
        } else {
            spans[kept++] = spans[i];
        }
    }
    spans[kept] = span;
    return kept + 1;
}

static Stride all_rows(const Model *model, Parts still, Parts moved)
{
    Stride rows = {0, -1};
    for (int i = 0; i < still.count; i++) {
        for (int k = 0; k < moved.count; k++) {
            const Stride here =
                rows_in_common(&still.items[i], &moved.items[k], model->bands_in_cell);
            if (here.from > here.to) {
                continue;
            }
            const bool first = rows.from > rows.to;
            rows.from = first || here.from < rows.from ? here.from : rows.from;
            rows.to = first || here.to > rows.to ? here.to : rows.to;
        }
    }
    return rows;
}

void model_make_spans(Model *model)
{
    int still = 0;
    int moved = 0;
    for (int i = 0; i < model->pose_count; i++) {
        const Pose *pose = &model->poses[i];
        moved = pose->outline[0].count > moved ? pose->outline[0].count : moved;
        for (int gap = 0; gap < model->gap_count; gap++) {
            still = pose->stamp[gap].count > still ? pose->stamp[gap].count : still;
        }
    }
    model->spans = ARENA_ARRAY(model->arena, Stride, (size_t)still * (size_t)moved + 1);
}

// Steps of work for two parts at one row: all bands that they have in common.
static double parts_steps(const Part *still)
{
    return 20 + still->count / 2.0;
}

// Spans of one row of a pair; returns how many.
static int pair_row(Model *model, Parts still, Parts moved, int row, Stride *spans)
{
    int count = 0;
    double steps = 0;
    for (int i = 0; i < still.count; i++) {
        for (int k = 0; k < moved.count; k++) {
            const Span span =
                parts_overlap(&still.items[i], &moved.items[k], row * model->bands_in_cell);
            const Stride columns = columns_within(span, model->cell);
            steps += parts_steps(&still.items[i]);
            if (columns.from <= columns.to) {
                count = join_span(spans, count, columns);
            }
        }
    }
    work_add(&model->work, steps);
    return count;
}

static int16_t short_of(int value)
{
    return (int16_t)(value < -COLUMNS_MAX  ? -COLUMNS_MAX
                     : value > COLUMNS_MAX ? COLUMNS_MAX
                                           : value);
}

// Where `moved` cannot lie beside `still`.
static Pair make_pair(Model *model, Parts still, Parts moved, Arena *arena)
{
    const Stride rows = all_rows(model, still, moved);
    Pair pair = {.first_row = rows.from,
                 .rows = rows.to - rows.from + 1,
                 .first = ARENA_ARRAY(arena, ColumnSpan, rows.to - rows.from + 2),
                 .all = {COLUMNS_MAX, -COLUMNS_MAX}};
    const int most = still.count * moved.count;
    if (most > 1) {
        pair.begin = ARENA_ARRAY(arena, int, pair.rows + 1);
    }
    Stride *spans = model->spans;
    int capacity = 0;
    int count = 0;
    for (int row = 0; row < pair.rows; row++) {
        const int here = pair_row(model, still, moved, rows.from + row, spans);
        pair.first[row] = (ColumnSpan){COLUMNS_MAX, -COLUMNS_MAX}; // empty
        for (int i = 0; i < here; i++) {
            const ColumnSpan span = {short_of(spans[i].from), short_of(spans[i].to)};
            if (span.from < pair.all.from) {
                pair.all.from = span.from;
            }
            if (span.to > pair.all.to) {
                pair.all.to = span.to;
            }
            if (i == 0) {
                pair.first[row] = span;
                continue;
            }
            pair.further = arena_room(arena, pair.further, count, &capacity, sizeof(ColumnSpan));
            pair.further[count++] = span;
        }
        if (pair.begin) {
            pair.begin[row + 1] = count;
        }
    }
    pair.begin = count > 0 ? pair.begin : NULL;
    return pair;
}

// A row of a pair costs what the parts of the still pose make it, as often as the moved one has
// parts; there are as many rows as both are high.
double model_pairs_steps(const Model *model)
{
    double still = 0;
    double still_rows = 0;
    double moved = 0;
    double moved_rows = 0;
    for (int i = 0; i < model->pose_count; i++) {
        const Pose *pose = &model->poses[i];
        if (!pose->finds_room) {
            continue;
        }
        const Parts stamp = pose->stamp[pose->gap];
        double steps = 0;
        for (int k = 0; k < stamp.count; k++) {
            steps += parts_steps(&stamp.items[k]);
        }
        still += steps;
        still_rows += steps * pose->cells_high;
        moved += pose->outline[0].count;
        moved_rows += (double)pose->outline[0].count * pose->cells_high;
    }
    return still_rows * moved + still * moved_rows;
}

Pair model_pair(Model *model, const Laid *laid, int gap, int pose_index, bool *kept)
{
    const Pose *pose = &model->poses[pose_index];
    const Pose *other = &model->poses[laid->pose];
    PairRow *row = &model->pairs[gap * model->pose_count + laid->pose];
    if (model->keeps && row->pairs && row->pairs[pose_index].first) {
        *kept = true;
        return row->pairs[pose_index];
    }
    *kept = model->keeps && arena_used_bytes(model->lasting) <= pairs_kept_bytes;
    if (*kept && !row->pairs) {
        row->pairs = ARENA_ARRAY(model->lasting, Pair, model->pose_count);
    }
    const double done = model->work.done;
    const Pair pair = make_pair(model, other->stamp[gap], pose->outline[0],
                                *kept ? model->lasting : model->arena);
    if (model->borrows && model->keeps) {
        model->work.done = done; // whether it was there depends on who asked before
    }
    if (*kept) {
        row->pairs[pose_index] = pair;
    }
    return pair;
}
