// Sliding and pushing, in exact lattice steps.
#include "layout/finish_parts.h"

#include "layout/ranked.h"
#include "plane/lattice.h"

#include <string.h>

// So far, in cells, pieces are slid against what is next to them for its own sake.
static const double reach_cells = 3;
// Counted work of one exact question, and of making ready for it, for each placement.
static const double check_words = 16e3;
static const double prepare_words = 40e3;
static const Point ways[] = {{-1, 0}, {1, 0}, {0, -1}, {0, 1}};

Hand hand_on(Finish *finish)
{
    Hand hand = {.finish = finish, .mark = arena_mark(finish->scratch)};
    hand.drag =
        drag_prepare(finish->task, finish->trial, finish->count, finish->scratch, finish->arena);
    finish->own_words += prepare_words * (finish->count + 1);
    return hand;
}

void hand_off(Hand hand)
{
    arena_rewind(hand.finish->scratch, hand.mark);
}

static Motion shifted(Motion motion, Point way, int64_t units)
{
    motion.x_mm += way.x * (double)units / LATTICE_PER_MM;
    motion.y_mm += way.y * (double)units / LATTICE_PER_MM;
    return motion;
}

bool hand_lies(Hand hand, int index, Motion motion)
{
    Finish *finish = hand.finish;
    finish->own_words += check_words;
    return drag_check(hand.drag, index, finish->trial[index].sheet, motion, finish->arena, NULL,
                      0) == 0;
}

static Point centre_of(const Finish *finish, const Placement *placement)
{
    return finish_centre(finish, placement->piece, placement->motion);
}

// How far a piece may go at all: to the other end of its sheet's box.
static int64_t units_to_end(const Finish *finish, int index, Point way)
{
    const Box box = finish->boxes[finish->trial[index].sheet];
    const Point centre = centre_of(finish, &finish->trial[index]);
    const double ahead_mm = way.x > 0   ? box.max.x - centre.x
                            : way.x < 0 ? centre.x - box.min.x
                            : way.y > 0 ? box.max.y - centre.y
                                        : centre.y - box.min.y;
    return ahead_mm > 0 ? (int64_t)(ahead_mm * LATTICE_PER_MM) + 1 : 0;
}

// The farthest that bisection finds between a free place and one that is not; whole units.
static int64_t slide_units(Finish *finish, int index, Point way)
{
    const Hand hand = hand_on(finish);
    const Motion from = finish->trial[index].motion;
    int64_t free = 0;
    int64_t blocked = units_to_end(finish, index, way) + 1;
    while (blocked - free > 1 && finish_goes_on(finish)) {
        const int64_t middle = free + (blocked - free) / 2;
        if (hand_lies(hand, index, shifted(from, way, middle))) {
            free = middle;
        } else {
            blocked = middle;
        }
    }
    hand_off(hand);
    return free;
}

static void shift(Finish *finish, int index, Point way, int64_t units)
{
    Placement placement = finish->trial[index];
    placement.motion = shifted(placement.motion, way, units);
    finish_change(finish, index, placement);
}

// ---- All together

// All free pieces as far as they go, those that lie farthest that way first.
static bool press_all(Finish *finish, Point way)
{
    const ArenaMark mark = arena_mark(finish->scratch);
    Ranked *ranked = ARENA_ARRAY(finish->scratch, Ranked, finish->count + 1);
    bool moved = false;
    for (int i = 0; i < finish->count; i++) {
        ranked[i] = (Ranked){i, -point_dot(way, centre_of(finish, &finish->trial[i]))};
    }
    ranked_sort(ranked, finish->count);
    for (int i = 0; i < finish->count && finish_goes_on(finish); i++) {
        const int index = ranked[i].index;
        const int64_t units = finish->trial[index].locked ? 0 : slide_units(finish, index, way);
        if (units > 0) {
            shift(finish, index, way, units);
            moved = true;
        }
    }
    arena_rewind(finish->scratch, mark);
    return moved;
}

bool finish_press(Finish *finish)
{
    const ArenaMark mark = arena_mark(finish->scratch);
    Placement *best = ARENA_ARRAY(finish->scratch, Placement, finish->count + 1);
    bool found = false;
    double least = finish_aspired(finish);
    for (int i = 0; i < 12 && finish_goes_on(finish); i++) {
        // Along one axis, then alone or along the other as well.
        const Point one = ways[i % 4];
        const int side = i / 4 - 1;
        bool moved = press_all(finish, one);
        if (side != 0) {
            moved |= press_all(finish, (Point){side * one.y, side * one.x});
        }
        double value;
        if (moved && finish_weigh(finish, least, &value)) {
            least = value;
            found = true;
            memcpy(best, finish->trial, (size_t)finish->count * sizeof *best);
        }
        finish_forget(finish);
    }
    for (int i = 0; found && i < finish->count; i++) {
        finish_change(finish, i, best[i]);
    }
    if (found) {
        finish_take(finish);
    }
    arena_rewind(finish->scratch, mark);
    return found;
}

// ---- One against its neighbours

// Whether a change of the trial makes no wish worse than it is.
static bool costs_nothing(Finish *finish)
{
    double bound[LAYOUT_WISH_COUNT];
    memcpy(bound, finish->bound, sizeof bound);
    memcpy(finish->bound, finish->value, sizeof bound);
    double value;
    const bool good = finish_weigh(finish, HUGE_VAL, &value);
    memcpy(finish->bound, bound, sizeof bound);
    return good;
}

// Slides one piece until it touches: when it is within reach and all bounds hold, or at
// any distance when that costs nothing.
static bool slide_against(Finish *finish, int index, Point way)
{
    const int64_t near = (int64_t)(reach_cells * finish->room->cell_mm * LATTICE_PER_MM);
    const int64_t units = slide_units(finish, index, way);
    if (units == 0) {
        return false;
    }
    shift(finish, index, way, units);
    double value;
    const bool good =
        units <= near ? finish_weigh(finish, HUGE_VAL, &value) : costs_nothing(finish);
    if (good) {
        finish_take(finish);
    }
    finish_forget(finish);
    return good;
}

// Away from the largest rectangle that is left, so that it only grows.
static bool slide_piece(Finish *finish, int index)
{
    const Placement *placement = &finish->placements[index];
    const Point centre = centre_of(finish, placement);
    const Point middle = finish->left[placement->sheet].middle;
    const bool moved = slide_against(finish, index, ways[centre.x < middle.x ? 0 : 1]);
    return slide_against(finish, index, ways[centre.y < middle.y ? 2 : 3]) || moved;
}

void finish_close_up(Finish *finish)
{
    enum { ROUNDS = 4 };
    finish->limit = finish->limit_of_all;
    bool again = true;
    for (int round = 0; again && round < ROUNDS && finish_goes_on(finish); round++) {
        again = false;
        for (int i = 0; i < finish->count && finish_goes_on(finish); i++) {
            again |= !finish->placements[i].locked && slide_piece(finish, i);
        }
    }
}

// ---- Others out of the way

enum { FAULTS = 16 };

// The faults of a piece at a motion: with other pieces, listed; and whether there are more.
static int in_the_way(Hand hand, int index, Motion motion, int *others, bool *more)
{
    Finish *finish = hand.finish;
    LayoutFault faults[FAULTS];
    const int found = drag_check(hand.drag, index, finish->trial[index].sheet, motion,
                                 finish->arena, faults, FAULTS);
    finish->own_words += check_words;
    int count = 0;
    for (int i = 0; i < found && i < FAULTS; i++) {
        if (faults[i].kind == LAYOUT_OVERLAP || faults[i].kind == LAYOUT_GAP) {
            others[count++] = faults[i].other;
        }
    }
    *more = count < found;
    return count;
}

static bool apart(Hand hand, int index, Motion motion, int other)
{
    int others[FAULTS];
    bool more;
    const int count = in_the_way(hand, index, motion, others, &more);
    for (int i = 0; i < count; i++) {
        if (others[i] == other) {
            return false;
        }
    }
    return true;
}

// So far that `index` is clear of `other`; -1 when it never is within `most`.
static int64_t clear_units(Hand hand, int index, int other, Point way, int64_t most)
{
    const Motion from = hand.finish->trial[index].motion;
    int64_t blocked = 0;
    int64_t clear = most;
    if (!apart(hand, index, shifted(from, way, most), other)) {
        return -1;
    }
    while (clear - blocked > 1) {
        const int64_t middle = blocked + (clear - blocked) / 2;
        if (apart(hand, index, shifted(from, way, middle), other)) {
            clear = middle;
        } else {
            blocked = middle;
        }
    }
    return clear;
}

// Pushes one piece clear of another. False when it is locked, or cannot be.
static bool push_clear(Finish *finish, int index, int other, Point way)
{
    if (finish->trial[index].locked) {
        return false;
    }
    const Hand hand = hand_on(finish);
    const int64_t most = (int64_t)(3 * finish->size_mm * LATTICE_PER_MM);
    const int64_t units = clear_units(hand, index, other, way, most);
    hand_off(hand);
    if (units < 0) {
        return false;
    }
    shift(finish, index, way, units);
    return true;
}

// Pushes one way all that is in the way of `pusher`, and what is then in the way of that.
// False when there is no end to it, or the sheet ends.
static bool push_from(Finish *finish, int pusher, Point way, int *queue)
{
    const int pushes_most = 3 * finish->count;
    int tail = 0;
    queue[tail++] = pusher;
    for (int head = 0; head < tail; head++) {
        const int index = queue[head];
        const Hand hand = hand_on(finish);
        int others[FAULTS];
        bool more;
        const int count = in_the_way(hand, index, finish->trial[index].motion, others, &more);
        hand_off(hand);
        if (more || tail + count > pushes_most) {
            return false;
        }
        for (int i = 0; i < count; i++) {
            if (others[i] == pusher || !push_clear(finish, others[i], index, way)) {
                return false;
            }
            queue[tail++] = others[i];
        }
    }
    return true;
}

// A piece in a new place that others may cover: they are pushed each way in turn.
static bool push_in(Finish *finish, int index, Placement placement, int *queue)
{
    for (int i = 0; i < 4 && finish_goes_on(finish); i++) {
        finish_change(finish, index, placement);
        if (push_from(finish, index, ways[i], queue) && finish_try(finish)) {
            return true;
        }
        finish_forget(finish);
    }
    return false;
}

enum { NEAR_PLACES = 12 };

typedef struct NearPlaces {
    Motion motions[NEAR_PLACES];
    double far_mm[NEAR_PLACES];
    int count;
} NearPlaces;

static void add_near(NearPlaces *near, Motion motion, double far_mm)
{
    if (near->count == NEAR_PLACES && far_mm >= near->far_mm[NEAR_PLACES - 1]) {
        return;
    }
    int at = near->count < NEAR_PLACES ? near->count++ : NEAR_PLACES - 1;
    for (; at > 0 && near->far_mm[at - 1] > far_mm; at--) {
        near->far_mm[at] = near->far_mm[at - 1];
        near->motions[at] = near->motions[at - 1];
    }
    near->far_mm[at] = far_mm;
    near->motions[at] = motion;
}

// Places near the present one where a pose would lie if there were no others.
static NearPlaces near_places(Finish *finish, int index, int pose)
{
    const Placement *placement = &finish->placements[index];
    Room *room = finish->room;
    const Point centre = centre_of(finish, placement);
    const Point turned = motion_apply(motion_matrix((Motion){0, 0, room->poses[pose].turn_rad}),
                                      finish->centres[placement->piece]);
    NearPlaces near = {.count = 0};
    room_prepare(room, placement->sheet, pose);
    room_take(room, placement->sheet, NULL, 0);
    const ArenaMark mark = arena_mark(finish->scratch);
    const Bitmap blocked = room_blocked(room, placement->sheet, pose, finish->scratch);
    for (int row = 0; row < blocked.rows; row++) {
        for (int column = 0; column < blocked.columns; column++) {
            if (!bitmap_get(blocked, column, row)) {
                const Motion motion = room_motion(room, placement->sheet, pose, column, row);
                const Point there = {motion.x_mm + turned.x, motion.y_mm + turned.y};
                add_near(&near, motion, point_distance(centre, there));
            }
        }
    }
    finish->own_words += 20.0 * blocked.rows * blocked.columns;
    arena_rewind(finish->scratch, mark);
    return near;
}

static bool straighten_one(Finish *finish, int index, int *queue)
{
    const Piece *piece = &finish->task->pieces[finish->placements[index].piece];
    for (int i = 0; i < piece->turn_count && finish_goes_on(finish); i++) {
        const double middle_rad = (piece->turns[i].from_rad + piece->turns[i].to_rad) / 2;
        const int pose = room_pose(finish->room, finish->placements[index].piece, middle_rad);
        const NearPlaces near =
            pose < 0 ? (NearPlaces){.count = 0} : near_places(finish, index, pose);
        for (int k = 0; k < near.count && finish_goes_on(finish); k++) {
            Placement placement = finish->placements[index];
            placement.motion = near.motions[k];
            if (push_in(finish, index, placement, queue)) {
                return true;
            }
        }
    }
    return false;
}

bool finish_straighten(Finish *finish)
{
    const ArenaMark mark = arena_mark(finish->scratch);
    int *queue = ARENA_ARRAY(finish->scratch, int, 3 * finish->count + 1);
    bool helped = false;
    for (int i = 0; i < finish->count && finish_goes_on(finish); i++) {
        if (!finish->placements[i].locked && finish->offs[i] > 1e-6) {
            helped |= straighten_one(finish, i, queue);
        }
    }
    arena_rewind(finish->scratch, mark);
    return helped;
}
