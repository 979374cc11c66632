#include "layout/room.h"

#include <string.h>

// Runs longer than this are beyond what a spread can answer for.
enum { LONGEST_RUN = (1 << SPREAD_LEVELS) - 1 };
// Bare places are kept until they take so much; then they are found anew each time.
static const double kept_bytes_most = 32e6;

static Grid sheet_grid(const Sheet *sheet, double cell_mm)
{
    const Box box = ring_box(sheet->outline);
    Grid grid = {.cell_mm = cell_mm};
    // On the lattice, so that moved points round as little as possible.
    grid.corner.x = floor(box.min.x * 100) / 100 - 0.05;
    grid.corner.y = floor(box.min.y * 100) / 100 - 0.05;
    grid.columns = (int)((box.max.x - grid.corner.x) / cell_mm) + 1;
    grid.rows = (int)((box.max.y - grid.corner.y) / cell_mm) + 1;
    return grid;
}

static void or_into(Bitmap to, Bitmap from)
{
    bitmap_or_at(to, from, 0, 0);
}

static void make_sheet(Room *room, int index)
{
    const Sheet *sheet = &room->task->sheets[index];
    RoomSheet *made = &room->sheets[index];
    made->grid = sheet_grid(sheet, room->cell_mm);
    made->field = field_sums(sheet->field, room->arena);
    made->sketch = bitmap_make(made->grid.columns, made->grid.rows, room->arena);
    made->spoilt = bitmap_make(made->grid.columns, made->grid.rows, room->arena);
    const int columns = made->grid.columns;
    const int longest = columns < LONGEST_RUN ? columns : LONGEST_RUN;
    made->taken = spread_make(columns, made->grid.rows, longest, room->arena);
    for (int depth = 0; depth < LAYOUT_DEPTHS; depth++) {
        const PolygonSet forbidden = sheet->forbidden[depth];
        made->used[depth] = depth == 0 || forbidden.count > 0;
        if (!made->used[depth]) {
            continue;
        }
        made->spread[depth] = spread_make(columns, made->grid.rows, longest, room->arena);
        const ArenaMark mark = arena_mark(room->arena);
        Bitmap map = bitmap_make(columns, made->grid.rows, room->arena);
        for (int i = 0; i < forbidden.count; i++) {
            raster_area(made->grid, forbidden.items[i], SAFE_MM, map, room->arena);
        }
        if (depth == 0) {
            raster_outside(made->grid, sheet->outline, map, room->arena);
            for (int i = 0; i < sheet->hole_count; i++) {
                raster_area(made->grid, (Polygon){.outer = sheet->holes[i]}, SAFE_MM, map,
                            room->arena);
            }
        }
        if (depth <= 1) {
            or_into(made->spoilt, map);
        }
        spread_fill(&made->spread[depth], map);
        arena_rewind(room->arena, mark);
        room->words += 20.0 * (double)spread_words(&made->spread[depth]);
    }
}

Room *room_make(const LayoutTask *task, double cell_mm, Arena *arena)
{
    Room *room = ARENA_NEW(arena, Room);
    *room = (Room){.task = task,
                   .cell_mm = cell_mm,
                   .sheets = ARENA_ARRAY(arena, RoomSheet, task->sheet_count + 1),
                   .arena = arena};
    for (int i = 0; i < task->sheet_count; i++) {
        make_sheet(room, i);
    }
    return room;
}

static bool finds_room(const Room *room, const RoomPose *pose)
{
    for (int i = 0; i < room->task->sheet_count; i++) {
        const Grid grid = room->sheets[i].grid;
        if (pose->width <= grid.columns && pose->height <= grid.rows &&
            pose->width <= LONGEST_RUN) {
            return true;
        }
    }
    return false;
}

static Box box_union(Box a, Box b)
{
    return (Box){{fmin(a.min.x, b.min.x), fmin(a.min.y, b.min.y)},
                 {fmax(a.max.x, b.max.x), fmax(a.max.y, b.max.y)}};
}

// The pose's cells and its outlines in its turn.
static void turn_outlines(const Room *room, RoomPose *pose, Ring *turned)
{
    const Piece *piece = &room->task->pieces[pose->piece];
    Box box = {{HUGE_VAL, HUGE_VAL}, {-HUGE_VAL, -HUGE_VAL}};
    for (int depth = 0; depth < piece->depth_count; depth++) {
        turned[depth] =
            ring_moved(piece->outline[depth], (Motion){0, 0, pose->turn_rad}, room->arena);
        pose->deepest = ring_box(turned[depth]);
        box = box_union(box, pose->deepest);
    }
    pose->left = (int)floor((box.min.x - SAFE_MM) / room->cell_mm);
    pose->low = (int)floor((box.min.y - SAFE_MM) / room->cell_mm);
    pose->width = (int)floor((box.max.x + SAFE_MM) / room->cell_mm) - pose->left + 1;
    pose->height = (int)floor((box.max.y + SAFE_MM) / room->cell_mm) - pose->low + 1;
}

int room_pose(Room *room, int piece, double turn_rad)
{
    for (int i = 0; i < room->pose_count; i++) {
        if (room->poses[i].piece == piece && fabs(room->poses[i].turn_rad - turn_rad) < 1e-12) {
            return i;
        }
    }
    RoomPose pose = {
        .piece = piece, .turn_rad = turn_rad, .depth_count = room->task->pieces[piece].depth_count};
    Ring turned[LAYOUT_DEPTHS] = {0};
    turn_outlines(room, &pose, turned);
    if (!finds_room(room, &pose)) {
        return -1;
    }
    const Grid grid = {.corner = {pose.left * room->cell_mm, pose.low * room->cell_mm},
                       .cell_mm = room->cell_mm,
                       .columns = pose.width,
                       .rows = pose.height};
    for (int depth = 0; depth < pose.depth_count; depth++) {
        Bitmap mask = bitmap_make(grid.columns, grid.rows, room->arena);
        raster_area(grid, (Polygon){.outer = turned[depth]}, SAFE_MM, mask, room->arena);
        pose.mask[depth] = bitmap_runs(mask, room->arena);
    }
    pose.bare = ARENA_ARRAY(room->arena, Bitmap, room->task->sheet_count + 1);
    room->poses = arena_room(room->arena, room->poses, room->pose_count, &room->pose_room,
                             sizeof *room->poses);
    room->poses[room->pose_count] = pose;
    room->words += 10.0 * grid.columns * grid.rows;
    return room->pose_count++;
}

static Runs rastered(Room *room, const Placement *placement, double reach_mm, Arena *keep)
{
    const RoomSheet *sheet = &room->sheets[placement->sheet];
    const Bitmap sketch = sheet->sketch;
    const ArenaMark mark = arena_mark(room->arena);
    const Ring outline =
        ring_moved(room->task->pieces[placement->piece].outline[0], placement->motion, room->arena);
    memset(sketch.bits, 0, bitmap_words(sketch) * sizeof *sketch.bits);
    raster_area(sheet->grid, (Polygon){.outer = outline}, reach_mm, sketch, room->arena);
    arena_rewind(room->arena, mark);
    room->words += 20.0 * (double)bitmap_words(sketch);
    return bitmap_runs(sketch, keep);
}

Runs room_stamp(Room *room, const Placement *placement, Arena *keep)
{
    // On the safe side of every pair that the placement may be in.
    double gap_mm = room->task->sheets[placement->sheet].gap_mm;
    for (int i = 0; i < room->task->piece_count; i++) {
        gap_mm = fmax(gap_mm, room->task->pieces[i].gap_mm);
    }
    return rastered(room, placement, gap_mm + 2 * SAFE_MM, keep);
}

Runs room_body(Room *room, const Placement *placement, Arena *keep)
{
    return rastered(room, placement, SAFE_MM, keep);
}

void room_take(Room *room, int sheet_index, const Runs *stamps, int count)
{
    RoomSheet *sheet = &room->sheets[sheet_index];
    const ArenaMark mark = arena_mark(room->arena);
    Bitmap map = bitmap_make(sheet->grid.columns, sheet->grid.rows, room->arena);
    for (int i = 0; i < count; i++) {
        for (int k = 0; k < stamps[i].count; k++) {
            bitmap_set(map, stamps[i].items[k]);
        }
        room->words += 4.0 * stamps[i].count;
    }
    spread_fill(&sheet->taken, map);
    room->words += (double)spread_words(&sheet->taken);
    arena_rewind(room->arena, mark);
}

static Bitmap bare_places(Room *room, int sheet_index, const RoomPose *pose, Arena *keep)
{
    const RoomSheet *sheet = &room->sheets[sheet_index];
    Bitmap bare = bitmap_make(sheet->grid.columns - pose->width + 1,
                              sheet->grid.rows - pose->height + 1, keep);
    for (int depth = 0; depth < pose->depth_count; depth++) {
        if (sheet->used[depth]) {
            spread_block(&sheet->spread[depth], pose->mask[depth], bare);
            room->words += 2.0 * pose->mask[depth].count * (double)bitmap_words(bare);
        }
    }
    return bare;
}

static bool fits_box(const RoomSheet *sheet, const RoomPose *pose)
{
    return pose->width <= sheet->grid.columns && pose->height <= sheet->grid.rows;
}

void room_prepare(Room *room, int sheet, int pose_index)
{
    RoomPose *pose = &room->poses[pose_index];
    Bitmap *bare = &pose->bare[sheet];
    if (!bare->bits && fits_box(&room->sheets[sheet], pose) && room->kept_bytes < kept_bytes_most) {
        *bare = bare_places(room, sheet, pose, room->arena);
        room->kept_bytes += 8.0 * (double)bitmap_words(*bare);
    }
}

Bitmap room_blocked(Room *room, int sheet_index, int pose_index, Arena *scratch)
{
    const RoomSheet *sheet = &room->sheets[sheet_index];
    const RoomPose *pose = &room->poses[pose_index];
    if (!fits_box(sheet, pose)) {
        return (Bitmap){0};
    }
    const Bitmap bare = pose->bare[sheet_index];
    Bitmap blocked;
    if (bare.bits) {
        blocked = bitmap_make(bare.columns, bare.rows, scratch);
        bitmap_copy(blocked, bare);
    } else {
        blocked = bare_places(room, sheet_index, pose, scratch);
    }
    spread_block(&sheet->taken, pose->mask[0], blocked);
    room->words += 2.0 * pose->mask[0].count * (double)bitmap_words(blocked);
    return blocked;
}

Motion room_motion(const Room *room, int sheet, int pose_index, int column, int row)
{
    const Grid grid = room->sheets[sheet].grid;
    const RoomPose *pose = &room->poses[pose_index];
    return (Motion){grid.corner.x + (column - pose->left) * grid.cell_mm,
                    grid.corner.y + (row - pose->low) * grid.cell_mm, pose->turn_rad};
}

double room_cost(const Room *room, int sheet, int pose_index, int column, int row)
{
    const RoomPose *pose = &room->poses[pose_index];
    const Motion motion = room_motion(room, sheet, pose_index, column, row);
    const Point at = {motion.x_mm, motion.y_mm};
    return field_box_mean(&room->sheets[sheet].field, (Box){point_plus(pose->deepest.min, at),
                                                            point_plus(pose->deepest.max, at)});
}
