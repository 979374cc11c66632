#include "layout/model.h"

#include <limits.h>
#include <string.h>

static const double whole_turn_rad = 6.283185307179586;
// Poses of all shapes together, above which each interval is tried in its middle only.
enum { POSES_ENOUGH = 400, TURNS_TRIED_MAX = 17 };
// Within an interval, turns are tried no farther apart than this.
static const double turn_step_rad = 0.27;

typedef struct Turns {
    double turn_rad[LAYOUT_TURNS_MAX * TURNS_TRIED_MAX];
    double off_middle[LAYOUT_TURNS_MAX * TURNS_TRIED_MAX];
    int count;
} Turns;

static bool same_ring(Ring a, Ring b)
{
    return a.count == b.count &&
           (a.points == b.points ||
            memcmp(a.points, b.points, (size_t)a.count * sizeof *a.points) == 0);
}

static bool same_shape(const Piece *a, const Piece *b)
{
    if (a->depth_count != b->depth_count || a->turn_count != b->turn_count ||
        a->turn_symmetry != b->turn_symmetry || a->gap_mm != b->gap_mm) {
        return false;
    }
    for (int i = 0; i < a->turn_count; i++) {
        if (a->turns[i].from_rad != b->turns[i].from_rad ||
            a->turns[i].to_rad != b->turns[i].to_rad) {
            return false;
        }
    }
    for (int depth = 0; depth < a->depth_count; depth++) {
        if (!same_ring(a->outline[depth], b->outline[depth])) {
            return false;
        }
    }
    return true;
}

// A quarter turn that missed its exact value by rounding gets it back, so that
// straight pieces stay straight.
static double straightened(double turn_rad)
{
    const double quarter_rad = whole_turn_rad / 4;
    const double straight_rad = round(turn_rad / quarter_rad) * quarter_rad;
    return fabs(turn_rad - straight_rad) < 1e-10 ? straight_rad : turn_rad;
}

static void add_turn(Turns *turns, double turn_rad, double off_middle, int symmetry)
{
    const double period_rad = whole_turn_rad / symmetry;
    for (int i = 0; i < turns->count; i++) {
        const double apart_rad = fabs(remainder(turn_rad - turns->turn_rad[i], period_rad));
        if (apart_rad < 1e-9) {
            return;
        }
    }
    turns->turn_rad[turns->count] = straightened(turn_rad);
    turns->off_middle[turns->count] = off_middle;
    turns->count++;
}

// The middle of each interval first, then outward to both ends.
static Turns turns_to_try(const Piece *piece, bool middles_only)
{
    Turns turns = {.count = 0};
    for (int i = 0; i < piece->turn_count; i++) {
        const double from_rad = piece->turns[i].from_rad;
        const double half_rad = fmin(piece->turns[i].to_rad - from_rad, whole_turn_rad) / 2;
        if (piece->turn_symmetry == 0) { // any turn is as good as another
            add_turn(&turns, from_rad + half_rad, 0, 1);
            break;
        }
        add_turn(&turns, from_rad + half_rad, 0, piece->turn_symmetry);
        const int steps = middles_only ? 0 : (int)ceil(half_rad / turn_step_rad);
        const int taken = steps < TURNS_TRIED_MAX / 2 ? steps : TURNS_TRIED_MAX / 2;
        for (int step = 1; step <= taken && half_rad > 1e-9; step++) {
            const double share = (double)step / taken;
            add_turn(&turns, from_rad + half_rad - half_rad * share, share, piece->turn_symmetry);
            add_turn(&turns, from_rad + half_rad + half_rad * share, share, piece->turn_symmetry);
        }
    }
    return turns;
}

static int64_t lesser(int64_t a, int64_t b)
{
    return a < b ? a : b;
}

static int64_t greater(int64_t a, int64_t b)
{
    return a > b ? a : b;
}

// The judge rounds moved points to the lattice. A whole number of units further on they
// round alike, unless one lies so near the middle between two that rounding in the
// machine decides; then the pose is taken one unit larger.
static int doubt_units(Ring outline, double turn_rad)
{
    const MotionMatrix matrix = motion_matrix((Motion){0, 0, turn_rad});
    for (int i = 0; i < outline.count; i++) {
        const Point p = motion_apply(matrix, outline.points[i]);
        const double x = p.x * LATTICE_PER_MM;
        const double y = p.y * LATTICE_PER_MM;
        if (fabs(fabs(x - round(x)) - 0.5) < 1e-5 || fabs(fabs(y - round(y)) - 0.5) < 1e-5) {
            return 1;
        }
    }
    return 0;
}

static bool finds_room(const Model *model, LatticePoint size)
{
    for (int i = 0; i < model->task->sheet_count; i++) {
        if (size.x <= model->sheets[i].size.x && size.y <= model->sheets[i].size.y) {
            return true;
        }
    }
    return false;
}

static Parts pose_parts(Model *model, const Pose *pose, LatticeRing ring, int reach)
{
    Outlining outlining = {.grid = {pose->corner, model->cell / model->bands_in_cell},
                           .first = -INT_MAX / 4,
                           .last = INT_MAX / 4,
                           .scratch = model->arena};
    outlining_add(&outlining, ring, reach);
    outlining_fill(&outlining);
    work_add(&model->work, 60.0 * outlining.count);
    return outlining_parts(&outlining, model->arena);
}

static void make_pose(Model *model, const Piece *piece, Pose *pose)
{
    LatticeRing turned[LAYOUT_DEPTHS] = {{0}};
    int doubt[LAYOUT_DEPTHS];
    LatticePoint low = {INT64_MAX, INT64_MAX};
    LatticePoint high = {INT64_MIN, INT64_MIN};
    for (int depth = 0; depth < piece->depth_count; depth++) {
        doubt[depth] = doubt_units(piece->outline[depth], pose->turn_rad);
        turned[depth] =
            lattice_ring(piece->outline[depth], (Motion){0, 0, pose->turn_rad}, model->arena);
        low.x = lesser(low.x, turned[depth].min.x - doubt[depth]);
        low.y = lesser(low.y, turned[depth].min.y - doubt[depth]);
        high.x = greater(high.x, turned[depth].max.x + doubt[depth]);
        high.y = greater(high.y, turned[depth].max.y + doubt[depth]);
    }
    pose->corner = low;
    pose->size = (LatticePoint){high.x - low.x, high.y - low.y};
    pose->cells_wide = (int)(pose->size.x / model->cell) + 1;
    pose->cells_high = (int)(pose->size.y / model->cell) + 1;
    pose->gap = model_gap_index(model, piece->gap_mm);
    pose->depth_count = piece->depth_count;
    pose->finds_room = turned[0].count >= 3 && finds_room(model, pose->size);
    if (!pose->finds_room) {
        return; // no place is ever asked for; its bands could be of any number
    }
    for (int depth = 0; depth < piece->depth_count; depth++) {
        pose->outline[depth] = pose_parts(model, pose, turned[depth], doubt[depth]);
    }
    for (int gap = 0; gap < model->gap_count; gap++) {
        const int reach = model->gaps[gap] + doubt[0];
        pose->stamp[gap] =
            reach == doubt[0] ? pose->outline[0] : pose_parts(model, pose, turned[0], reach);
    }
    const LatticeRing deepest = turned[piece->depth_count - 1];
    pose->deepest = (Box){{(double)(deepest.min.x - low.x) / LATTICE_PER_MM,
                           (double)(deepest.min.y - low.y) / LATTICE_PER_MM},
                          {(double)(deepest.max.x - low.x) / LATTICE_PER_MM,
                           (double)(deepest.max.y - low.y) / LATTICE_PER_MM}};
}

static void find_shapes(Model *model)
{
    const LayoutTask *task = model->task;
    model->shapes = ARENA_ARRAY(model->arena, Shape, task->piece_count + 1);
    model->shape_of = ARENA_ARRAY(model->arena, int, task->piece_count + 1);
    for (int i = 0; i < task->piece_count; i++) {
        int shape = 0;
        while (shape < model->shape_count &&
               !same_shape(&task->pieces[model->shapes[shape].piece], &task->pieces[i])) {
            shape++;
        }
        model->shape_of[i] = shape;
        if (shape == model->shape_count) {
            model->shapes[model->shape_count++].piece = i;
        }
    }
}

static int count_turns(const Model *model, bool middles_only)
{
    int count = 0;
    for (int i = 0; i < model->shape_count; i++) {
        count += turns_to_try(&model->task->pieces[model->shapes[i].piece], middles_only).count;
    }
    return count;
}

void model_make_poses(Model *model)
{
    find_shapes(model);
    const bool middles_only = count_turns(model, false) > POSES_ENOUGH;
    model->poses = ARENA_ARRAY(model->arena, Pose, count_turns(model, middles_only) + 1);
    for (int i = 0; i < model->shape_count; i++) {
        Shape *shape = &model->shapes[i];
        const Piece *piece = &model->task->pieces[shape->piece];
        const Turns turns = turns_to_try(piece, middles_only);
        shape->first_pose = model->pose_count;
        shape->pose_count = turns.count;
        for (int turn = 0; turn < turns.count; turn++) {
            Pose *pose = &model->poses[model->pose_count++];
            pose->turn_rad = turns.turn_rad[turn];
            pose->off_middle = turns.off_middle[turn];
            make_pose(model, piece, pose);
        }
    }
}

// Cells on the largest sheet's box: about 10 mm on a whole hide.
static const double cells_on_sheet = 66e3;
// Cells on all sheets together; their maps then take about 50 MB.
static const double cells_in_all = 9e6;
// A step that all measures share is used when it gives cells of nearly the right size.
static const double finest_share = 0.4, coarsest_share = 1.25;

static double box_area_mm2(Ring ring)
{
    const Box box = ring_box(ring);
    return (box.max.x - box.min.x) * (box.max.y - box.min.y);
}

static double sheets_area_mm2(const LayoutTask *task)
{
    double area_mm2 = 0;
    for (int i = 0; i < task->sheet_count; i++) {
        area_mm2 += box_area_mm2(task->sheets[i].outline);
    }
    return area_mm2;
}

static double area_of_cell_mm2(int cell)
{
    return cell / LATTICE_PER_MM * (cell / LATTICE_PER_MM);
}

bool model_finds_room(const LayoutTask *task, int cell)
{
    return sheets_area_mm2(task) <= cells_in_all * area_of_cell_mm2(cell);
}

static int64_t common_divisor(int64_t a, int64_t b)
{
    while (b != 0) {
        const int64_t rest = a % b;
        a = b;
        b = rest;
    }
    return a < 0 ? -a : a;
}

// The greatest step that divides `step` and all of a ring's measures; 0 is no measure.
static int64_t shared_step(Ring ring, int64_t step)
{
    const Box box = ring_box(ring);
    for (int i = 0; i < ring.count && step != 1; i++) {
        const double x = (ring.points[i].x - box.min.x) * LATTICE_PER_MM;
        const double y = (ring.points[i].y - box.min.y) * LATTICE_PER_MM;
        if (fabs(x - round(x)) > 1e-6 || fabs(y - round(y)) > 1e-6) {
            return 1; // between two units
        }
        step = common_divisor(common_divisor(step, (int64_t)round(x)), (int64_t)round(y));
    }
    return step;
}

static int64_t task_step(const LayoutTask *task)
{
    int64_t step = 0;
    for (int i = 0; i < task->sheet_count && step != 1; i++) {
        step = shared_step(task->sheets[i].outline, step);
        step = common_divisor(step, (int64_t)ceil(task->sheets[i].gap_mm * LATTICE_PER_MM - 1e-6));
    }
    for (int i = 0; i < task->piece_count && step != 1; i++) {
        step = shared_step(task->pieces[i].outline[0], step);
    }
    return step;
}

// The divisor of a step that is nearest to the wanted cell, and best to halve; 0 when
// none is near.
static int fitting_cell(int64_t step, int wanted)
{
    int best = 0;
    double least = HUGE_VAL;
    for (int cell = (int)ceil(finest_share * wanted); cell <= coarsest_share * wanted; cell++) {
        if (step > 1 && step % cell == 0) {
            const double halves = cell % 16 == 0 ? 1 : cell % 4 == 0 ? 1.3 : 2;
            const double far = halves * (1 + fabs(log((double)cell / wanted)));
            best = far < least ? cell : best;
            least = fmin(far, least);
        }
    }
    return best;
}

int model_coarse_cell(const LayoutTask *task)
{
    double largest_mm2 = 0;
    double longest_mm = 0;
    for (int i = 0; i < task->sheet_count; i++) {
        const Box box = ring_box(task->sheets[i].outline);
        longest_mm = fmax(longest_mm, box.max.x - box.min.x);
        largest_mm2 = fmax(largest_mm2, box_area_mm2(task->sheets[i].outline));
    }
    const double wanted_mm =
        fmax(fmax(sqrt(largest_mm2 / cells_on_sheet), sqrt(sheets_area_mm2(task) / cells_in_all)),
             longest_mm * 5 / COLUMNS_MAX);
    const int wanted = (int)fmin(ceil(wanted_mm * LATTICE_PER_MM / 16) * 16, 1e8);
    const int fitting = fitting_cell(task_step(task), wanted > 16 ? wanted : 16);
    const bool finds_room =
        model_finds_room(task, fitting) && fitting >= longest_mm * LATTICE_PER_MM * 4 / COLUMNS_MAX;
    return fitting > 0 && finds_room ? fitting : wanted > 16 ? wanted : 16;
}
