// Hides: outline, regions, flaws, and what the leather is like at a place.
//
// Frame of reference: grain side up, origin at the butt end of the backbone, +x up
// the backbone to the neck, +y to the left of a person who stands at the butt and
// looks to the neck. Outlines run counter-clockwise. Figures: docs/hides.md with
// their sources (Roberts and Etherington 1982; statistics of open outlines by
// Baldacci et al. 2014; the rest common practice and marked so).
#pragma once

#include "base/problem.h"
#include "base/units.h"
#include "plane/polygon.h"

typedef enum HideForm { HIDE_WHOLE, HIDE_SIDE, HIDE_PANEL, HIDE_FORM_COUNT } HideForm;
extern const char *const hide_form_names[HIDE_FORM_COUNT]; ///< whole, side, panel

/// A station of the tape: so far up the backbone, so far out. In the order in which
/// the edge is walked from butt to neck; `up` may repeat or go back (overhangs).
typedef struct Station {
    double up_mm;
    double left_mm;  ///< out to the left, >= 0
    double right_mm; ///< out to the right, >= 0
    bool has_left;
    bool has_right;
} Station;

/// No place of a hide lies further up or out than this.
#define HIDE_REACH_MAX_MM 6000.0

/// So many of them, in words: `whole hide`, `sides`, `panels`.
const char *hide_forms_word(HideForm form, int count);
/// The same where nobody takes a hide for half of one: `hide`, `sides`.
const char *hide_pieces_word(HideForm form, int count);

struct Hide;
/// What to call a hide: its form, or `remnant`.
const char *hide_form_word(const struct Hide *hide);

enum { STATIONS_MAX = 200, HIDE_POINTS_MAX = 5000, FLAWS_MAX = 500, FLAW_POINTS_MAX = 500 };

typedef enum RegionKind {
    REGION_BUTT,
    REGION_BACK,
    REGION_SHOULDER,
    REGION_NECK,
    REGION_BELLY,
    REGION_FLANK,
    REGION_SHANK,
    REGION_KIND_COUNT
} RegionKind;
extern const char *const region_kind_names[REGION_KIND_COUNT];

typedef enum Firmness { FIRM, MIDDLING, SOFT, LOOSE, FIRMNESS_COUNT } Firmness;
extern const char *const firmness_names[FIRMNESS_COUNT]; ///< firm, middling, soft, loose

/// What the leather of a region is like.
typedef struct Region {
    RegionKind kind;
    Firmness firmness;
    double stretch_along; ///< relative to the butt along the backbone (1.0)
    double stretch_across;
    PolygonSet area; ///< clipped to the outline; left and right parts together
} Region;

typedef enum FlawKind {
    FLAW_HOLE,
    FLAW_FLAY_CUT,
    FLAW_BRAND,
    FLAW_OPEN_SCAR,
    FLAW_GRUB_HOLES,
    FLAW_SCAR,
    FLAW_TICKS,
    FLAW_VEINS,
    FLAW_WRINKLE,
    FLAW_LOOSE_GRAIN,
    FLAW_STRETCHED,
    FLAW_STAIN,
    FLAW_THIN,
    FLAW_KIND_COUNT
} FlawKind;
extern const char *const flaw_kind_names[FLAW_KIND_COUNT]; ///< hole, flay cut, brand, ...

typedef struct Flaw {
    FlawKind kind;
    const char *name; ///< what the user calls it, or NULL
    PolygonSet area;  ///< as marked, before any margin
    Point middle;
} Flaw;

/// A flaw as the user marks it: a spot (one point and a radius), a line with a width,
/// or an area (three points or more).
typedef enum FlawForm { FLAW_SPOT, FLAW_LINE, FLAW_AREA, FLAW_FORM_COUNT } FlawForm;
extern const char *const flaw_form_names[FLAW_FORM_COUNT]; ///< spot, line, area

typedef struct FlawEntry {
    FlawKind kind;
    FlawForm form;
    const char *name;    ///< what the user calls it, or NULL
    const Point *points; ///< in the hide's frame of reference
    int point_count;     ///< spot 1; line 2 and more; area 3 and more
    double size_mm;      ///< spot: radius; line: width; area: unused
} FlawEntry;

/// A change to the default regions: what the leather of a kind is like, and where it
/// lies if the user knows better. Fields not given are negative, or -1.
typedef struct RegionEntry {
    RegionKind kind;
    int firmness;          ///< a Firmness, or -1: leave the default
    double stretch_along;  ///< relative, or -1
    double stretch_across; ///< relative, or -1
    const Point *points;   ///< the region's area, or NULL: leave where it lies
    int point_count;
} RegionEntry;

enum { REGION_ENTRIES_MAX = 40 };

/// A place in a picture: px, columns to the right, rows down, from the top left corner.
typedef struct Pixel {
    double column;
    double row;
} Pixel;

/// A picture that lies under the drawing of a hide, to trace it: taken from above, grain up.
/// Two pixels a known distance apart give its scale, the backbone's ends its turn and place.
typedef struct HidePicture {
    const char *uid; ///< of the keepsake, 32 hexadecimal digits
    Pixel butt;      ///< the butt end of the backbone: the tape's zero
    Pixel neck;      ///< a place on the backbone, towards the neck
    Pixel from;
    Pixel to;
    double apart_mm; ///< between `from` and `to`, on the hide
} HidePicture;

/// How the hide was put in, before anything is derived. Exactly one of `stations`
/// and `points` is used (points when point_count > 0); panels use the size.
typedef struct HideEntry {
    const char *name;
    HideForm form;
    bool right_side; ///< a side: the right half (y <= 0) instead of the left
    const Station *stations;
    int station_count;
    const Point *points; ///< in the hide's frame of reference
    int point_count;
    double panel_length_mm; ///< along the firm direction
    double panel_width_mm;
    double stamped_mm2; ///< 0: not stamped
    double price;       ///< 0: not given
    const FlawEntry *flaws;
    int flaw_count;
    const RegionEntry *regions; ///< later ones lie over earlier ones
    int region_count;
    HidePicture picture;
    bool has_picture;
    const Point *remaining; ///< round what is still there of it; NULL: all
    int remaining_count;
} HideEntry;

typedef struct Hide {
    const char *name;
    HideForm form;
    Ring outline;
    double backbone_mm; ///< from x = 0 to the neck end
    double area_mm2;    ///< measured: of the outline
    double stamped_mm2; ///< 0: not stamped
    double price;       ///< 0: not given
    Region regions[REGION_KIND_COUNT];
    int region_count;
    Flaw *flaws;
    int flaw_count;
    const struct Hide *whole; ///< of a remnant: the hide as it was before the first cut; or NULL
} Hide;

/// Makes a hide of an entry: outline, area, regions, flaws. A remnant keeps its place on the hide
/// that it was cut from, and with it regions, firm direction and natural edge.
///
/// Errors   bad input at `where` (path of the hide in its document) with the rest
///          behind it (`hides[0].flaws[2]`): as hide_outline(); a flaw or region that
///          crosses itself; what remains crosses itself or lies off the hide. All are
///          collected, not only the first.
/// Doubts   as hide_outline(); a flaw that lies wholly off the hide; measured area
///          off the stamped one.
MUST_CHECK bool hide_make(const HideEntry *entry, const char *where, Units units, Arena *keep,
                          Arena *scratch, Hide *hide, Problems *problems);

typedef struct HideOutline {
    Ring ring;
    double backbone_mm; ///< from x = 0 to the neck end; > 0
} HideOutline;

/// Outline from tape or points.
///
/// Shapes   stations are joined in the order left half from butt to neck, right half
///          back to the butt; where no first station lies on the backbone, its butt
///          end (0, 0) is a place of its own, since the tape begins there. A side runs as if its
///          mirror image lay beside it. Points are joined as given.
/// Errors   bad input at `where` (path of the hide; `.stations[3].left` and the
///          like behind it): fewer than three places, edges that cross.
/// Doubts   stations that look like slips: a value far off the line between its
///          neighbours while left and right disagree, a likely digit swap or a
///          missing or doubled digit (457 for 4570); with the value it may have
///          meant.
/// Method   closed monotone cubic through the places (plane/curve.h), 5 mm steps;
///          a side's backbone edge and a panel's edges are straight.
MUST_CHECK bool hide_outline(const HideEntry *entry, const char *where, LengthUnit unit,
                             Arena *keep, Arena *scratch, HideOutline *outline, Problems *problems);

/// Lays the default regions over an outline.
///
/// Result   regions whose areas together are the outline's area, none overlapping,
///          in the order of RegionKind; kinds without area are left out. A panel is
///          one region of its own: back, firm.
/// Source   bellies with shanks and flanks are what lies outside two lines parallel
///          to the backbone that leave 23 % outside (Roberts and Etherington 1982,
///          entry "belly"); other lines in docs/hides.md.
MUST_CHECK bool hide_lay_regions(Hide *hide, Arena *keep, Arena *scratch, Problems *problems);

/// Puts a region of the user's own over the others, which lose that area. It joins
/// what the hide already has of that kind; what lies off the hide is left away.
MUST_CHECK bool hide_set_region(Hide *hide, RegionKind kind, PolygonSet area, Arena *keep,
                                Arena *scratch, Problems *problems);

/// The region at a place, or NULL outside of all.
const Region *hide_region_at(const Hide *hide, Point place);

/// Firm direction at a place: angle to the backbone, -pi/2 to pi/2. 0 over butt,
/// back, shoulder and neck; in bellies, flanks and shanks it turns round the leg
/// pockets.
double hide_firm_direction_rad(const Hide *hide, Point place);

/// From a picture to the hide: x_mm = a column + c row + e, y_mm = b column + d row + f.
typedef struct PictureMap {
    double a, b, c, d, e, f;
    double mm_per_px;
} PictureMap;

/// How a picture lies under the hide: a similarity; the camera is taken to have looked straight
/// down.
///
/// Errors   bad input at `where.neck` or `where.to`: marks nearer than 10 px to each other.
MUST_CHECK bool hide_picture_map(const HidePicture *picture, const char *where, PictureMap *map,
                                 Problems *problems);

Point picture_map_place(PictureMap map, Pixel pixel);

/// Measured against stamped area.
typedef enum AreaVerdict {
    AREA_NOT_STAMPED,
    AREA_AGREES,  ///< within 2 %
    AREA_DOUBTED, ///< 2 to 3 %: measure again
    AREA_DISPUTED ///< over 3 %: talk to the seller before the first cut
} AreaVerdict;

/// Source  tolerances of common practice (2 % and 3 %), docs/hides.md.
AreaVerdict hide_area_verdict(double measured_mm2, double stamped_mm2, double *difference_mm2);

/// Both areas in words: `stamped 52.75 ft², but the outline holds 51.2 ft², 2.9 % less`; NULL when
/// it is not stamped.
const char *hide_area_text(const Hide *hide, AreaUnit unit, Arena *keep);
