// A side: one half of a random hide.
#include "base/units.h"
#include "hide/population_parts.h"

#include <assert.h>

enum { WAVES = 3, TRIMS = 5 };
static const double WAVE_STEP_MM = 25;
// A knife or saw led by hand stays within 15 mm of the backbone (common practice).
static const double WAVE_MM[WAVES] = {7, 4.5, 3};
static const double WAVE_LENGTH_MM[WAVES] = {1800, 700, 300};
// What of the half's edge comes so near to the backbone is left away, so that the cut meets
// it at either end only; more where the edge is odd.
static const double TRIM_MM[TRIMS] = {20, 40, 80, 160, 320};

typedef struct Wave {
    double phase_rad[WAVES];
} Wave;

static double wave_at(const Wave *wave, double x)
{
    double y = 0;
    for (int i = 0; i < WAVES; i++) {
        y += WAVE_MM[i] * sin(WHOLE_TURN_RAD * x / WAVE_LENGTH_MM[i] + wave->phase_rad[i]);
    }
    return y;
}

static int trimmed_half(const HideEdge *edge, int half, double trim_mm, Point *points)
{
    int count = 0;
    for (int i = 0; i < edge->count; i++) {
        const bool on_half = (edge->place[i] < HALF_POINTS - 1) == (half < 0);
        if (on_half && half * edge->at[i].y > trim_mm) {
            points[count++] = edge->at[i];
        }
    }
    return count;
}

Ring side_outline(const HideEdge *edge, int half, HideTrial trial, Arena *keep, Arena *scratch)
{
    Random random = part_begin(trial, PART_SIDE, 1);
    Wave wave;
    for (int i = 0; i < WAVES; i++) {
        wave.phase_rad[i] = WHOLE_TURN_RAD * random_share(&random);
    }
    const Box box = ring_box((Ring){edge->at, edge->count});
    const int room = edge->count + (int)((box.max.x - box.min.x) / WAVE_STEP_MM) + 2;
    Point *points = ARENA_ARRAY(keep, Point, room);
    for (int k = 0;; k++) {
        assert(k < TRIMS); // a half whose edge does not keep clear of the backbone
        int count = trimmed_half(edge, half, TRIM_MM[k], points);
        const double from = points[count - 1].x;
        const double to = points[0].x;
        const int steps = (int)(fabs(to - from) / WAVE_STEP_MM) + 1;
        for (int i = 0; i <= steps; i++) {
            const double x = from + (to - from) * i / steps;
            points[count++] = (Point){x, wave_at(&wave, x)};
        }
        const ArenaMark mark = arena_mark(scratch);
        const bool apart = edges_keep_apart(points, count, scratch);
        arena_rewind(scratch, mark);
        if (apart) {
            return (Ring){points, count};
        }
    }
}
