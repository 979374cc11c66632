#include "layout/poses.h"
#include "base/units.h"

#include <limits.h>
#include <string.h>

// A piece in more parts than this gets narrow gaps closed: what a pair costs grows with the
// product of both.
enum { PARTS_MOST = 128 };
// Within an interval, turns are tried no farther apart than this.
static const double turn_step_rad = 0.27;

static bool same_ring(Ring a, Ring b)
{
    return a.count == b.count &&
           (a.points == b.points ||
            memcmp(a.points, b.points, (size_t)a.count * sizeof *a.points) == 0);
}

bool poses_same_shape(const Piece *a, const Piece *b)
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
    const double quarter_rad = WHOLE_TURN_RAD / 4;
    const double straight_rad = round(turn_rad / quarter_rad) * quarter_rad;
    return fabs(turn_rad - straight_rad) < 1e-10 ? straight_rad : turn_rad;
}

static void add_turn(Turns *turns, double turn_rad, double off_middle, int symmetry)
{
    const double period_rad = WHOLE_TURN_RAD / symmetry;
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
Turns poses_turns(const Piece *piece, bool middles_only)
{
    Turns turns = {.count = 0};
    for (int i = 0; i < piece->turn_count; i++) {
        const double from_rad = piece->turns[i].from_rad;
        const double half_rad = fmin(piece->turns[i].to_rad - from_rad, WHOLE_TURN_RAD) / 2;
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

static Parts pose_parts(Model *model, const Pose *pose, LatticeRing ring, int reach, Arena *scratch)
{
    const ArenaMark mark = arena_mark(scratch);
    Outlining outlining = {.grid = {pose->corner, model->cell / model->bands_in_cell},
                           .first = -INT_MAX / 4,
                           .last = INT_MAX / 4,
                           .scratch = scratch};
    outlining_add(&outlining, ring, reach);
    outlining_fill(&outlining);
    work_add(&model->work, 60.0 * outlining.count);
    const Parts parts = outlining_few_parts(&outlining, PARTS_MOST, model->arena);
    arena_rewind(scratch, mark);
    return parts;
}

static void make_pose(Model *model, const Piece *piece, Pose *pose, Arena *scratch)
{
    const ArenaMark mark = arena_mark(scratch);
    LatticeRing turned[LAYOUT_DEPTHS] = {{0}};
    int doubt[LAYOUT_DEPTHS];
    LatticePoint low = {INT64_MAX, INT64_MAX};
    LatticePoint high = {INT64_MIN, INT64_MIN};
    for (int depth = 0; depth < piece->depth_count; depth++) {
        doubt[depth] = doubt_units(piece->outline[depth], pose->turn_rad);
        turned[depth] =
            lattice_ring(piece->outline[depth], (Motion){0, 0, pose->turn_rad}, scratch);
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
        arena_rewind(scratch, mark);
        return; // no place is ever asked for; its bands could be of any number
    }
    for (int depth = 0; depth < piece->depth_count; depth++) {
        pose->outline[depth] = pose_parts(model, pose, turned[depth], doubt[depth], scratch);
    }
    for (int gap = 0; gap < model->gap_count; gap++) {
        const int reach = model->gaps[gap] + doubt[0];
        pose->stamp[gap] = reach == doubt[0] ? pose->outline[0]
                                             : pose_parts(model, pose, turned[0], reach, scratch);
    }
    const LatticeRing deepest = turned[piece->depth_count - 1];
    pose->deepest = (Box){{(double)(deepest.min.x - low.x) / LATTICE_PER_MM,
                           (double)(deepest.min.y - low.y) / LATTICE_PER_MM},
                          {(double)(deepest.max.x - low.x) / LATTICE_PER_MM,
                           (double)(deepest.max.y - low.y) / LATTICE_PER_MM}};
    arena_rewind(scratch, mark);
}

static void find_shapes(Model *model)
{
    const LayoutTask *task = model->task;
    model->shapes = ARENA_ARRAY(model->arena, Shape, task->piece_count + 1);
    model->shape_of = ARENA_ARRAY(model->arena, int, task->piece_count + 1);
    for (int i = 0; i < task->piece_count; i++) {
        int shape = 0;
        while (shape < model->shape_count &&
               !poses_same_shape(&task->pieces[model->shapes[shape].piece], &task->pieces[i])) {
            shape++;
        }
        model->shape_of[i] = shape;
        if (shape == model->shape_count) {
            model->shapes[model->shape_count++].piece = i;
        }
    }
}

void model_make_poses(Model *model, Arena *scratch)
{
    find_shapes(model);
    const PoseSums sums = poses_sums(model->task);
    model->poses = ARENA_ARRAY(model->arena, Pose, sums.poses + 1);
    for (int i = 0; i < model->shape_count; i++) {
        Shape *shape = &model->shapes[i];
        const Piece *piece = &model->task->pieces[shape->piece];
        const Turns turns = poses_turns(piece, sums.middles_only);
        shape->first_pose = model->pose_count;
        shape->pose_count = turns.count;
        for (int turn = 0; turn < turns.count; turn++) {
            Pose *pose = &model->poses[model->pose_count++];
            pose->turn_rad = turns.turn_rad[turn];
            pose->off_middle = turns.off_middle[turn];
            make_pose(model, piece, pose, scratch);
        }
    }
}
