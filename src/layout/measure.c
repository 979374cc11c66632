#include "layout/measure.h"
#include "base/units.h"

#include "layout/cuts.h"
#include "layout/field.h"
#include "layout/remnant.h"
#include "plane/lattice.h"

static const char *const measure_doing = "measuring what is left";

double measure_off_middle_rad(const Piece *piece, double turn_rad)
{
    if (piece->turn_symmetry == 0) {
        return 0;
    }
    const double period_rad = WHOLE_TURN_RAD / piece->turn_symmetry;
    double least_rad = HUGE_VAL;
    for (int i = 0; i < piece->turn_count; i++) {
        const double middle_rad = (piece->turns[i].from_rad + piece->turns[i].to_rad) / 2;
        least_rad = fmin(least_rad, fabs(remainder(turn_rad - middle_rad, period_rad)));
    }
    return least_rad;
}

double measure_cost(const LayoutTask *task, const Placement *placement, Arena *scratch)
{
    const ArenaMark mark = arena_mark(scratch);
    const Piece *piece = &task->pieces[placement->piece];
    const Ring deepest =
        ring_moved(piece->outline[piece->depth_count - 1], placement->motion, scratch);
    const double cost = field_ring_mean(task->sheets[placement->sheet].field, deepest);
    arena_rewind(scratch, mark);
    return cost;
}

double measure_size_mm(const LayoutTask *task)
{
    double area_mm2 = 0;
    for (int i = 0; i < task->piece_count; i++) {
        area_mm2 += fabs(ring_area_mm2(task->pieces[i].outline[0]));
    }
    return sqrt(area_mm2 / (task->piece_count > 0 ? task->piece_count : 1));
}

double measure_useful_mm(const LayoutTask *task)
{
    if (task->useful_mm > 0) {
        return task->useful_mm;
    }
    double smallest_mm2 = HUGE_VAL;
    for (int i = 0; i < task->piece_count; i++) {
        smallest_mm2 = fmin(smallest_mm2, fabs(ring_area_mm2(task->pieces[i].outline[0])));
    }
    return smallest_mm2 < HUGE_VAL ? sqrt(smallest_mm2) / 4 : 1;
}

const Point *measure_centres(const LayoutTask *task, Arena *keep)
{
    Point *centres = ARENA_ARRAY(keep, Point, task->piece_count + 1);
    for (int i = 0; i < task->piece_count; i++) {
        centres[i] = ring_centroid(task->pieces[i].outline[0]);
    }
    return centres;
}

// One partner where it lies.
typedef struct Member {
    int set;
    int sheet;
    int turn_symmetry;
    Point centre;
    double turn_rad;
    PartnerMeasure nearest; // to the tree so far
    bool joined;
} Member;

// What it takes to tell how far apart two members are.
typedef struct Scale {
    double size_mm;
    double sheets_mm; // from one sheet to another
} Scale;

static PartnerMeasure apart(const Member *a, const Member *b, Scale scale)
{
    PartnerMeasure measure = {.distance_mm = scale.sheets_mm};
    if (a->sheet == b->sheet) {
        measure.distance_mm = point_distance(a->centre, b->centre);
    }
    if (a->turn_symmetry > 0 && b->turn_symmetry > 0) {
        const int symmetry =
            a->turn_symmetry < b->turn_symmetry ? a->turn_symmetry : b->turn_symmetry;
        measure.turn_rad = fabs(remainder(a->turn_rad - b->turn_rad, WHOLE_TURN_RAD / symmetry));
    }
    measure.apart_mm = measure.distance_mm + scale.size_mm * measure.turn_rad / PI;
    return measure;
}

// The shortest tree that joins all members of the first member's set; adds up its links.
static int join_set(Member *members, int count, int first, Scale scale, PartnerMeasure *sum)
{
    int links = 0;
    int newest = first;
    members[first].joined = true;
    while (newest >= 0) {
        int next = -1;
        for (int i = first + 1; i < count; i++) {
            Member *member = &members[i];
            if (member->joined || member->set != members[first].set) {
                continue;
            }
            const PartnerMeasure measure = apart(&members[newest], member, scale);
            if (newest == first || measure.apart_mm < member->nearest.apart_mm) {
                member->nearest = measure;
            }
            if (next < 0 || member->nearest.apart_mm < members[next].nearest.apart_mm) {
                next = i;
            }
        }
        if (next >= 0) {
            members[next].joined = true;
            sum->distance_mm += members[next].nearest.distance_mm;
            sum->turn_rad += members[next].nearest.turn_rad;
            sum->apart_mm += members[next].nearest.apart_mm;
            links++;
        }
        newest = next;
    }
    return links;
}

static double between_sheets_mm(const LayoutTask *task)
{
    double widest_mm = 0;
    for (int i = 0; i < task->sheet_count; i++) {
        const Box box = ring_box(task->sheets[i].outline);
        widest_mm = fmax(widest_mm, point_distance(box.min, box.max));
    }
    return 2 * widest_mm;
}

PartnerMeasure measure_partners(const LayoutTask *task, const Point *centres,
                                const Placement *placements, int count, Arena *scratch)
{
    const ArenaMark mark = arena_mark(scratch);
    Member *members = ARENA_ARRAY(scratch, Member, count + 1);
    int member_count = 0;
    for (int i = 0; i < count; i++) {
        const Placement *placement = &placements[i];
        const Piece *piece = &task->pieces[placement->piece];
        if (piece->partners != 0) {
            members[member_count++] = (Member){
                .set = piece->partners,
                .sheet = placement->sheet,
                .turn_symmetry = piece->turn_symmetry,
                .centre = motion_apply(motion_matrix(placement->motion), centres[placement->piece]),
                .turn_rad = placement->motion.turn_rad};
        }
    }
    const Scale scale = {measure_size_mm(task), between_sheets_mm(task)};
    PartnerMeasure sum = {0};
    int links = 0;
    for (int i = 0; i < member_count; i++) {
        if (!members[i].joined) {
            links += join_set(members, member_count, i, scale, &sum);
        }
    }
    if (links > 0) {
        sum.distance_mm /= links;
        sum.turn_rad /= links;
        sum.apart_mm /= links;
    }
    arena_rewind(scratch, mark);
    return sum;
}

// The outline as the judge sees it: moved, and rounded to the lattice.
static Ring judged_ring(Ring ring, Motion motion, Arena *keep)
{
    const LatticeRing moved = lattice_ring(ring, motion, keep);
    Point *points = ARENA_ARRAY(keep, Point, moved.count + 1);
    for (int i = 0; i < moved.count; i++) {
        points[i] = (Point){(double)moved.points[i].x / LATTICE_PER_MM,
                            (double)moved.points[i].y / LATTICE_PER_MM};
    }
    return (Ring){points, moved.count};
}

const Ring *measure_cuts(const LayoutTask *task, const Placement *placements, int count, int sheet,
                         int *cut_count, Arena *keep)
{
    Ring *cuts = ARENA_ARRAY(keep, Ring, count + 1);
    *cut_count = 0;
    for (int i = 0; i < count; i++) {
        if (placements[i].sheet == sheet) {
            cuts[(*cut_count)++] = judged_ring(task->pieces[placements[i].piece].outline[0],
                                               placements[i].motion, keep);
        }
    }
    return cuts;
}

static int next_on(const Layout *layout, int sheet, int from)
{
    while (from < layout->count && layout->placements[from].sheet != sheet) {
        from++;
    }
    return from;
}

static bool same_on(const Layout *a, const Layout *b, int sheet)
{
    int i = next_on(a, sheet, 0);
    int k = next_on(b, sheet, 0);
    while (i < a->count && k < b->count) {
        const Placement *p = &a->placements[i];
        const Placement *q = &b->placements[k];
        if (p->piece != q->piece || p->motion.x_mm != q->motion.x_mm ||
            p->motion.y_mm != q->motion.y_mm || p->motion.turn_rad != q->motion.turn_rad) {
            return false;
        }
        i = next_on(a, sheet, i + 1);
        k = next_on(b, sheet, k + 1);
    }
    return i == a->count && k == b->count;
}

// NULL when stopped before the last.
static Remnant *measure_remnants(const LayoutTask *task, const Layout *layout, const Layout *known,
                                 const Progress *progress, Arena *keep, Arena *scratch)
{
    const bool any_known = known && known->measures.remnants;
    const double useful_mm = measure_useful_mm(task);
    Remnant *remnants = ARENA_ARRAY(keep, Remnant, task->sheet_count + 1);
    for (int sheet = 0; sheet < task->sheet_count; sheet++) {
        if (!progress_report(progress, measure_doing, 0)) {
            return NULL;
        }
        if (any_known && same_on(layout, known, sheet)) {
            remnants[sheet] = known->measures.remnants[sheet];
            continue;
        }
        const ArenaMark mark = arena_mark(scratch);
        CutSheet cut = {.sheet = &task->sheets[sheet]};
        cut.cuts =
            measure_cuts(task, layout->placements, layout->count, sheet, &cut.cut_count, scratch);
        remnants[sheet] = remnant_measure(cut, useful_mm, scratch);
        arena_rewind(scratch, mark);
    }
    return remnants;
}

static SharedCuts *measure_shared_cuts(const LayoutTask *task, const Layout *layout, Arena *keep,
                                       Arena *scratch)
{
    const ArenaMark mark = arena_mark(scratch);
    SharedCuts *cuts = ARENA_ARRAY(keep, SharedCuts, task->sheet_count + 1);
    StraightEdges *lying = ARENA_ARRAY(scratch, StraightEdges, layout->count + 1);
    for (int i = 0; i < layout->count; i++) {
        const Placement *placement = &layout->placements[i];
        const Ring cut =
            judged_ring(task->pieces[placement->piece].outline[0], placement->motion, scratch);
        lying[i] = cuts_edges(cut, cuts_least_mm(task), scratch, keep);
    }
    for (int sheet = 0; sheet < task->sheet_count; sheet++) {
        cuts[sheet] = cuts_measure(task, lying, layout->placements, layout->count, sheet, scratch);
    }
    arena_rewind(scratch, mark);
    return cuts;
}

LayoutMeasures measure_layout(const LayoutTask *task, const Layout *layout, const Layout *known,
                              const Progress *progress, Arena *keep, Arena *scratch)
{
    LayoutMeasures measures = {.useful_mm = measure_useful_mm(task),
                               .least_cut_mm = cuts_least_mm(task)};
    measures.cuts = measure_shared_cuts(task, layout, keep, scratch);
    measures.remnants = measure_remnants(task, layout, known, progress, keep, scratch);
    for (int i = 0; i < layout->count; i++) {
        const Placement *placement = &layout->placements[i];
        measures.cost += measure_cost(task, placement, scratch) / layout->count;
        measures.off_middle_rad +=
            measure_off_middle_rad(&task->pieces[placement->piece], placement->motion.turn_rad) /
            layout->count;
    }
    const ArenaMark mark = arena_mark(scratch);
    const PartnerMeasure partners = measure_partners(task, measure_centres(task, scratch),
                                                     layout->placements, layout->count, scratch);
    arena_rewind(scratch, mark);
    measures.partner_distance_mm = partners.distance_mm;
    measures.partner_turn_rad = partners.turn_rad;
    return measures;
}

LayoutMeasures layout_measure(const LayoutTask *task, const Placement *placements, int count,
                              Arena *keep, Arena *scratch)
{
    const ArenaMark mark = arena_mark(scratch);
    Placement *own = ARENA_ARRAY(scratch, Placement, count + 1);
    for (int i = 0; i < count; i++) {
        own[i] = placements[i];
    }
    const Layout layout = {.placements = own, .count = count};
    const LayoutMeasures measures = measure_layout(task, &layout, NULL, NULL, keep, scratch);
    arena_rewind(scratch, mark);
    return measures;
}

double measure_wish(const LayoutTask *task, const LayoutMeasures *measures, LayoutWish wish)
{
    double sum = 0;
    switch (wish) {
    case LAYOUT_WISH_COST:
        return measures->cost;
    case LAYOUT_WISH_STRAIGHT:
        return measures->off_middle_rad;
    case LAYOUT_WISH_PARTNERS:
        return measures->partner_distance_mm +
               measure_size_mm(task) * measures->partner_turn_rad / PI;
    case LAYOUT_WISH_RECTANGLE:
        for (int i = 0; i < task->sheet_count; i++) {
            const Box box = measures->remnants[i].rectangle;
            sum -= (box.max.x - box.min.x) * (box.max.y - box.min.y);
        }
        return sum;
    case LAYOUT_WISH_REMNANT:
        for (int i = 0; i < task->sheet_count; i++) {
            sum -= measures->remnants[i].area_mm2;
        }
        return sum;
    case LAYOUT_WISH_FEW_PARTS:
        for (int i = 0; i < task->sheet_count; i++) {
            sum += measures->remnants[i].parts;
        }
        return sum;
    case LAYOUT_WISH_CUTS:
        for (int i = 0; i < task->sheet_count; i++) {
            sum -= cuts_worth_mm(measures->cuts[i]);
        }
        return sum;
    case LAYOUT_WISH_COUNT:
        break;
    }
    return sum;
}
