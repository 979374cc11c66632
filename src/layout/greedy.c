#include "layout/greedy.h"
#include "base/units.h"

typedef struct Scan {
    const Rule *rule;
    const Places *places;
    double per_column; // what a cell to the right adds
    double per_row;
    double start; // what the pose adds wherever it lies
    double best;
    bool any; // a free place was seen
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
    scan->any = true;
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

// With costs every free place of a row is weighed. Returns how many.
static int scan_all(Scan *scan, int row)
{
    const Bitmap blocked = scan->places->blocked;
    const uint64_t *bits = bitmap_row(blocked, row);
    const double start = scan->start + scan->per_row * row;
    int weighed = 0;
    for (int word = scan->places->first_word; word <= scan->places->last_word; word++) {
        uint64_t free = bitmap_free(blocked, bits, word);
        while (free) {
            const int column = word * BITS_IN_WORD + __builtin_ctzll(free);
            free &= free - 1;
            weigh(scan, column, row, start + scan->per_column * column);
            weighed++;
        }
    }
    return weighed;
}

// Without, only the first or the last one can be the best.
static int scan_end(Scan *scan, int row)
{
    const Places *places = scan->places;
    const uint64_t *bits = bitmap_row(places->blocked, row);
    const bool from_right = scan->per_column < 0;
    const int words = places->last_word - places->first_word + 1;
    for (int i = 0; i < words; i++) {
        const int word = from_right ? places->last_word - i : places->first_word + i;
        const uint64_t free = bitmap_free(places->blocked, bits, word);
        if (free) {
            const int bit =
                from_right ? BITS_IN_WORD - 1 - __builtin_clzll(free) : __builtin_ctzll(free);
            const int column = word * BITS_IN_WORD + bit;
            weigh(scan, column, row, scan->start + scan->per_row * row + scan->per_column * column);
            return 1;
        }
    }
    return 0;
}

// Steps of work for a look at a pose, though no row has a place.
static const double asking_steps = 30;

// Looks at one pose on one sheet; true when it has a better place than *best.
static bool scan_pose(Greedy *greedy, int sheet, int pose_index, const Rule *rule, double *best,
                      Laid *found)
{
    Model *model = greedy->model;
    const Pose *pose = &model->poses[pose_index];
    const LatticePoint size = model->sheets[sheet].size;
    Places *places = model_places(model, sheet, pose_index);
    if (!places) {
        return false;
    }
    const double scale = model->cell / (double)(size.x > size.y ? size.x : size.y);
    Scan scan = {.rule = rule,
                 .places = places,
                 .per_column = rule->along_x * scale,
                 .per_row = rule->along_y * scale,
                 .best = *best,
                 .found = found};
    // The far edge counts: a place is as good as what it leaves.
    const double wide = (double)pose->size.x / model->cell;
    const double high = (double)pose->size.y / model->cell;
    scan.start = rule->straight * pose->off_middle + fmax(scan.per_column, 0) * wide +
                 fmax(scan.per_row, 0) * high +
                 fmax(-scan.per_column, 0) * (double)size.x / model->cell +
                 fmax(-scan.per_row, 0) * (double)size.y / model->cell;
    const double most_right = fmin(scan.per_column, 0) * (places->bare.columns - 1);
    const bool costs = places->cost && rule->cost > 0;
    double seen = 0;
    bool passed_over = false;
    for (int row = places->first_row; row <= places->last_row; row++) {
        // Costs are not negative, so whole rows can be passed over.
        if (scan.start + scan.per_row * row + most_right < scan.best) {
            seen += 5 + 3 * (costs ? scan_all(&scan, row) : scan_end(&scan, row));
        } else {
            passed_over = true;
        }
    }
    places->none = !scan.any && !passed_over;
    work_add(&model->work, asking_steps + seen);
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
        for (int pose = 0; pose < shape->pose_count && !work_is_over(&model->work); pose++) {
            const int index = shape->first_pose + pose;
            if (model->poses[index].off_middle > 0 && !((rule->tried >> (index % 64)) & 1)) {
                continue;
            }
            room |= scan_pose(greedy, sheet, shape->first_pose + pose, rule, &best_here, &here);
        }
        if (!room && !work_is_over(&model->work)) {
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

// The tried turn of a shape that is nearest to a given one.
static int nearest_pose(const Model *model, const Shape *shape, int symmetry, double turn_rad)
{
    int nearest = shape->first_pose;
    double least_rad = HUGE_VAL;
    for (int i = 0; i < shape->pose_count; i++) {
        const int pose = shape->first_pose + i;
        const double apart_rad = fabs(remainder(turn_rad - model->poses[pose].turn_rad,
                                                WHOLE_TURN_RAD / (symmetry > 0 ? symmetry : 1)));
        if (apart_rad < least_rad - 1e-12) {
            least_rad = apart_rad;
            nearest = pose;
        }
    }
    return nearest;
}

bool greedy_find_near(Greedy *greedy, const Placement *placement, Laid *found)
{
    enum { CELLS_AWAY = 6 };
    Model *model = greedy->model;
    const Piece *piece = &model->task->pieces[placement->piece];
    const Shape *shape = &model->shapes[model->shape_of[placement->piece]];
    const int index = nearest_pose(model, shape, piece->turn_symmetry, placement->motion.turn_rad);
    const Places *places = model_places(model, placement->sheet, index);
    if (!places) {
        return false;
    }
    const Pose *pose = &model->poses[index];
    const LatticePoint corner = model->sheets[placement->sheet].corner;
    const double x = placement->motion.x_mm * LATTICE_PER_MM + (double)(pose->corner.x - corner.x);
    const double y = placement->motion.y_mm * LATTICE_PER_MM + (double)(pose->corner.y - corner.y);
    const double column = x / model->cell;
    const double row = y / model->cell;
    double least = HUGE_VAL;
    for (int r = places->first_row; r <= places->last_row; r++) {
        for (int c = places->first_word * BITS_IN_WORD;
             fabs(r - row) <= CELLS_AWAY && c < places->blocked.columns; c++) {
            const double far = hypot(c - column, r - row);
            if (fabs(c - column) <= CELLS_AWAY && far < least &&
                !bitmap_get(places->blocked, c, r)) {
                least = far;
                *found = (Laid){placement->piece, placement->sheet, index, c, r, 0};
            }
        }
    }
    if (least < HUGE_VAL && places->cost) {
        found->cost =
            (double)places
                ->cost[(found->row / COST_STEP) * places->cost_columns + found->column / COST_STEP];
    }
    return least < HUGE_VAL;
}
