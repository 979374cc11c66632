// Outlines of random hides: shape model, ragged edge, slits.
#include "hide/population_parts.h"

#include <assert.h>

enum {
    HALF_STEPS = HALF_POINTS - 1,
    CONTROLS = 2 * HALF_STEPS, ///< points of the smooth outline
    CURVE_STEPS = 8,           ///< between two of them
    CURVE_POINTS = CONTROLS * CURVE_STEPS,
    NORMAL_REACH = 4, ///< points either way that a normal is taken over
    BURN_IN = 60,     ///< steps until a process has forgotten how it began
    BLENDED = 20,     ///< steps over which its end is led back to its beginning
    SLITS_MAX = 24,
    SLIT_TRIES = 6,
    ATTEMPTS_MAX = 1000,
};
static const double MODES_WITHIN = 2.5;
static const int segment_ends[EDGE_SEGMENTS + 1] = {0, 16, 36, 52, 60};

double edge_place_of(bool left, double t)
{
    const double inside = fmin(fmax(t, 0), EDGE_SEGMENTS);
    const int segment = inside < EDGE_SEGMENTS ? (int)inside : EDGE_SEGMENTS - 1;
    const double step = segment_ends[segment] +
                        (inside - segment) * (segment_ends[segment + 1] - segment_ends[segment]);
    return left ? CONTROLS - step : step;
}

double edge_t_of(double place)
{
    const double step = fmin(place, CONTROLS - place);
    int segment = 0;
    while (segment < EDGE_SEGMENTS - 1 && step > segment_ends[segment + 1]) {
        segment++;
    }
    return segment +
           (step - segment_ends[segment]) / (segment_ends[segment + 1] - segment_ends[segment]);
}

static int segment_of(double place)
{
    const int segment = (int)edge_t_of(place);
    return segment < EDGE_SEGMENTS ? segment : EDGE_SEGMENTS - 1;
}

static HideEdge edge_with_room(int room, Arena *arena)
{
    return (HideEdge){.at = ARENA_ARRAY(arena, Point, room),
                      .inward = ARENA_ARRAY(arena, Point, room),
                      .place = ARENA_ARRAY(arena, double, room),
                      .along = ARENA_ARRAY(arena, double, room + 1)};
}

static void measure_along(HideEdge *edge)
{
    edge->along[0] = 0;
    for (int i = 0; i < edge->count; i++) {
        const Point next = edge->at[(i + 1) % edge->count];
        edge->along[i + 1] = edge->along[i] + point_distance(edge->at[i], next);
    }
}

int rising_index(const double *rising, int count, double value)
{
    int low = 0;
    int high = count - 1;
    while (high - low > 1) {
        const int middle = (low + high) / 2;
        if (rising[middle] <= value) {
            low = middle;
        } else {
            high = middle;
        }
    }
    return low;
}

static double share_between(double from, double to, double value)
{
    return to > from ? fmin(1, fmax(0, (value - from) / (to - from))) : 0;
}

double edge_along_at(const HideEdge *edge, double place)
{
    const int i = rising_index(edge->place, edge->count, place);
    const double share = share_between(edge->place[i], edge->place[i + 1], place);
    return edge->along[i] + share * (edge->along[i + 1] - edge->along[i]);
}

EdgeSpot edge_spot(const HideEdge *edge, double along)
{
    const double round = edge->along[edge->count];
    const double way = along - round * floor(along / round);
    const int i = rising_index(edge->along, edge->count + 1, way);
    const int next = (i + 1) % edge->count;
    const double share = share_between(edge->along[i], edge->along[i + 1], way);
    const double next_place = next > 0 ? edge->place[next] : CONTROLS;
    return (EdgeSpot){.at = point_between(edge->at[i], edge->at[next], share),
                      .inward =
                          point_unit(point_between(edge->inward[i], edge->inward[next], share)),
                      .place = edge->place[i] + share * (next_place - edge->place[i])};
}

// The 120 points of the smooth outline.
static void draw_controls(Random *random, Point *controls)
{
    Point same[HALF_POINTS];
    Point unlike[HALF_POINTS] = {{0, 0}};
    for (int i = 0; i < HALF_POINTS; i++) {
        same[i] = shape_mean[i];
    }
    for (int k = 0; k < SYMMETRIC_MODES + ASYMMETRIC_MODES; k++) {
        const bool symmetric = k < SYMMETRIC_MODES;
        const ShapeMode *mode =
            symmetric ? &symmetric_modes[k] : &asymmetric_modes[k - SYMMETRIC_MODES];
        const double score = mode->sd * random_normal_within(random, MODES_WITHIN);
        Point *sum = symmetric ? same : unlike;
        for (int i = 0; i < HALF_POINTS; i++) {
            sum[i] = point_plus(sum[i], point_times(mode->vector[i], score));
        }
    }
    for (int i = 0; i <= HALF_STEPS; i++) {
        controls[i] = (Point){same[i].x - unlike[i].x, unlike[i].y - same[i].y};
    }
    for (int i = 1; i < HALF_STEPS; i++) {
        controls[CONTROLS - i] = point_plus(same[i], unlike[i]);
    }
}

// Closed cubic through the controls (Catmull-Rom).
static void curve_of(const Point *controls, Point *curve)
{
    for (int i = 0; i < CONTROLS; i++) {
        const Point a = controls[(i + CONTROLS - 1) % CONTROLS];
        const Point b = controls[i];
        const Point c = controls[(i + 1) % CONTROLS];
        const Point d = controls[(i + 2) % CONTROLS];
        const Point out = point_times(point_minus(c, a), 0.5);
        const Point in = point_times(point_minus(d, b), 0.5);
        for (int k = 0; k < CURVE_STEPS; k++) {
            const double s = (double)k / CURVE_STEPS;
            const double rest = 1 - s;
            const double from = rest * rest * (1 + 2 * s);
            Point p = point_plus(point_times(b, from), point_times(c, 1 - from));
            p = point_plus(p, point_times(out, s * rest * rest));
            curve[i * CURVE_STEPS + k] = point_plus(p, point_times(in, -s * s * rest));
        }
    }
}

// The curve in steps of equal length.
static HideEdge even_steps(const Point *curve, Arena *scratch)
{
    double *along = ARENA_ARRAY(scratch, double, CURVE_POINTS + 1);
    for (int i = 0; i < CURVE_POINTS; i++) {
        along[i + 1] = along[i] + point_distance(curve[i], curve[(i + 1) % CURVE_POINTS]);
    }
    const int count = (int)lround(along[CURVE_POINTS] / edge_law.step);
    const double step = along[CURVE_POINTS] / count;
    HideEdge edge = edge_with_room(count, scratch);
    edge.count = count;
    int from = 0;
    for (int i = 0; i < count; i++) {
        while (from < CURVE_POINTS - 1 && along[from + 1] <= i * step) {
            from++;
        }
        const double share = share_between(along[from], along[from + 1], i * step);
        edge.at[i] = point_between(curve[from], curve[(from + 1) % CURVE_POINTS], share);
        edge.place[i] = (from + share) / CURVE_STEPS;
    }
    for (int i = 0; i < count; i++) {
        const Point back = edge.at[(i + count - NORMAL_REACH) % count];
        const Point ahead = edge.at[(i + NORMAL_REACH) % count];
        edge.inward[i] = point_times(point_right(point_unit(point_minus(ahead, back))), -1);
    }
    return edge;
}

// Moves the edge in and out by a process that closes on itself.
static void make_ragged(HideEdge *edge, Random *random, Arena *scratch)
{
    const EdgeLaw *law = &edge_law;
    const int steps = edge->count + BLENDED;
    double *off = ARENA_ARRAY(scratch, double, steps);
    double before = 0;
    double last = 0;
    for (int i = -BURN_IN; i < steps; i++) {
        const double push = law->scale * law->innovation_sd * random_normal(random);
        const double now = law->phi1 * last + law->phi2 * before + push;
        before = last;
        last = now;
        if (i >= 0) {
            off[i] = now;
        }
    }
    for (int i = 0; i < edge->count; i++) {
        const double share = i < BLENDED ? (double)i / BLENDED : 1;
        const double led = i < BLENDED ? (1 - share) * off[edge->count + i] : 0;
        const double size = law->rms_by_segment[segment_of(edge->place[i])] / law->sd;
        const double out = (share * off[i] + led) * size;
        edge->at[i] = point_minus(edge->at[i], point_times(edge->inward[i], out));
    }
}

// A slit by its way along the edge.
typedef struct Slit {
    double along;
    double depth;
    double mouth;
} Slit;

static bool is_clear_of(const Slit *slits, int count, Slit slit, double round)
{
    if (slit.along < slit.mouth || slit.along > round - slit.mouth) {
        return false; // the seam where the edge begins and ends stays whole
    }
    for (int i = 0; i < count; i++) {
        if (fabs(slits[i].along - slit.along) < slits[i].mouth + slit.mouth) {
            return false;
        }
    }
    return true;
}

// Sorted along the edge. One that finds no room is left away.
static int draw_slits(const HideEdge *edge, Random *random, Slit *slits)
{
    const SlitLaw *law = &slit_law;
    const int wanted = random_count(random, law->count.mean, law->count.dispersion);
    int count = 0;
    for (int i = 0; i < wanted && count < SLITS_MAX; i++) {
        Slit slit = {.depth = fmax(law->least_depth, law_size(random, law->depth)),
                     .mouth = fmax(law->least_mouth, law_normal(random, law->mouth, 2))};
        bool clear = false;
        for (int k = 0; k < SLIT_TRIES && !clear; k++) {
            const double t =
                law_choice(random, law->share_by_segment, EDGE_SEGMENTS) + random_share(random);
            const bool left = random_share(random) < 0.5;
            slit.along = edge_along_at(edge, edge_place_of(left, t));
            clear = is_clear_of(slits, count, slit, edge->along[edge->count]);
        }
        if (!clear) {
            continue;
        }
        int k = count++;
        for (; k > 0 && slits[k - 1].along > slit.along; k--) {
            slits[k] = slits[k - 1];
        }
        slits[k] = slit;
    }
    return count;
}

static void append(HideEdge *edge, Point at, Point inward, double place)
{
    edge->at[edge->count] = at;
    edge->inward[edge->count] = inward;
    edge->place[edge->count++] = place;
}

// The four corners of a slit; the edge between the outer two is left away.
static void append_slit(HideEdge *edge, const HideEdge *whole, Slit slit)
{
    const double half = 0.5 * slit.mouth * slit_law.width_at_edge;
    const double half_end = 0.5 * slit.mouth * slit_law.width_at_end;
    const EdgeSpot from = edge_spot(whole, slit.along - half);
    const EdgeSpot middle = edge_spot(whole, slit.along);
    const EdgeSpot to = edge_spot(whole, slit.along + half);
    const Point end =
        point_plus(point_between(from.at, to.at, 0.5), point_times(middle.inward, slit.depth));
    const Point across = point_times(point_right(middle.inward), half_end);
    append(edge, from.at, middle.inward, from.place);
    append(edge, point_minus(end, across), middle.inward, middle.place);
    append(edge, point_plus(end, across), middle.inward, middle.place);
    append(edge, to.at, middle.inward, to.place);
}

static HideEdge cut_slits(const HideEdge *whole, const Slit *slits, int slit_count, Arena *keep)
{
    HideEdge edge = edge_with_room(whole->count + 4 * slit_count, keep);
    int next = 0;
    for (int i = 0; i < whole->count; i++) {
        while (next < slit_count &&
               whole->along[i] >
                   slits[next].along + 0.5 * slits[next].mouth * slit_law.width_at_edge) {
            next++;
        }
        const double half =
            next < slit_count ? 0.5 * slits[next].mouth * slit_law.width_at_edge : 0;
        if (next == slit_count || whole->along[i] < slits[next].along - half) {
            append(&edge, whole->at[i], whole->inward[i], whole->place[i]);
        }
        // The last point before the slit's beginning brings the slit.
        if (next < slit_count && whole->along[i] < slits[next].along - half &&
            whole->along[i + 1] >= slits[next].along - half) {
            append_slit(&edge, whole, slits[next]);
        }
    }
    measure_along(&edge);
    return edge;
}

HideEdge edge_attempt(HideTrial trial, int attempt, Arena *keep, Arena *scratch)
{
    Point controls[CONTROLS];
    Random shape = part_begin(trial, PART_SHAPE, attempt);
    draw_controls(&shape, controls);
    Point *curve = ARENA_ARRAY(scratch, Point, CURVE_POINTS);
    curve_of(controls, curve);
    HideEdge edge = even_steps(curve, scratch);
    Random ragged = part_begin(trial, PART_EDGE, attempt);
    make_ragged(&edge, &ragged, scratch);
    measure_along(&edge);
    Slit slits[SLITS_MAX];
    Random slitting = part_begin(trial, PART_SLITS, attempt);
    const int slit_count = draw_slits(&edge, &slitting, slits);
    return cut_slits(&edge, slits, slit_count, keep);
}

static bool is_within(double value, NormalLaw law)
{
    return fabs(value - law.mean) <= 3 * law.sd;
}

bool edge_is_sound(const HideEdge *edge, Arena *scratch)
{
    const Ring ring = {edge->at, edge->count};
    const Box box = ring_box(ring);
    const double length = box.max.x - box.min.x;
    const double width = box.max.y - box.min.y;
    const double area = ring_area_mm2(ring);
    const ShapeProportions *usual = &shape_proportions;
    if (!is_within(area, usual->area_over_l2) || !is_within(length, usual->length_over_l) ||
        !is_within(width, usual->width_over_l) ||
        !is_within(area / (length * width), usual->area_over_bounding_box) ||
        !edges_keep_apart(edge->at, edge->count, scratch)) {
        return false;
    }
    Point *sorted = ARENA_ARRAY(scratch, Point, edge->count);
    for (int i = 0; i < edge->count; i++) {
        sorted[i] = edge->at[i];
    }
    Point *hull = ARENA_ARRAY(scratch, Point, edge->count + 1);
    const int count = hull_of(sorted, edge->count, hull);
    return is_within(area / ring_area_mm2((Ring){hull, count}), usual->area_over_hull);
}

HideEdge edge_draw(HideTrial trial, Arena *keep, Arena *scratch, int *refused)
{
    for (int attempt = 0;; attempt++) {
        // A fifth is refused: a thousand in a row are as good as impossible.
        assert(attempt < ATTEMPTS_MAX);
        const ArenaMark kept = arena_mark(keep);
        const ArenaMark mark = arena_mark(scratch);
        const HideEdge edge = edge_attempt(trial, attempt, keep, scratch);
        const bool sound = edge_is_sound(&edge, scratch);
        arena_rewind(scratch, mark);
        if (sound) {
            *refused = attempt;
            return edge;
        }
        arena_rewind(keep, kept);
    }
}
