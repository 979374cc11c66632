// The map: a hide with its regions, flaws and covers, to scale on a page.
//
// A view says how the hide lies on the page. Its backbone runs to the right or up
// the page; with the flesh side up the hide is mirrored about its backbone, the
// texts are not.
#pragma once

#include "paper/label.h"

typedef struct MapView {
    double scale;  ///< mm of paper for each mm of hide
    Point origin;  ///< where the butt end of the backbone lies on the page
    bool upwards;  ///< the backbone runs up the page, else to the right
    bool flesh_up; ///< the flesh side is up: left and right change places
} MapView;

/// The view that shows a box of the hide as large as `room` allows, in its middle.
MapView map_view(Box hide_box, Box room, bool upwards, bool flesh_up);

Point map_point(const MapView *view, Point on_hide);
Ring map_ring(const MapView *view, Ring ring, Arena *keep);
/// The other way.
Point map_place(const MapView *view, Point on_page);

/// What a map is drawn with. Everything on it that is text has its box on the board.
typedef struct Map {
    const PackMatter *matter;
    const Hide *hide;
    int hide_number; ///< index into the matter's hides
    MapView view;
    Drawing *page;
    LabelBoard board;
    const Ring *rings; ///< cut outlines of the covers on this hide, on the page
    int ring_count;
    const Box *boxes;        ///< of those
    const PolygonSet *chalk; ///< the line round each flaw, on the hide
    const double *chalk_reach_mm;
} Map;

/// Prepares a map; labels stay within `room`.
Map map_begin(const PackMatter *matter, int hide, MapView view, Box room, Drawing *page);

/// Whether a place on the page lies in a cover.
bool map_covered(const Map *map, Point on_page);

/// The largest rectangle that is left, on the page; no points when there is none of use.
Ring map_left_ring(const Map *map);

/// The sheet of leather and its covers' outlines alone, for a look at a glance.
void map_draw_small(Map *map);

/// Everything: sheet, region limits, flaws, backbone, covers, their names and marks,
/// hatching where nothing else stands.
void map_draw(Map *map);

/// From one number of a scale to the next: 10 in or 250 mm.
double map_scale_step_mm(LengthUnit unit);

/// A small filled arrow with a head of `head_mm`.
void map_arrow(Drawing *page, Point from, Point to, double head_mm);

/// Distance on paper between the lines of the hatching over firm leather.
#define MAP_HATCH_MM 1.7

/// Costs of lines that a label crosses.
#define COST_CUT 6.0
#define COST_BAND 0.4
#define COST_LEFT 0.4
#define COST_CHALK 4.0
#define COST_BACKBONE 0.5
#define COST_HIDE 8.0
