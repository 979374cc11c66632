// Places for one piece among the others of the trial.
#include "base/units.h"
#include "layout/finish_parts.h"

static void offer(Candidates *candidates, Candidate candidate)
{
    if (candidates->count == CANDIDATES &&
        candidate.score >= candidates->items[CANDIDATES - 1].score) {
        return;
    }
    int at = candidates->count < CANDIDATES ? candidates->count++ : CANDIDATES - 1;
    for (; at > 0 && candidates->items[at - 1].score > candidate.score; at--) {
        candidates->items[at] = candidates->items[at - 1];
    }
    candidates->items[at] = candidate;
}

// One search for places of one piece.
typedef struct Scan {
    Finish *finish;
    int index;
    const Corner *corner; // or NULL: what the stage asks for
    double scale;         // of the sheet at hand: makes places count from 0 to about 1
    double off_rad;       // of the pose at hand
    Point centre;         // of the pose at hand, from its own origin
    double most_cost;
    Candidates *found;
} Scan;

int finish_turns(const Finish *finish, int index, double most_off_rad, double *turns_rad)
{
    const Placement *placement = &finish->placements[index];
    const Piece *piece = &finish->task->pieces[placement->piece];
    static const double shares[] = {0, -0.5, 0.5, -1, 1};
    int count = 0;
    turns_rad[count++] = placement->motion.turn_rad;
    if (piece->turn_symmetry == 0) {
        return count;
    }
    for (int i = 0; i < piece->turn_count; i++) {
        const double from_rad = piece->turns[i].from_rad;
        const double half_rad = fmin(piece->turns[i].to_rad - from_rad, WHOLE_TURN_RAD) / 2;
        for (int k = 0; k < (half_rad > 1e-9 ? 5 : 1); k++) {
            turns_rad[count++] = from_rad + half_rad + shares[k] * half_rad;
        }
    }
    int kept = 0;
    for (int i = 0; i < count; i++) {
        bool again = measure_off_middle_rad(piece, turns_rad[i]) > most_off_rad + 1e-9;
        for (int k = 0; k < kept; k++) {
            again |= fabs(remainder(turns_rad[i] - turns_rad[k],
                                    WHOLE_TURN_RAD / piece->turn_symmetry)) < 1e-9;
        }
        if (!again) {
            turns_rad[kept++] = turns_rad[i];
        }
    }
    return kept;
}

// How far from its next partner; partners that are lifted off do not count.
static double partner_score(const Finish *finish, int index, Point centre, double turn_rad,
                            int sheet)
{
    const Piece *piece = &finish->task->pieces[finish->placements[index].piece];
    double least = HUGE_VAL;
    for (int i = 0; i < finish->count; i++) {
        const Placement *other = &finish->trial[i];
        const Piece *kind = &finish->task->pieces[other->piece];
        if (i == index || finish->out[i] || other->sheet != sheet ||
            kind->partners != piece->partners) {
            continue;
        }
        const Point there =
            motion_apply(motion_matrix(other->motion), finish->centres[other->piece]);
        const double turned_rad =
            piece->turn_symmetry == 1
                ? fabs(remainder(turn_rad - other->motion.turn_rad, WHOLE_TURN_RAD))
                : 0;
        least = fmin(least, point_distance(centre, there) + finish->size_mm * turned_rad / PI);
    }
    return least;
}

static double score_of(const Scan *scan, Placement placement, double cost)
{
    const Finish *finish = scan->finish;
    const Point origin = {placement.motion.x_mm, placement.motion.y_mm};
    const Point centre = point_plus(scan->centre, origin);
    const double dear = cost / fmax(finish->highest_cost, 1e-30);
    if (scan->corner) {
        return placement.sheet + scan->corner->cost * dear +
               scan->scale * (scan->corner->along_x * centre.x + scan->corner->along_y * centre.y);
    }
    switch (finish->order[finish->stage]) {
    case LAYOUT_WISH_COST:
        return cost;
    case LAYOUT_WISH_STRAIGHT:
        return 10 * scan->off_rad + dear;
    case LAYOUT_WISH_PARTNERS:
        return partner_score(finish, scan->index, centre, placement.motion.turn_rad,
                             placement.sheet);
    case LAYOUT_WISH_RECTANGLE:
    case LAYOUT_WISH_REMNANT:
    case LAYOUT_WISH_FEW_PARTS:
    case LAYOUT_WISH_CUTS:
    case LAYOUT_WISH_COUNT:
        break;
    }
    return -point_distance(centre, finish->left[placement.sheet].middle);
}

static bool is_of_remnants(LayoutWish wish)
{
    return wish == LAYOUT_WISH_RECTANGLE || wish == LAYOUT_WISH_REMNANT ||
           wish == LAYOUT_WISH_FEW_PARTS;
}

// What is free in a word of the blocked places; of corners, only those that have something
// beside them as well as below or above.
static uint64_t free_places(Bitmap blocked, int row, int word, bool corners)
{
    const uint64_t all = ~UINT64_C(0);
    const uint64_t *bits = bitmap_row(blocked, row);
    const bool last = word + 1 == blocked.words;
    const uint64_t cells = last ? all >> ((64 - blocked.columns % 64) % 64) : all;
    const uint64_t here = bits[word] | ~cells;
    if (!corners || ~here == 0) {
        return ~here;
    }
    const uint64_t before = word > 0 ? bits[word - 1] : all;
    const uint64_t after = last ? all : bits[word + 1];
    const uint64_t beside = (here << 1 | before >> 63) | (here >> 1 | after << 63);
    const uint64_t below = row > 0 ? bitmap_row(blocked, row - 1)[word] : all;
    const uint64_t above = row + 1 < blocked.rows ? bitmap_row(blocked, row + 1)[word] : all;
    return ~here & beside & (below | above);
}

// One pose on one sheet.
typedef struct PoseScan {
    int sheet;
    int pose;
    Bitmap blocked;
    bool corners;   // offer all free corners; else the best of all free places
    Candidate best; // of those
} PoseScan;

static void scan_cell(Scan *scan, PoseScan *at, int column, int row)
{
    Finish *finish = scan->finish;
    const double cost = room_cost(finish->room, at->sheet, at->pose, column, row);
    finish->own_words += 80;
    if (cost > scan->most_cost) {
        return;
    }
    Candidate here = {.placement = finish->placements[scan->index]};
    here.placement.sheet = at->sheet;
    here.placement.motion = room_motion(finish->room, at->sheet, at->pose, column, row);
    here.score = score_of(scan, here.placement, cost);
    if (at->corners) {
        offer(scan->found, here);
    } else if (here.score < at->best.score) {
        at->best = here;
    }
}

static void scan_places(Scan *scan, PoseScan at)
{
    at.best.score = HUGE_VAL;
    for (int row = 0; row < at.blocked.rows; row++) {
        for (int word = 0; word < at.blocked.words; word++) {
            uint64_t free = free_places(at.blocked, row, word, at.corners);
            for (; free; free &= free - 1) {
                scan_cell(scan, &at, word * 64 + __builtin_ctzll(free), row);
            }
        }
    }
    if (at.best.score < HUGE_VAL) {
        offer(scan->found, at.best);
    }
}

static void scan_pose(Scan *scan, int sheet, int pose)
{
    Finish *finish = scan->finish;
    room_prepare(finish->room, sheet, pose);
    const ArenaMark mark = arena_mark(finish->scratch);
    const Bitmap blocked = room_blocked(finish->room, sheet, pose, finish->scratch);
    const RoomPose *shape = &finish->room->poses[pose];
    const Grid grid = finish->room->sheets[sheet].grid;
    scan->scale = 1 / (grid.cell_mm * (grid.columns + grid.rows));
    scan->centre = finish_centre(finish, shape->piece, (Motion){0, 0, shape->turn_rad});
    scan->off_rad = measure_off_middle_rad(&finish->task->pieces[shape->piece], shape->turn_rad);
    // What is left likes corners; the best place for another wish may spoil what is left.
    const bool left_counts = is_of_remnants(finish->order[finish->stage]);
    if (!scan->corner && (left_counts || finish_is_held(finish, LAYOUT_WISH_RECTANGLE) ||
                          finish_is_held(finish, LAYOUT_WISH_REMNANT))) {
        scan_places(scan, (PoseScan){sheet, pose, blocked, .corners = true});
    }
    if (scan->corner || !left_counts) {
        scan_places(scan, (PoseScan){sheet, pose, blocked, .corners = false});
    }
    arena_rewind(finish->scratch, mark);
}

// Stamps of all placements on a sheet that are not lifted off; changed ones anew.
static void take_sheet(const Scan *scan, int sheet)
{
    Finish *finish = scan->finish;
    const ArenaMark mark = arena_mark(finish->scratch);
    Runs *stamps = ARENA_ARRAY(finish->scratch, Runs, finish->count + 1);
    int count = 0;
    for (int i = 0; i < finish->count; i++) {
        if (!finish->out[i] && finish->trial[i].sheet == sheet) {
            stamps[count++] = finish->changed[i]
                                  ? room_stamp(finish->room, &finish->trial[i], finish->scratch)
                                  : finish->stamps[i];
        }
    }
    room_take(finish->room, sheet, stamps, count);
    arena_rewind(finish->scratch, mark);
}

Candidates finish_places(Finish *finish, int index, const Corner *corner)
{
    Candidates found = {.count = 0};
    Scan scan = {
        .finish = finish, .index = index, .corner = corner, .most_cost = HUGE_VAL, .found = &found};
    // What the others leave of the bounds; the box's mean is not quite the face's.
    double cost = 0.02 * finish->highest_cost + finish->bound[LAYOUT_WISH_COST] * finish->count;
    double off_rad = finish_most_off_rad(finish) * finish->count;
    for (int i = 0; i < finish->count; i++) {
        cost -= finish->out[i] ? 0 : finish->costs[i];
        off_rad -= finish->out[i] ? 0 : finish->offs[i];
    }
    if (finish_is_held(finish, LAYOUT_WISH_COST)) {
        scan.most_cost = cost;
    }
    double turns_rad[FINISH_TURNS];
    const int turn_count = finish_turns(finish, index, off_rad, turns_rad);
    for (int sheet = 0; sheet < finish->task->sheet_count && finish_goes_on(finish); sheet++) {
        if (!finish->used[sheet]) {
            continue; // a fresh sheet is worth more whole
        }
        take_sheet(&scan, sheet);
        for (int i = 0; i < turn_count; i++) {
            const int pose = room_pose(finish->room, finish->placements[index].piece, turns_rad[i]);
            if (pose >= 0) {
                scan_pose(&scan, sheet, pose);
            }
        }
    }
    return found;
}
