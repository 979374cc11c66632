// Rulers along a map: how far up the backbone, how far out, and which end is which.
#pragma once

#include "paper/map.h"

/// Room that rulers and words take beside the map on each side of the page.
Box rulers_room(Box room, bool upwards);

/// Draws a ruler below and one to the left of `around`, which is the map's room, the
/// words neck and butt at the ends of the hide, and an arrow along the firm direction.
/// Their boxes are taken on the map's board.
void rulers_draw(Map *map, Box around, Box hide_box);

/// A bar of a round length with its value and the scale.
/// Returns its width.
double rulers_scale_bar(Drawing *page, const MapView *view, LengthUnit unit, Point at);
