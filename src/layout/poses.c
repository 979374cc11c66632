#include "layout/model.h"

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
        a->turn_symmetry != b->turn_symmetry) {
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

static Box box_union(Box a, Box b)
{
    return (Box){{fmin(a.min.x, b.min.x), fmin(a.min.y, b.min.y)},
                 {fmax(a.max.x, b.max.x), fmax(a.max.y, b.max.y)}};
}

// Cells on a grid whose corner is the piece's own origin.
static Grid pose_grid(const Pose *pose, int margin, double cell_mm)
{
    return (Grid){.corner = {(pose->left - margin) * cell_mm, (pose->low - margin) * cell_mm},
                  .cell_mm = cell_mm,
                  .columns = pose->width + 2 * margin,
                  .rows = pose->height + 2 * margin};
}

static void make_stamp(Model *model, Pose *pose, Ring outline)
{
    const double reach_mm = model->gap_mm + SAFE_MM;
    pose->margin = (int)ceil(reach_mm / model->cell_mm) + 1;
    const Grid grid = pose_grid(pose, pose->margin, model->cell_mm);
    pose->stamped = bitmap_make(grid.columns, grid.rows, model->arena);
    raster_area(grid, (Polygon){.outer = outline}, reach_mm, pose->stamped, model->arena);
    pose->stamp = bitmap_runs(pose->stamped, model->arena);
}

static bool finds_room(const Model *model, const Pose *pose)
{
    for (int i = 0; i < model->task->sheet_count; i++) {
        const Grid grid = model->sheets[i].grid;
        if (pose->width <= grid.columns && pose->height <= grid.rows) {
            return true;
        }
    }
    return false;
}

static void make_pose(Model *model, const Piece *piece, Pose *pose)
{
    Ring turned[LAYOUT_DEPTHS] = {0};
    Box box = {{HUGE_VAL, HUGE_VAL}, {-HUGE_VAL, -HUGE_VAL}};
    for (int depth = 0; depth < piece->depth_count; depth++) {
        turned[depth] =
            ring_moved(piece->outline[depth], (Motion){0, 0, pose->turn_rad}, model->arena);
        pose->deepest = ring_box(turned[depth]);
        box = box_union(box, pose->deepest);
    }
    pose->left = (int)floor((box.min.x - SAFE_MM) / model->cell_mm);
    pose->low = (int)floor((box.min.y - SAFE_MM) / model->cell_mm);
    pose->width = (int)floor((box.max.x + SAFE_MM) / model->cell_mm) - pose->left + 1;
    pose->height = (int)floor((box.max.y + SAFE_MM) / model->cell_mm) - pose->low + 1;
    pose->depth_count = piece->depth_count;
    if (!finds_room(model, pose)) {
        return; // no place is ever asked for; its masks could be of any size
    }
    const Grid grid = pose_grid(pose, 0, model->cell_mm);
    for (int depth = 0; depth < piece->depth_count; depth++) {
        Bitmap mask = bitmap_make(grid.columns, grid.rows, model->arena);
        raster_area(grid, (Polygon){.outer = turned[depth]}, SAFE_MM, mask, model->arena);
        pose->mask[depth] = bitmap_runs(mask, model->arena);
    }
    make_stamp(model, pose, turned[0]);
    work_add(&model->work, 50.0 * grid.columns * grid.rows / 8);
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
