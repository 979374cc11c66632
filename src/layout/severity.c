#include "layout/severity.h"

#include "plane/lattice.h"

#include <math.h>

static bool boxes_meet(Extent a, Extent b, double x, double y)
{
    return a.left < b.right + x && b.left + x < a.right && a.low < b.top + y && b.low + y < a.top;
}

// Even-odd; the caller knows that the point is not on the edge.
static bool contains(const Turned *ring, double x, double y)
{
    bool inside = false;
    for (int i = 0; i < ring->count; i++) {
        const double low = ring->y[i];
        const double high = ring->y[i + 1];
        if ((low > y) == (high > y)) {
            continue;
        }
        const double side =
            (ring->x[i + 1] - ring->x[i]) * (y - low) - (high - low) * (x - ring->x[i]);
        inside ^= (side > 0) == (high > low);
    }
    return inside;
}

typedef enum Contact { APART, TOUCHING, CROSSING } Contact;

// One edge of `a`, as seen from `b`, against all of b's edges.
static Contact edge_contact(const Turned *b, double from_x, double from_y, double to_x, double to_y)
{
    const double along_x = to_x - from_x;
    const double along_y = to_y - from_y;
    Contact contact = APART;
    double side = along_x * (b->y[0] - from_y) - along_y * (b->x[0] - from_x);
    for (int j = 0; j < b->count; j++) {
        const double before = side;
        side = along_x * (b->y[j + 1] - from_y) - along_y * (b->x[j + 1] - from_x);
        if ((before > 0 && side > 0) || (before < 0 && side < 0)) {
            continue;
        }
        const double edge_x = b->x[j + 1] - b->x[j];
        const double edge_y = b->y[j + 1] - b->y[j];
        const double first = edge_x * (from_y - b->y[j]) - edge_y * (from_x - b->x[j]);
        const double second = edge_x * (to_y - b->y[j]) - edge_y * (to_x - b->x[j]);
        if ((first > 0 && second > 0) || (first < 0 && second < 0)) {
            continue;
        }
        if (before != 0 && side != 0 && first != 0 && second != 0) {
            return CROSSING;
        }
        contact = TOUCHING;
    }
    return contact;
}

static LatticeRing lattice_of(const Turned *turned, double x, double y, Arena *scratch)
{
    LatticePoint *points = ARENA_ARRAY(scratch, LatticePoint, turned->count);
    for (int i = 0; i < turned->count; i++) {
        points[i] = (LatticePoint){(int64_t)(turned->x[i] + x), (int64_t)(turned->y[i] + y)};
    }
    const Extent box = turned->box;
    return (LatticeRing){points,
                         turned->count,
                         {(int64_t)(box.left + x), (int64_t)(box.low + y)},
                         {(int64_t)(box.right + x), (int64_t)(box.top + y)}};
}

static bool touching_meet(const Turned *a, const Turned *b, double x, double y, Arena *scratch)
{
    const ArenaMark mark = arena_mark(scratch);
    const bool meet =
        lattice_interiors_meet(lattice_of(a, 0, 0, scratch), lattice_of(b, x, y, scratch), scratch);
    arena_rewind(scratch, mark);
    return meet;
}

bool turned_meet(const Turned *a, const Turned *b, double x, double y, Arena *scratch)
{
    if (!boxes_meet(a->box, b->box, x, y)) {
        return false;
    }
    bool touching = false;
    for (int i = 0; i < a->count; i++) {
        const double from_x = a->x[i] - x;
        const double from_y = a->y[i] - y;
        const double to_x = a->x[i + 1] - x;
        const double to_y = a->y[i + 1] - y;
        if ((from_x < b->box.left && to_x < b->box.left) ||
            (from_x > b->box.right && to_x > b->box.right) ||
            (from_y < b->box.low && to_y < b->box.low) ||
            (from_y > b->box.top && to_y > b->box.top)) {
            continue;
        }
        const Contact contact = edge_contact(b, from_x, from_y, to_x, to_y);
        if (contact == CROSSING) {
            return true;
        }
        touching |= contact == TOUCHING;
    }
    if (touching) {
        return touching_meet(a, b, x, y, scratch);
    }
    // No edge touches another: one is wholly inside the other, or they are apart.
    return contains(b, a->x[0] - x, a->y[0] - y) || contains(a, b->x[0] + x, b->y[0] + y);
}

Severity turned_severity(const Circles *a, const Circles *b, float x, float y, float reach)
{
    // A sum and a maximum for each circle of `b`, so that the inner loop goes in vectors.
    float sums[CIRCLES] = {0};
    float deepest[CIRCLES];
    for (int j = 0; j < CIRCLES; j++) {
        deepest[j] = -1;
    }
    for (int i = 0; i < CIRCLES && a->radius[i] > 0; i++) {
        const float at_x = a->x[i] - x;
        const float at_y = a->y[i] - y;
        const float radius = a->radius[i];
        for (int j = 0; j < CIRCLES; j++) {
            const float off_x = b->x[j] - at_x;
            const float off_y = b->y[j] - at_y;
            const float depth = radius + b->radius[j] - sqrtf(off_x * off_x + off_y * off_y);
            const float small = radius < b->radius[j] ? radius : b->radius[j];
            const float shallow = depth < reach ? depth : reach;
            // reach^2 / (2 reach - depth) up to the reach, the depth itself beyond it.
            sums[j] += (reach * reach / (2 * reach - shallow) + (depth - shallow)) * small;
            deepest[j] = depth > deepest[j] ? depth : deepest[j];
        }
    }
    Severity found = {-1, 0};
    for (int j = 0; j < CIRCLES && b->radius[j] > 0; j++) {
        found.sum += 2 * sums[j];
        found.depth = deepest[j] > found.depth ? deepest[j] : found.depth;
    }
    return found;
}
