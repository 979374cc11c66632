// The legend of a map: what its lines mean, each shown as it is drawn.
#pragma once

#include "paper/map.h"

/// Height that it takes in this width.
double legend_height_mm(const Hide *hide, double width_mm);

/// Draws it with its upper edge at `top_mm`, the scale bar first.
void legend_draw(const Map *map, Box room, double top_mm);
