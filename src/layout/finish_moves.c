// The moves of the finish.
#include "layout/finish_parts.h"
#include "layout/ranked.h"

// Pairs that are laid anew together: the first in so many places, beside so many neighbours.
enum { FIRST_PLACES = 4, SECOND_PLACES = 6, NEIGHBOURS = 4 };

// One piece to its best other place. True when that helped.
static bool move_one(Finish *finish, int index)
{
    finish->out[index] = true;
    const Candidates places = finish_places(finish, index, NULL);
    finish->out[index] = false;
    double least = finish_aspired(finish);
    int best = -1;
    for (int i = 0; i < places.count && finish_goes_on(finish); i++) {
        finish_change(finish, index, places.items[i].placement);
        double value;
        if (finish_weigh(finish, least, &value)) {
            least = value;
            best = i;
        }
    }
    finish_forget(finish);
    if (best >= 0) {
        finish_change(finish, index, places.items[best].placement);
        finish_take(finish);
    }
    return best >= 0;
}

// Two pieces lifted together, the first laid first. Exchanges them, too.
static bool move_two(Finish *finish, int first, int second)
{
    finish->out[first] = finish->out[second] = true;
    const Candidates places = finish_places(finish, first, NULL);
    double least = finish_aspired(finish);
    Placement best[2];
    bool any = false;
    for (int i = 0; i < places.count && i < FIRST_PLACES && finish_goes_on(finish); i++) {
        finish_change(finish, first, places.items[i].placement);
        finish->out[first] = false;
        const Candidates others = finish_places(finish, second, NULL);
        for (int k = 0; k < others.count && k < SECOND_PLACES && finish_goes_on(finish); k++) {
            finish_change(finish, second, others.items[k].placement);
            double value;
            if (finish_weigh(finish, least, &value)) {
                least = value;
                best[0] = places.items[i].placement;
                best[1] = others.items[k].placement;
                any = true;
            }
        }
        finish->out[first] = true;
        finish_forget(finish);
    }
    finish->out[first] = finish->out[second] = false;
    if (any) {
        finish_change(finish, first, best[0]);
        finish_change(finish, second, best[1]);
        finish_take(finish);
    }
    return any;
}

static bool same_ring(Ring a, Ring b)
{
    if (a.count != b.count) {
        return false;
    }
    for (int i = 0; i < a.count; i++) {
        if (a.points[i].x != b.points[i].x || a.points[i].y != b.points[i].y) {
            return false;
        }
    }
    return true;
}

// Whether either may lie where the other lies.
static bool are_alike(const Piece *a, const Piece *b)
{
    bool alike = a->depth_count == b->depth_count && a->turn_count == b->turn_count &&
                 a->turn_symmetry == b->turn_symmetry && a->gap_mm == b->gap_mm;
    for (int i = 0; alike && i < a->turn_count; i++) {
        alike = a->turns[i].from_rad == b->turns[i].from_rad &&
                a->turns[i].to_rad == b->turns[i].to_rad;
    }
    for (int depth = 0; alike && depth < a->depth_count; depth++) {
        alike = same_ring(a->outline[depth], b->outline[depth]);
    }
    return alike;
}

static bool exchange(Finish *finish, int i, int k)
{
    const Placement first = finish->placements[i];
    const Placement second = finish->placements[k];
    const Piece *pieces = finish->task->pieces;
    if (first.locked || second.locked ||
        pieces[first.piece].partners == pieces[second.piece].partners ||
        !are_alike(&pieces[first.piece], &pieces[second.piece])) {
        return false;
    }
    finish_change(finish, i, (Placement){first.piece, second.sheet, second.motion, false});
    finish_change(finish, k, (Placement){second.piece, first.sheet, first.motion, false});
    return finish_try(finish);
}

// Pieces of the same outline and different partners, wherever they lie: free of cost.
static bool exchange_alike(Finish *finish)
{
    bool helped = false;
    for (int i = 0; i < finish->count && finish_goes_on(finish); i++) {
        for (int k = i + 1; k < finish->count && finish_goes_on(finish); k++) {
            helped |= exchange(finish, i, k);
        }
    }
    return helped;
}

static bool is_free(const Finish *finish, int index)
{
    return !finish->placements[index].locked;
}

// Pieces that are not locked, the nearest to `index` first; itself left out.
static int nearest_to(const Finish *finish, int index, Ranked *ranked)
{
    const Placement *own = &finish->placements[index];
    const Point centre = finish_centre(finish, own->piece, own->motion);
    int count = 0;
    for (int i = 0; i < finish->count; i++) {
        const Placement *other = &finish->placements[i];
        if (i != index && is_free(finish, i) && other->sheet == own->sheet) {
            ranked[count++] = (Ranked){
                i, point_distance(centre, finish_centre(finish, other->piece, other->motion))};
        }
    }
    ranked_sort(ranked, count);
    return count;
}

static bool move_pairs(Finish *finish)
{
    bool helped = false;
    const ArenaMark mark = arena_mark(finish->scratch);
    Ranked *ranked = ARENA_ARRAY(finish->scratch, Ranked, finish->count + 1);
    for (int i = 0; i < finish->count && finish_goes_on(finish); i++) {
        const int count = is_free(finish, i) ? nearest_to(finish, i, ranked) : 0;
        for (int k = 0; k < count && k < NEIGHBOURS && finish_goes_on(finish); k++) {
            helped |= move_two(finish, i, ranked[k].index);
        }
    }
    arena_rewind(finish->scratch, mark);
    return helped;
}

static int largest_first(const Finish *finish, Ranked *ranked)
{
    int count = 0;
    for (int i = 0; i < finish->count; i++) {
        if (is_free(finish, i)) {
            const Piece *piece = &finish->task->pieces[finish->placements[i].piece];
            ranked[count++] = (Ranked){i, -fabs(ring_area_mm2(piece->outline[0]))};
        }
    }
    ranked_sort(ranked, count);
    return count;
}

// All pieces lifted and laid anew towards a corner, the largest first.
static bool lay_anew(Finish *finish, const Corner *corner)
{
    const ArenaMark mark = arena_mark(finish->scratch);
    Ranked *ranked = ARENA_ARRAY(finish->scratch, Ranked, finish->count + 1);
    const int count = largest_first(finish, ranked);
    for (int i = 0; i < count; i++) {
        finish->out[ranked[i].index] = true;
    }
    int laid = 0;
    for (; laid < count && finish_goes_on(finish); laid++) {
        const int index = ranked[laid].index;
        const Candidates places = finish_places(finish, index, corner);
        if (places.count == 0) {
            break;
        }
        finish_change(finish, index, places.items[0].placement);
        finish->out[index] = false;
    }
    for (int i = 0; i < count; i++) {
        finish->out[ranked[i].index] = false;
    }
    arena_rewind(finish->scratch, mark);
    if (laid == count && count > 0) {
        return finish_try(finish);
    }
    finish_forget(finish);
    return false;
}

static bool lay_all_anew(Finish *finish)
{
    bool helped = false;
    for (int way = 0; way < 16 && finish_goes_on(finish); way++) {
        const double first = way & 1 ? -1 : 1;
        const double second = way & 2 ? -0.1 : 0.1;
        const Corner corner = {.along_x = way & 4 ? first : second,
                               .along_y = way & 4 ? second : first,
                               .cost = way & 8 ? 1 : 0};
        helped |= lay_anew(finish, &corner);
    }
    return helped;
}

static bool move_all_once(Finish *finish)
{
    bool helped = false;
    for (int i = 0; i < finish->count && finish_goes_on(finish); i++) {
        helped |= is_free(finish, i) && move_one(finish, i);
    }
    return helped;
}

void finish_moves(Finish *finish)
{
    const LayoutWish wish = finish->order[finish->stage];
    if (wish == LAYOUT_WISH_PARTNERS && !finish->any_partners) {
        return;
    }
    if (wish == LAYOUT_WISH_STRAIGHT && finish->value[wish] < 1e-9) {
        return;
    }
    if (wish == LAYOUT_WISH_COST && finish->value[wish] < 1e-9) {
        return;
    }
    if (wish == LAYOUT_WISH_CUTS) {
        while (finish_goes_on(finish) && (finish_snap(finish) || finish_press(finish))) {
        }
        return;
    }
    // The cheap moves first, again after whatever helped. Fewer parts are worth no more.
    const bool press = wish == LAYOUT_WISH_RECTANGLE || wish == LAYOUT_WISH_REMNANT;
    bool again = true;
    while (again && finish_goes_on(finish)) {
        again = (wish == LAYOUT_WISH_STRAIGHT && finish_straighten(finish)) ||
                (wish == LAYOUT_WISH_PARTNERS && exchange_alike(finish)) ||
                (press && finish_press(finish)) || move_all_once(finish) ||
                (wish != LAYOUT_WISH_FEW_PARTS && (move_pairs(finish) || lay_all_anew(finish)));
    }
}
