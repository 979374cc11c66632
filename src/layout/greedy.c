#include "layout/greedy.h"

typedef struct Scan {
    const Rule *rule;
    const Places *places;
    int cell_height;
    double per_column; // what a cell to the right adds
    double per_row;
    double start; // what the pose adds wherever it lies
    double best;
    Laid *found;
} Scan;

Greedy greedy_begin(Model *model, const LayoutTask *task, Arena *arena)
{
    const int count = task->piece_count * task->sheet_count; // at least the shapes'
    return (Greedy){.model = model, .full = ARENA_ARRAY(arena, uint64_t, count + 1)};
}

static void weigh(Scan *scan, int column, int row, double score)
{
    const Places *places = scan->places;
    double cost = 0;
    if (places->cost) {
        cost = (double)places->cost[(row / COST_STEP) * places->cost_columns + column / COST_STEP];
        score += scan->rule->cost * cost;
    }
    if (score < scan->best) {
        scan->best = score;
        scan->found->column = column;
        scan->found->row = row;
        scan->found->cost = cost;
    }
}

// Returns how many free places were weighed.
static int scan_row(Scan *scan, int row)
{
    const Bitmap blocked = scan->places->blocked;
    const uint64_t *bits = bitmap_row(blocked, row);
    const double start = scan->start + scan->per_row * row;
    int weighed = 0;
    for (int word = 0; word < blocked.words; word++) {
        uint64_t free = ~bits[word];
        if (word + 1 == blocked.words) {
            free &= ~UINT64_C(0) >> ((64 - blocked.columns % 64) % 64);
        }
        while (free) {
            const int column = word * 64 + __builtin_ctzll(free);
            free &= free - 1;
            weigh(scan, column, row, start + scan->per_column * column);
            weighed++;
        }
    }
    return weighed;
}

// Looks at one pose on one sheet; true when it has a better place than *best.
static bool scan_pose(Greedy *greedy, int sheet, int pose_index, const Rule *rule, double *best,
                      Laid *found)
{
    Model *model = greedy->model;
    const Pose *pose = &model->poses[pose_index];
    const Grid grid = model->sheets[sheet].grid;
    const double scale = 1.0 / (grid.columns > grid.rows ? grid.columns : grid.rows);
    Scan scan = {.rule = rule,
                 .places = model_places(model, sheet, pose_index),
                 .per_column = rule->along_x * scale,
                 .per_row = rule->along_y * scale,
                 .best = *best,
                 .found = found};
    // The far edge counts: a place is as good as what it leaves.
    scan.start = rule->straight * pose->off_middle + fmax(scan.per_column, 0) * pose->width +
                 fmax(scan.per_row, 0) * pose->height + fmax(-scan.per_column, 0) * grid.columns +
                 fmax(-scan.per_row, 0) * grid.rows;
    const Bitmap blocked = scan.places->blocked;
    const double most_right = fmin(scan.per_column, 0) * (blocked.columns - 1);
    double seen = 0;
    for (int row = 0; row < blocked.rows; row++) {
        // Costs are not negative, so whole rows can be passed over.
        if (scan.start + scan.per_row * row + most_right < scan.best) {
            seen += blocked.words + 2 * scan_row(&scan, row);
        }
    }
    work_add(&model->work, seen);
    if (scan.best >= *best) {
        return false;
    }
    *best = scan.best;
    found->sheet = sheet;
    found->pose = pose_index;
    return true;
}

bool greedy_find(Greedy *greedy, int piece, const Rule *rule, Laid *found)
{
    Model *model = greedy->model;
    const int sheet_count = model->task->sheet_count;
    const int shape_index = model->shape_of[piece];
    const Shape *shape = &model->shapes[shape_index];
    double best = HUGE_VAL;
    bool any = false;
    for (int sheet = 0; sheet < sheet_count && !(any && !rule->any_sheet); sheet++) {
        uint64_t *full = &greedy->full[shape_index * sheet_count + sheet];
        if (*full == model->round) {
            continue;
        }
        bool room = false;
        double best_here = HUGE_VAL;
        Laid here = {.piece = piece};
        for (int pose = 0; pose < shape->pose_count && !model->work.stopped; pose++) {
            room |= scan_pose(greedy, sheet, shape->first_pose + pose, rule, &best_here, &here);
        }
        if (!room && !model->work.stopped) {
            *full = model->round;
        }
        if (room && best_here < best) {
            best = best_here;
            *found = here;
            any = true;
        }
    }
    return any;
}
