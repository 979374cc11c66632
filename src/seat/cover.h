// Covers: from a frame and what lies on it to the leather to cut.
//
// At each point of the frame's edge the leather's way is followed in cross
// section: over the dome of the padding, round its edge, down padding and frame,
// round the bottom, under to the tack line, on to the end of the hold, and the
// grip for the hands. Laid flat, that gives four nested outlines. Method: ours;
// docs/seats.md derives it and names the closed forms it is tested against.
#pragma once

#include "seat/frame.h"

/// The four bands of a cover, from the middle out.
typedef enum Band {
    BAND_FACE, ///< what is sat on and seen
    BAND_EDGE, ///< what wraps the edge and is seen
    BAND_TURN, ///< turned under and held
    BAND_GRIP, ///< what the hands pull on and the shears take off again
    BAND_COUNT
} Band;

extern const char *const band_names[BAND_COUNT]; ///< face, edge, turn, grip

typedef enum DomeProfile {
    DOME_PARABOLA, ///< even crown, as of hair or soft foam
    DOME_CIRCLE,   ///< part of a circle
    DOME_FLAT,     ///< flat in the middle, falling near the edge (z = h (1 - s^4)): firm foam
    DOME_PROFILE_COUNT
} DomeProfile;

extern const char *const dome_profile_names[DOME_PROFILE_COUNT]; ///< parabola, circle, flat

/// The frame's lower outside edge.
typedef enum BottomEdge {
    BOTTOM_SQUARE,
    BOTTOM_ROUNDED,  ///< bottom_mm is the radius
    BOTTOM_BEVELLED, ///< bottom_mm is the width of a 45 degree bevel, along each face
    BOTTOM_EDGE_COUNT
} BottomEdge;

extern const char *const bottom_edge_names[BOTTOM_EDGE_COUNT]; ///< square, rounded, bevelled

enum { LAYERS_MAX = 8 }; ///< layers between padding and leather

/// A layer beneath the leather (batting, muslin), thickness under the cover's pull.
typedef struct Layer {
    const char *material;
    double thickness_mm;
    bool on_sides;   ///< comes down over the sides
    bool goes_under; ///< comes under the frame to the tack line (so it is on the sides too)
} Layer;

/// What lies on the frame.
typedef struct BuildUp {
    double frame_thickness_mm;
    BottomEdge bottom_edge;
    double bottom_mm;
    Sides padding_edge_mm; ///< height of the padding at the edge, above the frame
    double crown_mm;       ///< how much higher the padding is in the middle
    DomeProfile profile;
    double edge_radius_mm; ///< of the padding's upper edge, 0 for sharp
    double overhang_mm;    ///< how far the padding stands out over the frame
    Layer layers[LAYERS_MAX];
    int layer_count;
} BuildUp;

/// How the cover is fastened and pulled. All on the underside, from the frame's
/// outer edge inward.
typedef struct Fixing {
    Sides tack_inset_mm; ///< frame's edge to the tack line
    Sides hold_mm;       ///< leather left beyond the tack line
    Sides grip_mm;       ///< leather for the hands beyond that
} Fixing;

/// What the seat module needs to know of the leather.
typedef struct LeatherSheet {
    double thickness_mm;
    double stretch_along;  ///< share, 0 to 0.2, under the hands, along the firm direction
    double stretch_across; ///< the same across it
    bool use_stretch;      ///< make the cut smaller by what the hands will stretch; else never
} LeatherSheet;

typedef enum CutStyle {
    CUT_FOLLOWING, ///< the shears follow the outline
    CUT_STRAIGHT,  ///< the fewest straight cuts that contain it
    CUT_STYLE_COUNT
} CutStyle;

extern const char *const cut_style_names[CUT_STYLE_COUNT]; ///< following, straight

/// All that makes a cover of a frame; owned by the caller, for as long as its cover.
typedef struct CoverRecipe {
    const BuildUp *build_up;
    const Fixing *fixing;
    const LeatherSheet *leather;
    CutStyle cut;
} CoverRecipe;

/// The leather's way in cross section at one place of the edge, outward, in mm of
/// flat leather (measured at its neutral line, half its thickness).
typedef struct LeatherPath {
    double run_mm;    ///< plan distance from the seat's middle to where the dome ends
    double dome_mm;   ///< the same over the dome, >= run_mm
    double round_mm;  ///< round the padding's edge
    double side_mm;   ///< down padding and frame
    double bottom_mm; ///< round the bottom edge
    double under_mm;  ///< on the underside to the tack line
    double hold_mm;
    double grip_mm;
    double beyond_frame_mm; ///< cut edge, laid flat, minus the frame's edge in plan: the
                            ///< allowance a flat rule would have to give here
    double slope_rad;       ///< how the dome falls where it ends
    double padding_edge_mm; ///< height of the padding here
} LeatherPath;

/// A cover, laid flat in the seat's frame of reference (+y, towards the back, is the
/// firm direction). All rings counter-clockwise.
typedef struct Cover {
    Ring frame;                   ///< the frame's outline beneath it
    CoverRecipe recipe;           ///< what it was made by, so that it can be made anew otherwise
    Ring within[BAND_COUNT];      ///< within[b]: everything up to and including band b; nested
    Ring tack_line;               ///< between within[BAND_EDGE] and within[BAND_TURN]
    Ring cut;                     ///< what the shears follow: within[BAND_GRIP], or straight cuts
    Point middle;                 ///< the crown's place
    LeatherPath path[SIDE_COUNT]; ///< at the middle of each side
    bool mirror;                  ///< its own mirror image about x = 0 (within 0.1 mm)
    int turn_symmetry;            ///< 1; 2: looks the same half turned; 0: at any turn (round)
    double net_area_mm2;          ///< face, edge and turn: what stays on the seat
    double gross_area_mm2;        ///< of `cut`
    double stretch_along_mm;      ///< how much longer the hands may pull it, front to back
    double stretch_across_mm;     ///< and side to side: extra grip to expect
} Cover;

/// Arc length of half a dome over a plan run, in mm.
///
/// Shapes   run_mm >= 0, crown_mm >= 0; circle: crown_mm <= run_mm.
/// Accuracy 1e-9 of the length.
/// Method   circle: radius times angle; the others: Gauss-Legendre quadrature, halved
///          until two levels agree.
double dome_arc_mm(DomeProfile profile, double run_mm, double crown_mm);

/// Height of the dome over its end, in mm, at a share (0 to 1) of the way out.
double dome_height_mm(DomeProfile profile, double run_mm, double crown_mm, double share);

/// Slope angle (rad, 0 to pi/2) of the dome where it ends, in a section of this run.
double dome_end_slope_rad(DomeProfile profile, double run_mm, double crown_mm);

/// Makes the cover of a frame outline.
///
/// Errors   bad input at `where` (the path of the seat in its document) with the
///          field's name behind it (`seats[0].padding.edge_radius`,
///          `seats[0].fixing.tack_inset.back`): padding edge too low for its radius, a
///          tack line on the lower edge's shape or beyond the frame's middle, an edge
///          radius or overhang that leaves no face. Limits of single values are the
///          reader's matter. *cover is then untouched.
/// Values   that differ from side to side hold within 30 degrees of straight to their
///          side; over a rounded corner they go evenly from one to the next.
MUST_CHECK bool cover_make(Ring frame, const CoverRecipe *recipe, const char *where, Arena *keep,
                           Arena *scratch, Cover *cover, Problems *problems);

/// The fewest straight cuts that contain a ring: the convex polygon with the fewest
/// sides whose area is at most (1 + waste) times that of the ring's convex hull.
///
/// Method   hull edges are taken away one by one, always the one whose neighbours,
///          run on, enclose the least more; at least 3 stay. An outline that is its
///          own mirror image about x = 0 loses them in pairs and keeps a square front
///          and back. Cuts within 2 degrees of square are squared where the waste
///          allows. At 0.03 a circle becomes about a dozen cuts.
Ring cover_straight_cuts(Ring ring, double waste, Arena *keep, Arena *scratch);

/// How a flat rule would serve: allowance given minus allowance needed, for each
/// side at its middle. Negative: comes short. Positive: leather wasted.
Sides cover_against_rule(const Cover *cover, double rule_mm);

/// The flat rules in use, with where they come from.
typedef struct FlatRule {
    const char *name; ///< `4 in all round`
    double allowance_mm;
    const char *source; ///< `common practice`
} FlatRule;
enum { FLAT_RULE_COUNT = 2 };
extern const FlatRule flat_rules[FLAT_RULE_COUNT];
