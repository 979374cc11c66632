// The numbers that hides are drawn from: their form. Private to the module.
//
// Lengths without a unit are shares of the backbone's length. Edge places t run on either
// half from 0 at the butt over 1 at the tip of the hind shank, 2 at that of the fore shank
// and 3 at the corner of the neck to 4 at its middle, by length between them. Classes of
// flaws are the graders': 0 unusable to 3 nearly full quality.
#pragma once

#include "plane/point.h"

enum {
    HALF_POINTS = 61, ///< of a half outline, butt to neck
    SYMMETRIC_MODES = 7,
    ASYMMETRIC_MODES = 9,
    EDGE_SEGMENTS = 4,
    EDGE_RATES = 16, ///< quarters of segments
    FLAW_CLASSES = 4,
};

/// Drawn within 2.5 sd (shapes) or 2 sd (flaws).
typedef struct NormalLaw {
    double mean;
    double sd;
} NormalLaw;

/// exp(normal), drawn within 2 sd of ln and never above exp(ln_most).
typedef struct SizeLaw {
    double ln_mean;
    double ln_sd;
    double ln_most;
} SizeLaw;

/// Negative binomial; variance mean + mean^2 / dispersion. Dispersion 0: Poisson.
typedef struct CountLaw {
    double mean;
    double dispersion;
} CountLaw;

typedef struct ShapeMode {
    double sd;                 ///< of its score
    Point vector[HALF_POINTS]; ///< displacement at score 1
} ShapeMode;

typedef struct ShapeProportions {
    NormalLaw area_over_l2;
    NormalLaw length_over_l;
    NormalLaw width_over_l;
    NormalLaw area_over_bounding_box;
    NormalLaw area_over_hull;
} ShapeProportions;

/// Distance of the edge from the smooth outline: an autoregression of the second order.
typedef struct EdgeLaw {
    double step;
    double phi1;
    double phi2;
    double innovation_sd;
    double sd; ///< of the process
    double scale;
    double rms_by_segment[EDGE_SEGMENTS];
} EdgeLaw;

/// Slits: trapezoids open to the edge; widths in shares of the mouth.
typedef struct SlitLaw {
    CountLaw count;
    SizeLaw depth;
    double least_depth;
    NormalLaw mouth;
    double least_mouth;
    double width_at_edge;
    double width_at_end;
    double share_by_segment[EDGE_SEGMENTS];
} SlitLaw;

/// Wedges: base on the edge, apex inward, mm.
typedef struct EdgeCutLaw {
    CountLaw with_caps; ///< a hide whose shanks are marked as a whole
    CountLaw without;
    double rate[EDGE_RATES]; ///< relative, for each length of edge
    double classes[FLAW_CLASSES];
    double touching; ///< share that reaches the edge
    SizeLaw gap;     ///< of the others, mm
    SizeLaw butt_depth;
    SizeLaw butt_base;
    SizeLaw rest_depth;
    SizeLaw rest_base;
} EdgeCutLaw;

/// A shank cut off by a chord that bulges inward.
typedef struct CapLaw {
    double chance; ///< for each half
    NormalLaw from;
    NormalLaw to;
    NormalLaw bulge; ///< mean over the chord
} CapLaw;

/// Ellipses near the edge.
typedef struct PatchLaw {
    NormalLaw place;
    SizeLaw depth; ///< of the middle, in backbone lengths
    SizeLaw size;  ///< diameter of the disc of equal area, mm
    SizeLaw elongation;
    NormalLaw angle_deg; ///< of the long axis, on the left half
    double touching;
    SizeLaw gap;
    double classes[FLAW_CLASSES];
} PatchLaw;

/// Strips along the belly's edge, mm.
typedef struct BandLaw {
    NormalLaw middle;
    SizeLaw length;
    SizeLaw offset;
    SizeLaw thickness;
} BandLaw;

typedef struct NeckLaw {
    NormalLaw x;
    NormalLaw y;
    SizeLaw size;
    SizeLaw elongation;
    double classes[FLAW_CLASSES];
} NeckLaw;

typedef enum SpotZone { SPOT_TAIL_ROOT, SPOT_RIM, SPOT_INSIDE, SPOT_ZONES } SpotZone;

typedef struct SpotLaw {
    CountLaw clusters;
    double in_cluster; ///< mean number of spots
    double same_class; ///< chance that a further spot is of the first one's class
    double scatter_mm;
    double classes[FLAW_CLASSES];
    SizeLaw size;
    SizeLaw elongation;
} SpotLaw;

extern const Point shape_mean[HALF_POINTS];
extern const ShapeMode symmetric_modes[SYMMETRIC_MODES];
extern const ShapeMode asymmetric_modes[ASYMMETRIC_MODES];
extern const ShapeProportions shape_proportions;
extern const EdgeLaw edge_law;
extern const SlitLaw slit_law;
extern const EdgeCutLaw edge_cut_law;
extern const CapLaw hind_cap_law;
extern const CapLaw fore_cap_law;
extern const CountLaw hind_patch_count; ///< for each half, as the next
extern const PatchLaw hind_patch_law;
extern const CountLaw fore_patch_count;
extern const PatchLaw fore_patch_law;
extern const CountLaw flank_pocket_count; ///< where the hide has some; so the next two
extern const PatchLaw flank_pocket_law;
extern const CountLaw armpit_count;
extern const PatchLaw armpit_law;
extern const CountLaw neck_side_count;
extern const PatchLaw neck_side_law;
extern const BandLaw belly_band_law;
extern const NeckLaw neck_zone_law;
extern const SpotLaw spot_laws[SPOT_ZONES];
