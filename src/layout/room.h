// Where one piece finds room among others that lie anywhere: its free places on the cells
// of a raster, all at once. What is free there is free in truth (layout/raster.h).
//
// The search's own model (layout/model.h) is faster, but its pieces lie on its cells.
#pragma once

#include "layout/field.h"
#include "layout/layout.h"
#include "layout/raster.h"

/// One piece in one turn. Cells are counted from the lower left of `width` x `height`.
typedef struct RoomPose {
    int piece;
    double turn_rad;
    int left; ///< of the cells, from the piece's own origin
    int low;
    int width;
    int height;
    Runs mask[LAYOUT_DEPTHS];
    int depth_count;
    Box deepest;  ///< of the deepest outline, from the piece's own origin
    Bitmap *bare; ///< for each sheet, what it blocks without other pieces; made when asked
} RoomPose;

typedef struct RoomSheet {
    Grid grid;
    Spread spread[LAYOUT_DEPTHS]; ///< off the sheet, or forbidden
    bool used[LAYOUT_DEPTHS];
    Spread taken;  ///< room_take()
    Bitmap sketch; ///< for one outline at a time
    Bitmap spoilt; ///< cells that are never left: off the sheet, forbidden at depth 0 or 1
    FieldSums field;
} RoomSheet;

typedef struct Room {
    const LayoutTask *task;
    double cell_mm;
    RoomSheet *sheets;
    RoomPose *poses;
    int pose_count;
    int pose_room;
    double kept_bytes; ///< of bare places
    double words;      ///< work done so far
    Arena *arena;
} Room;

Room *room_make(const LayoutTask *task, double cell_mm, Arena *arena);

/// The number of a piece's pose in a turn; -1 when it is wider than every sheet.
int room_pose(Room *room, int piece, double turn_rad);

/// Cells that a placement takes from others: its outline, grown by the gap.
Runs room_stamp(Room *room, const Placement *placement, Arena *keep);
/// Cells that it takes from what is left.
Runs room_body(Room *room, const Placement *placement, Arena *keep);

/// Begins questions about a sheet with these stamps on it.
void room_take(Room *room, int sheet, const Runs *stamps, int count);

/// Before room_blocked(): what is kept of a pose on a sheet goes into the room's arena.
void room_prepare(Room *room, int sheet, int pose);

/// Set: the pose's lower left cell cannot lie there. No rows when there is no place.
Bitmap room_blocked(Room *room, int sheet, int pose, Arena *scratch);

Motion room_motion(const Room *room, int sheet, int pose, int column, int row);

/// Cost of a pose at a place, by the box of its deepest outline.
double room_cost(const Room *room, int sheet, int pose, int column, int row);
