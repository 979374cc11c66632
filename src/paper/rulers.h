// Rulers along a map: how far up the backbone, how far out, and which end is which.
#pragma once

#include "paper/map.h"

/// Room that rulers and words take beside the map on each side of the page.
Box rulers_room(Box room, bool upwards);

/// Draws a ruler below the hide and one to the left of it, the words neck and butt at
/// its ends, and an arrow along the firm direction. All lie in the room around
/// rulers_room(), and their boxes are taken on the map's board.
void rulers_draw(Map *map, Box hide_box);

/// A bar of a round length with its value and the scale.
/// Returns its width.
double rulers_scale_bar(Drawing *page, const MapView *view, LengthUnit unit, Point at);
