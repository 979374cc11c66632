// A frame out of square: four sides and two diagonals, all with slips of the tape.
// Six measures for five unknowns: the one left over tells whether they agree.
#include "seat/frame_parts.h"

#include "base/units.h"

typedef enum Measure {
    FRONT,
    RIGHT,
    BACK,
    LEFT,
    DIAGONAL_LEFT,
    DIAGONAL_RIGHT,
    MEASURE_COUNT
} Measure;

static const char *const measure_fields[MEASURE_COUNT] = {
    "front", "right", "back", "left", "diagonal_left", "diagonal_right"};
static const char *const measure_names[MEASURE_COUNT] = {"the front",         "the right side",
                                                         "the back",          "the left side",
                                                         "the left diagonal", "the right diagonal"};

// The corners that each measure joins, in the order of Corner.
static const int ends[MEASURE_COUNT][2] = {
    {CORNER_FRONT_LEFT, CORNER_FRONT_RIGHT}, {CORNER_FRONT_RIGHT, CORNER_BACK_RIGHT},
    {CORNER_BACK_RIGHT, CORNER_BACK_LEFT},   {CORNER_BACK_LEFT, CORNER_FRONT_LEFT},
    {CORNER_FRONT_LEFT, CORNER_BACK_RIGHT},  {CORNER_FRONT_RIGHT, CORNER_BACK_LEFT}};

// The four triangles that three measures close.
static const Measure triangles[4][3] = {{FRONT, RIGHT, DIAGONAL_LEFT},
                                        {FRONT, LEFT, DIAGONAL_RIGHT},
                                        {BACK, LEFT, DIAGONAL_LEFT},
                                        {BACK, RIGHT, DIAGONAL_RIGHT}};

// More than this and one measure is wrong; less but noticeable, likely a slip.
static const double REFUSED_MM = MM_PER_IN / 4;
static const double DOUBTED_MM = MM_PER_IN / 16;

static bool triangle_closes(const double *mm, const Measure *triangle, Say say)
{
    int longest = 0;
    for (int i = 1; i < 3; i++) {
        longest = mm[triangle[i]] > mm[triangle[longest]] ? i : longest;
    }
    const Measure a = triangle[longest];
    const Measure b = triangle[(longest + 1) % 3];
    const Measure c = triangle[(longest + 2) % 3];
    if (mm[a] < mm[b] + mm[c]) {
        return true;
    }
    return say_mistake(
        say, measure_fields[a],
        SAY_TEXT(say, "%s is as long as %s and %s together, or longer; they are %s and %s",
                 say_length(say, mm[a]), measure_names[b], measure_names[c], say_length(say, mm[b]),
                 say_length(say, mm[c])),
        SAY_TEXT(say, "less than %s", say_length(say, mm[b] + mm[c])), "measure all three again");
}

// The third corner of a triangle over the front: `left_mm` from `from`, `right_mm`
// from `to`, on the left of the way.
static Point triangle_tip(Point from, Point to, double left_mm, double right_mm)
{
    const Point along = point_minus(to, from);
    const double base2 = point_dot(along, along);
    const double share = 0.5 + (left_mm * left_mm - right_mm * right_mm) / (2 * base2);
    const double height2 = left_mm * left_mm - share * share * base2;
    const double rise = sqrt(fmax(0, height2) / base2);
    return point_plus(from,
                      (Point){share * along.x - rise * along.y, share * along.y + rise * along.x});
}

// The diagonal that four sides and the other diagonal leave.
static double fitting_diagonal_right(const double *mm)
{
    const Point front_left = {0, 0};
    const Point back_right = {mm[DIAGONAL_LEFT], 0};
    const Point back_left = triangle_tip(front_left, back_right, mm[LEFT], mm[BACK]);
    const Point front_right = triangle_tip(back_right, front_left, mm[RIGHT], mm[FRONT]);
    return point_distance(front_right, back_left);
}

static double fitting_diagonal_left(const double *mm)
{
    const Point front_right = {0, 0};
    const Point back_left = {mm[DIAGONAL_RIGHT], 0};
    const Point back_right = triangle_tip(back_left, front_right, mm[BACK], mm[RIGHT]);
    const Point front_left = triangle_tip(front_right, back_left, mm[FRONT], mm[LEFT]);
    return point_distance(front_left, back_right);
}

static bool measures_agree(const double *mm, Say say)
{
    const double right = fitting_diagonal_right(mm);
    const double left = fitting_diagonal_left(mm);
    const double off_mm = fmin(fabs(right - mm[DIAGONAL_RIGHT]), fabs(left - mm[DIAGONAL_LEFT]));
    if (off_mm <= DOUBTED_MM) {
        return true;
    }
    const char *found =
        SAY_TEXT(say, "%s does not fit the four sides and the left diagonal, by %.1f mm (%.2f in)",
                 say_length(say, mm[DIAGONAL_RIGHT]), off_mm, off_mm / MM_PER_IN);
    const char *allowed = SAY_TEXT(say, "%s, within 1/4 in (6.4 mm)", say_length(say, right));
    const char *remedy =
        SAY_TEXT(say,
                 "measure both diagonals again; if the sides are right, either the right diagonal "
                 "is %s or the left one %s",
                 say_length(say, right), say_length(say, left));
    if (off_mm > REFUSED_MM) {
        return say_mistake(say, measure_fields[DIAGONAL_RIGHT], found, allowed, remedy);
    }
    say_doubt(say, measure_fields[DIAGONAL_RIGHT], found, allowed, remedy);
    return true;
}

enum { UNKNOWNS = 5 };

// Front left stays in the origin and front right on the x axis, which leaves five
// coordinates.
typedef struct Unknown {
    Corner corner;
    bool upward; // its y, else its x
} Unknown;

static const Unknown unknowns[UNKNOWNS] = {{CORNER_FRONT_RIGHT, false},
                                           {CORNER_BACK_RIGHT, false},
                                           {CORNER_BACK_RIGHT, true},
                                           {CORNER_BACK_LEFT, false},
                                           {CORNER_BACK_LEFT, true}};

static double *coordinate(Point *corner, Unknown unknown)
{
    return unknown.upward ? &corner[unknown.corner].y : &corner[unknown.corner].x;
}

// Adds one measure's share to the normal equations.
static void add_measure(const Point *corner, const int *pair, double measured_mm,
                        double normal[UNKNOWNS][UNKNOWNS + 1])
{
    const Point along = point_minus(corner[pair[1]], corner[pair[0]]);
    const double length_mm = point_length(along);
    const Point unit = point_unit(along);
    Point slope[CORNER_COUNT] = {{0}}; // of this distance in each coordinate
    slope[pair[0]] = point_times(unit, -1);
    slope[pair[1]] = unit;
    for (int i = 0; i < UNKNOWNS; i++) {
        const double slope_i = *coordinate(slope, unknowns[i]);
        for (int k = 0; k < UNKNOWNS; k++) {
            normal[i][k] += slope_i * *coordinate(slope, unknowns[k]);
        }
        normal[i][UNKNOWNS] += slope_i * (measured_mm - length_mm);
    }
}

static void swap_rows(double *one, double *other)
{
    for (int c = 0; c <= UNKNOWNS; c++) {
        const double kept = one[c];
        one[c] = other[c];
        other[c] = kept;
    }
}

// Gauss's elimination with the greatest pivot; the solution ends in the last column.
static bool solve(double row[UNKNOWNS][UNKNOWNS + 1])
{
    for (int i = 0; i < UNKNOWNS; i++) {
        int best = i;
        for (int k = i + 1; k < UNKNOWNS; k++) {
            best = fabs(row[k][i]) > fabs(row[best][i]) ? k : best;
        }
        if (fabs(row[best][i]) < 1e-12) {
            return false;
        }
        swap_rows(row[i], row[best]);
        for (int k = 0; k < UNKNOWNS; k++) {
            const double factor = k == i ? 0 : row[k][i] / row[i][i];
            for (int c = i; c <= UNKNOWNS; c++) {
                row[k][c] -= factor * row[i][c];
            }
        }
    }
    for (int i = 0; i < UNKNOWNS; i++) {
        row[i][UNKNOWNS] /= row[i][i];
    }
    return true;
}

// One step of Gauss and Newton; returns how far it moved, or -1 when it cannot.
static double improve(Point *corner, const double *mm)
{
    double normal[UNKNOWNS][UNKNOWNS + 1] = {{0}};
    for (int i = 0; i < MEASURE_COUNT; i++) {
        add_measure(corner, ends[i], mm[i], normal);
    }
    if (!solve(normal)) {
        return -1;
    }
    double moved_mm = 0;
    for (int i = 0; i < UNKNOWNS; i++) {
        *coordinate(corner, unknowns[i]) += normal[i][UNKNOWNS];
        moved_mm = fmax(moved_mm, fabs(normal[i][UNKNOWNS]));
    }
    return moved_mm;
}

static bool is_convex(const Point *corner, Say say)
{
    for (int i = 0; i < CORNER_COUNT; i++) {
        const Point in = point_minus(corner[i], corner[(i + 3) % CORNER_COUNT]);
        const Point out = point_minus(corner[(i + 1) % CORNER_COUNT], corner[i]);
        if (!(point_cross(in, out) > 0)) {
            return say_mistake(
                say, i % 2 == 0 ? "diagonal_left" : "diagonal_right",
                SAY_TEXT(say, "with these measures the frame is flat or bends in at its %s corner",
                         corner_names[i]),
                NULL, "measure both diagonals again");
        }
    }
    return true;
}

bool frame_measured_corners(const Frame *frame, Say say, Point corner[CORNER_COUNT])
{
    const double mm[MEASURE_COUNT] = {frame->front_mm,         frame->right_mm,
                                      frame->back_mm,          frame->left_mm,
                                      frame->diagonal_left_mm, frame->diagonal_right_mm};
    bool good = true;
    for (int i = 0; i < 4; i++) {
        good &= triangle_closes(mm, triangles[i], say);
    }
    if (!good || !measures_agree(mm, say)) {
        return false;
    }
    corner[CORNER_FRONT_LEFT] = (Point){0, 0};
    corner[CORNER_FRONT_RIGHT] = (Point){mm[FRONT], 0};
    corner[CORNER_BACK_RIGHT] = triangle_tip(corner[0], corner[1], mm[DIAGONAL_LEFT], mm[RIGHT]);
    corner[CORNER_BACK_LEFT] = triangle_tip(corner[0], corner[1], mm[LEFT], mm[DIAGONAL_RIGHT]);
    // Steps shrink by orders of magnitude; twenty are far more than a frame needs.
    double moved_mm = 1;
    for (int i = 0; i < 20 && moved_mm > 1e-10; i++) {
        moved_mm = improve(corner, mm);
    }
    if (!is_convex(corner, say)) {
        return false;
    }
    const double middle_mm = corner[CORNER_FRONT_RIGHT].x / 2;
    for (int i = 0; i < CORNER_COUNT; i++) {
        corner[i].x -= middle_mm;
    }
    return true;
}
