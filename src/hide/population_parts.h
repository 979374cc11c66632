// The parts of a random hide. Private to the module.
#pragma once

#include "base/laws.h"
#include "hide/population.h"
#include "hide/population_tables.h"

/// Streams: one for each part, and within a part one for each thing of its kind, so that
/// one thing more or less leaves all others as they are.
typedef enum Part {
    PART_SHAPE,
    PART_EDGE,
    PART_SLITS,
    PART_AREA,
    PART_STAMP,
    PART_SIDE,
    PART_LINES,
    PART_FIRMNESS,
    PART_COUNTS, ///< of flaws, by what is counted
    PART_FLAWS,  ///< and as many more as there are kinds of flaws
} Part;
enum { PART_STREAMS = 65536 };

static inline Random part_begin(HideTrial trial, int part, int index)
{
    return random_begin(trial.seed, trial.trial, (uint64_t)part * PART_STREAMS + (uint64_t)index);
}

double law_normal(Random *random, NormalLaw law, double within);
/// exp(normal within 2 sd), at most exp(ln_most).
double law_size(Random *random, SizeLaw law);
/// An index, by shares that add up to about 1.
int law_choice(Random *random, const double *shares, int count);

/// The edge of a whole hide, counter-clockwise from the butt: right half up, left half back.
typedef struct HideEdge {
    int count;
    Point *at;     ///< in backbone lengths, or mm once scaled
    Point *inward; ///< of length 1, those of the smooth edge
    double *place; ///< rising; 0 butt, 60 neck, 120 butt again: steps of the half outlines
    double *along; ///< along the edge from the first point; along[count] is all round
} HideEdge;

/// Draws outlines until one looks like a hide; in backbone lengths.
HideEdge edge_draw(HideTrial trial, Arena *keep, Arena *scratch, int *refused);

/// One outline, sound or not.
HideEdge edge_attempt(HideTrial trial, int attempt, Arena *keep, Arena *scratch);
/// Simple and within 3 standard deviations of the proportions of the hides measured.
bool edge_is_sound(const HideEdge *edge, Arena *scratch);

/// Place of t (population_tables.h) on a half.
double edge_place_of(bool left, double t);
/// t at a place.
double edge_t_of(double place);
/// Way along the edge at a place.
double edge_along_at(const HideEdge *edge, double place);

/// Index i with rising[i] <= value < rising[i + 1]; 0 or count - 2 beyond the ends.
int rising_index(const double *rising, int count, double value);

/// A spot on the edge and the direction into the hide there.
typedef struct EdgeSpot {
    Point at;
    Point inward;
    double place;
} EdgeSpot;

/// At a way along the edge, of which whole rounds are taken off.
EdgeSpot edge_spot(const HideEdge *edge, double along);

/// No two edges of a ring that are not neighbours touch, and no edge folds back. For rings
/// with short edges: O(n) there, O(n^2) at worst.
bool edges_keep_apart(const Point *points, int count, Arena *scratch);

/// Convex hull by Andrew's monotone chain; `points` are sorted, `hull` has room for count + 1.
/// Returns how many.
int hull_of(Point *points, int count, Point *hull);

/// The edge of one half, cut along the backbone by a hand that wavers; mm.
/// `half` is 1 left, -1 right.
Ring side_outline(const HideEdge *edge, int half, HideTrial trial, Arena *keep, Arena *scratch);

/// What flaws are drawn on.
typedef struct FlawCanvas {
    const HideGrade *grade;
    HideTrial trial;
    const HideEdge *edge; ///< in mm
    Ring outline;         ///< the same as a ring: of the whole hide
    double length_mm;     ///< of the backbone
    int half;             ///< 1 left, -1 right: only this one is wanted; 0 both
    Arena *keep;
    Arena *scratch;
    Flaw *flaws;
    DrawnFlaw *drawn;
    int count;
} FlawCanvas;

/// Adds a flaw unless it lies on the half that is not wanted, or there are FLAWS_MAX.
/// `points` are copied; either sense.
void canvas_add(FlawCanvas *canvas, DrawnFlaw what, const Point *points, int count);
/// A blotchy ellipse.
typedef struct Blob {
    Point middle;
    double size_mm; ///< diameter of the disc of equal area
    double elongation;
    double angle_rad; ///< of the long axis
} Blob;
void canvas_add_blob(FlawCanvas *canvas, DrawnFlaw what, Blob blob, Random *random);
/// A stream for thing `index` of a kind.
Random canvas_stream(const FlawCanvas *canvas, DrawnKind kind, int index);
enum { COUNTED_KINDS = 8 };
/// Number of a count or chance of a kind, `which` from 0 to 7. Number 0 itself is whether
/// the shanks are useless as a whole.
static inline int counted(DrawnKind kind, int which)
{
    return ((int)kind + 1) * COUNTED_KINDS + which;
}
/// How many there are of something, by its law and a factor of the grade.
int canvas_count(const FlawCanvas *canvas, int number, CountLaw law, double factor);
/// Whether something happens that has a chance.
bool canvas_chance(const FlawCanvas *canvas, int number, double chance);

void draw_edge_cuts(FlawCanvas *canvas, bool capped);
void draw_caps(FlawCanvas *canvas);
void draw_patches(FlawCanvas *canvas, bool capped);
void draw_belly_bands(FlawCanvas *canvas);
void draw_neck_zone(FlawCanvas *canvas);
void draw_spots(FlawCanvas *canvas);
void draw_brands(FlawCanvas *canvas);

/// Regions as boxes, their lines and firmness drawn.
void draw_regions(const HideGrade *grade, HideTrial trial, Hide *hide, Arena *keep, Arena *scratch);
